"""When two spellings are the same name: accents, marks, capitals and spaces do not count."""

import re
import unicodedata
from functools import lru_cache

_APOSTROPHES = re.compile(r"['’‘`´]")
_NEITHER_LETTER_NOR_DIGIT = re.compile(r"[\W_]+")
_SAINT = re.compile(r"\bsaint\b")


@lru_cache(maxsize=8_192)
def folded_name(text: str) -> str:
    """Bring a name to the form in which it is compared: "Ashmead’s Kernel" → "ashmeads kernel".

    Letters of every alphabet are kept; only marks, capitals and spaces are levelled.
    """
    letters = _APOSTROPHES.sub("", text)
    if not letters.isascii():
        parts = unicodedata.normalize("NFKD", letters)
        letters = "".join(sign for sign in parts if not unicodedata.combining(sign))
    return _SAINT.sub("st", _NEITHER_LETTER_NOR_DIGIT.sub(" ", letters.casefold())).strip()


def folded_stock_name(text: str) -> str:
    """Bring a rootstock's name to the form in which it is compared: "M. 9" → "m9"."""
    return folded_name(text).replace(" ", "")
