"""Words as they are set: letters joined with their accents, single spaces, no control signs."""

import re
import unicodedata

_NOT_PRINTED = re.compile("[\x00-\x1f\x7f-\x9f\ud800-\udfff]")


def composed(text: str) -> str:
    """Return the text as it is printed: NFC, white space made single, control signs left out."""
    return _NOT_PRINTED.sub("", " ".join(unicodedata.normalize("NFC", text).split()))
