"""Numbers as people write them: decimal comma or point, thousands, fractions, shares, prices."""

import re
from collections.abc import Iterable
from enum import StrEnum
from math import isfinite
from typing import Final

from graftwright.errors import Ambiguous, NotUnderstood
from graftwright.tongue import english, marked, told

_VULGAR: Final = {
    "¼": " 1/4", "½": " 1/2", "¾": " 3/4", "⅐": " 1/7", "⅑": " 1/9", "⅒": " 1/10", "⅓": " 1/3",
    "⅔": " 2/3", "⅕": " 1/5", "⅖": " 2/5", "⅗": " 3/5", "⅘": " 4/5", "⅙": " 1/6", "⅚": " 5/6",
    "⅛": " 1/8", "⅜": " 3/8", "⅝": " 5/8", "⅞": " 7/8", "⁄": "/",
}  # fmt: skip
_DIGITS: Final = r"[0-9]+"
_FRACTION: Final = re.compile(r"(?:([0-9]{1,4})[ -]+)?([0-9]{1,4}) ?/ ?([0-9]{1,4})")
_TWO_READINGS: Final = re.compile(r"[1-9][0-9]{0,2},[0-9]{3}")
_NUMBER: Final = re.compile(r"[0-9]+(?:[.,][0-9]+)*")
_PLAIN: Final = re.compile(r"-?[0-9]{1,15}(?:\.[0-9]{1,2})?")
_EXPONENT: Final = re.compile(r"[+-]?[0-9]+(?:\.[0-9]+)?[eE][+-]?[0-9]{1,3}")
_MONEY_MARKS: Final = re.compile(r"^(?:£|€|\$|GBP|EUR|USD)|(?:£|€|\$|GBP|EUR|USD|p\.?c\.?)$", re.I)


class Decimal(StrEnum):
    """What a comma between digits means in a column."""

    UNSAID = ""
    COMMA = english(marked("decimal comma"))
    POINT = "thousands"


def plain_signs(text: str) -> str:
    """Return text with printed minus signs, hard spaces and one-character fractions made plain."""
    if text.isascii():
        return " ".join(text.split())
    for printed, plain in _VULGAR.items():
        text = text.replace(printed, plain)
    for minus in "\u2212\u2013\u2014\u2010\u2011":
        text = text.replace(minus, "-")
    return " ".join(text.split())


def has_two_readings(text: str) -> bool:
    """Return whether a number such as 1,250 stands in the text."""
    return any(_TWO_READINGS.fullmatch(token) for token in _NUMBER.findall(plain_signs(text)))


def decimal_evidence(texts: Iterable[str]) -> Decimal:
    """Return what the other cells of a column say about its commas, UNSAID if nothing or both."""
    found: set[Decimal] = set()
    for text in set(texts):
        for token in _NUMBER.findall(plain_signs(text)):
            found.add(_evidence(token))
    found.discard(Decimal.UNSAID)
    return found.pop() if len(found) == 1 else Decimal.UNSAID


def _evidence(token: str) -> Decimal:
    comma, point = token.rfind(","), token.rfind(".")
    if comma >= 0 and point >= 0:
        return Decimal.COMMA if comma > point else Decimal.POINT
    if token.count(",") == 1 and not _TWO_READINGS.fullmatch(token):
        return Decimal.COMMA
    if token.count(",") > 1:
        return Decimal.POINT
    decimals = len(token) - point - 1
    return Decimal.POINT if token.count(".") == 1 and decimals != 3 else Decimal.UNSAID


def number_from_text(text: str, *, decimal: Decimal = Decimal.UNSAID) -> float:
    """Return the number a text shows.

    Raises Ambiguous for such as 1,250 when `decimal` does not settle it, NotUnderstood otherwise.
    """
    plain = plain_signs(text)
    if _PLAIN.fullmatch(plain):
        return float(plain)
    sign = -1.0 if plain.startswith("-") else 1.0
    bare = plain.lstrip("+-").strip()
    if _EXPONENT.fullmatch(plain):
        return _finite(float(plain), text)
    if fraction := _FRACTION.fullmatch(bare):
        return sign * _fraction(fraction, text)
    return sign * _finite(_separated(bare, text, decimal), text)


def _finite(number: float, text: str) -> float:
    if not isfinite(number):
        raise NotUnderstood(told("{text!r} is too large; expected a number", text=text[:40]))
    return number


def _fraction(match: re.Match[str], text: str) -> float:
    whole, above, below = match.groups()
    if int(below) == 0:
        raise NotUnderstood(
            told("{text!r} divides by nothing; expected a fraction such as 3/8", text=text)
        )
    return int(whole or 0) + int(above) / int(below)


def _separated(bare: str, text: str, decimal: Decimal) -> float:
    spaced = re.fullmatch(r"[0-9]{1,3}(?: [0-9]{3})+(?:[.,][0-9]+)?", bare)
    joined = bare.replace(" ", "") if spaced else bare
    if re.fullmatch(rf"{_DIGITS}", joined):
        return float(joined)
    if re.fullmatch(r"[0-9]{1,3}(?:,[0-9]{3})+\.[0-9]+", joined):
        return float(joined.replace(",", ""))
    if re.fullmatch(r"[0-9]{1,3}(?:\.[0-9]{3})+,[0-9]+", joined):
        return float(joined.replace(".", "").replace(",", "."))
    if re.fullmatch(r"[0-9]{1,3}(?:(?:,[0-9]{3}){2,}|(?:\.[0-9]{3}){2,})", joined):
        return float(re.sub("[.,]", "", joined))
    if _TWO_READINGS.fullmatch(joined) and not spaced:
        return _settled(joined, decimal)
    if re.fullmatch(r"[1-9][0-9]{0,2}\.[0-9]{3}", joined) and decimal is Decimal.COMMA:
        return float(joined.replace(".", ""))
    if re.fullmatch(r"[0-9]*[.,][0-9]+", joined):
        return float(joined.replace(",", "."))
    raise NotUnderstood(
        told("{text!r} is no number; expected digits such as 12 or 9.5", text=text[:80])
    )


def _settled(joined: str, decimal: Decimal) -> float:
    if decimal is Decimal.UNSAID:
        whole, part = joined.split(",")
        raise Ambiguous(
            told(
                "{joined} may be {whole}.{part} or {whole}{part}; say which is meant",
                joined=joined,
                whole=whole,
                part=part,
            )
        )
    return float(joined.replace(",", "." if decimal is Decimal.COMMA else ""))


def count_from_number(number: float) -> int:
    """Return a whole number. Raises NotUnderstood if it has a part."""
    if number != round(number):
        raise NotUnderstood(
            told("{number:g} is not whole; expected a count such as 12", number=number)
        )
    return round(number)


def share_from_text(text: str, *, decimal: Decimal = Decimal.UNSAID) -> float:
    """Return a share between 0 and 1 from such as 90 %, 0.9, 9/10, 9 in 10 or 9 of 10."""
    bare = plain_signs(text)
    if bare.endswith("%") or bare.lower().endswith((" percent", " per cent")):
        digits = re.sub(r"(%|per ?cent)$", "", bare, flags=re.IGNORECASE)
        return number_from_text(digits, decimal=decimal) / 100.0
    if parts := re.fullmatch(r"([0-9]+) (?:in|of|out of) ([0-9]+)", bare.lower()):
        bare = f"{parts[1][:4]}/{parts[2][:4]}"
    return share_from_number(number_from_text(bare, decimal=decimal))


def share_from_number(number: float) -> float:
    """Return a share; from ten on a number is per cent, since no share is above one.

    Raises NotUnderstood between one and ten: 1.5 may be a slip for 0.15, or 1.5 %.
    """
    if 1.0 < number < 10.0:
        raise NotUnderstood(
            told("{number:g} is no share; expected such as 90 % or 0.9", number=number)
        )
    return number / 100.0 if number >= 10.0 else number


def price_from_text(text: str, *, decimal: Decimal = Decimal.UNSAID) -> float:
    """Return a price, its currency sign left off."""
    bare = plain_signs(text)
    return number_from_text(_MONEY_MARKS.sub("", bare).strip(), decimal=decimal)


def hours_from_text(text: str, *, decimal: Decimal = Decimal.UNSAID) -> float:
    """Return hours from such as 5.5, 5:30, 5 h or 5 h 30."""
    bare = plain_signs(text).lower()
    if clock := re.fullmatch(r"([0-9]{1,3}) ?(?::|h) ?([0-5][0-9])(?::00| ?min)?", bare):
        return int(clock[1]) + int(clock[2]) / 60.0
    return number_from_text(re.sub(r" ?(h|hrs?|hours?)$", "", bare), decimal=decimal)
