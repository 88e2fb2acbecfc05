"""A nursery's offer as a file: JSON (RFC 8259) of one version, read strictly."""

import json
from collections.abc import Callable, Mapping
from dataclasses import asdict
from datetime import date
from typing import Any, Final

from graftwright.errors import GraftwrightError, NotUnderstood, OutOfRange
from graftwright.season.scheme import (
    LEAST_GRAFTS_COUNT,
    LEAST_PEOPLE_COUNT,
    Hands,
    Offer,
    PooledCount,
    Stocks,
    Want,
    Wood,
    WoodHealth,
)
from graftwright.tongue import marked, say

OFFER_FORMAT: Final = "graftwright-offer"
OFFER_VERSION: Final = 1
MOST_OFFER_BYTES: Final = 1_000_000
_MOST_ROWS = 1000
_HEAD = {"format": str, "version": int, "least_grafts": int, "least_people": int}
_OFFER = {"nursery": str, "season": int, "made_on": date, "is_invented": bool}
_ROWS: dict[str, tuple[Callable[..., Any], dict[str, type]]] = {
    "wants": (
        Want,
        {
            "variety": str,
            "stock": str,
            "due_on": date,
            "priority": int,
            "trees_count": int,
            "made_count": int,
            "sureness_fraction": float,
        },
    ),
    "wood": (
        Wood,
        {
            "variety": str,
            "low_mm": float,
            "high_mm": float,
            "pieces_count": int,
            "ready_on": date,
            "keeps_until": date,
            "health": str,
            "may_be_sent": bool,
        },
    ),
    "stocks": (
        Stocks,
        {
            "stock": str,
            "low_mm": float,
            "high_mm": float,
            "stocks_count": int,
            "ready_on": date,
            "may_be_sent": bool,
        },
    ),
    "counts": (
        PooledCount,
        {
            "variety": str,
            "stock": str,
            "method": str,
            "grafts_count": int,
            "taken_count": int,
        },
    ),
}
_HANDS = {
    "bench_from": date,
    "bench_until": date,
    "grafts_count": int,
    "works_for_others": bool,
}
_MAY_BE_EMPTY = {"due_on"}


def offer_bytes(offer: Offer) -> bytes:
    """Return an offer as UTF-8 text, keys in a fixed order; equal offers give equal bytes."""
    head = {
        "format": OFFER_FORMAT,
        "version": OFFER_VERSION,
        "least_grafts": LEAST_GRAFTS_COUNT,
        "least_people": LEAST_PEOPLE_COUNT,
    }
    text = json.dumps({**head, **asdict(offer)}, ensure_ascii=False, indent=1, default=str)
    return f"{text}\n".encode()


def offer_from_bytes(content: bytes) -> Offer:
    """Read an offer back.

    Raises NotUnderstood where it is no such file, of another version, or has a part missing, of
    another kind, or unknown; OutOfRange where a number makes no sense or a count is so small that
    it could tell one person's results. The message names the place.
    """
    found = _object(content)
    _check_head(found)
    try:
        return _offer(found)
    except RecursionError as deep:
        raise NotUnderstood(say("the file nests too deeply to be an offer")) from deep


def _object(content: bytes) -> dict[str, Any]:
    if len(content) > MOST_OFFER_BYTES:
        raise NotUnderstood(
            say("the file has {count} bytes; an offer has at most {most}").format(
                count=len(content), most=MOST_OFFER_BYTES
            )
        )
    try:
        found = json.loads(content.decode("utf-8-sig"))
    except (ValueError, RecursionError) as wrong:
        raise NotUnderstood(
            say("the file is no JSON; take it as graftwright offer wrote it ({why})").format(
                why=str(wrong)[:100]
            )
        ) from wrong
    if not isinstance(found, dict) or found.get("format") != OFFER_FORMAT:
        raise NotUnderstood(
            say("the file is no nursery's offer; graftwright offer FILE writes one")
        )
    return found


def _check_head(found: Mapping[str, Any]) -> None:
    version = found.get("version")
    if version != OFFER_VERSION or isinstance(version, bool):
        raise NotUnderstood(
            say(
                "the offer is of version {found}; this program reads version {expected}: write "
                "it anew, or use a newer Graftwright"
            ).format(found=str(version)[:20], expected=OFFER_VERSION)
        )
    known = {*_HEAD, *_OFFER, *_ROWS, "hands"}
    _check_keys(found, known=known, place=say("the offer"))
    if found["least_grafts"] != LEAST_GRAFTS_COUNT or found["least_people"] != LEAST_PEOPLE_COUNT:
        raise NotUnderstood(
            say(
                "the offer pools counts of at least {grafts} grafts and {people} people; expected "
                "{least_grafts} and {least_people}: write it anew"
            ).format(
                grafts=str(found["least_grafts"])[:20],
                people=str(found["least_people"])[:20],
                least_grafts=LEAST_GRAFTS_COUNT,
                least_people=LEAST_PEOPLE_COUNT,
            )
        )


def _check_keys(found: Mapping[str, Any], *, known: set[str], place: str) -> None:
    if missing := sorted(known - set(found)):
        raise NotUnderstood(
            say("{place}: {names} is missing").format(place=place, names=", ".join(missing))
        )
    if unknown := sorted(set(found) - known):
        raise NotUnderstood(
            say("{place}: {names} is nothing this version knows").format(
                place=place, names=", ".join(unknown)[:100]
            )
        )


def _offer(found: Mapping[str, Any]) -> Offer:
    place = say("the offer")
    values = {key: _value(found[key], kind, f"{place}: {key}") for key, kind in _OFFER.items()}
    for key, (make, kinds) in _ROWS.items():
        rows = found[key]
        if not isinstance(rows, list) or len(rows) > _MOST_ROWS:
            raise NotUnderstood(
                say("{place}: expected a list of at most {most} rows").format(
                    place=key, most=_MOST_ROWS
                )
            )
        values[key] = tuple(
            _made(make, row, kinds, place=f"{key} {number}") for number, row in enumerate(rows, 1)
        )
    for number, count in enumerate(values["counts"], 1):
        _check_private(count, place=f"counts {number}")  # not said
    hands = found["hands"]
    values["hands"] = None if hands is None else _made(Hands, hands, _HANDS, place="hands")
    return Offer(**values)


def _made(make: Callable[..., Any], row: object, kinds: Mapping[str, type], *, place: str) -> Any:
    if not isinstance(row, dict):
        raise NotUnderstood(say("{place}: expected names with values").format(place=place))
    _check_keys(row, known=set(kinds), place=place)
    values = {key: _value(row[key], kind, f"{place}: {key}") for key, kind in kinds.items()}
    if "health" in values:
        values["health"] = _health(values["health"], place)
    try:
        return make(**values)
    except GraftwrightError as wrong:
        raise OutOfRange(f"{place}: {wrong}") from wrong


def _health(text: str, place: str) -> WoodHealth:
    try:
        return WoodHealth(text)
    except ValueError as wrong:
        raise NotUnderstood(
            say("{place}: health {found}; expected one of {expected}").format(
                place=place, found=repr(text[:40]), expected=", ".join(WoodHealth)
            )
        ) from wrong


def _value(found: object, kind: type, place: str) -> Any:
    if kind is date:
        return _day(found, place)
    fits = isinstance(found, int | float) if kind is float else isinstance(found, kind)
    if not fits or (isinstance(found, bool) and kind is not bool):
        raise NotUnderstood(
            say("{place}: found {found}; expected {expected}").format(
                place=place, found=repr(found)[:40], expected=say(_KINDS[kind])
            )
        )
    return float(found) if kind is float else found  # type: ignore[arg-type]


_KINDS = {
    str: marked("a text"),
    int: marked("a whole number"),
    float: marked("a number"),
    bool: marked("true or false"),
}


def _day(found: object, place: str) -> date | None:
    if found is None and place.rpartition(" ")[2] in _MAY_BE_EMPTY:
        return None
    try:
        return date.fromisoformat(str(found))
    except ValueError as wrong:
        raise NotUnderstood(
            say("{place}: found {found}; expected a day such as 2009-02-17").format(
                place=place, found=repr(found)[:40]
            )
        ) from wrong


def _check_private(count: PooledCount, *, place: str) -> None:
    if count.grafts_count < LEAST_GRAFTS_COUNT or count.taken_count in (0, count.grafts_count):
        raise OutOfRange(
            say(
                "{place}: {taken} taken of {grafts} could tell one person's results; expected at "
                "least {least} grafts, some taken and some not"
            ).format(
                place=place,
                taken=count.taken_count,
                grafts=count.grafts_count,
                least=LEAST_GRAFTS_COUNT,
            )
        )
