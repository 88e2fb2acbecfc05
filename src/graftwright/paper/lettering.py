"""Words as they are set: letters joined with their accents, single spaces, no control signs."""

import re
import unicodedata

_NOT_PRINTED = re.compile("[\x00-\x1f\x7f-\x9f\ud800-\udfff]")


def composed(text: str) -> str:
    """Return the text as it is printed: said, NFC, white space single, no control signs."""
    return _NOT_PRINTED.sub("", " ".join(unicodedata.normalize("NFC", str(text)).split()))
