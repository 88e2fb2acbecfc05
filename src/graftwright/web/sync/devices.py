"""What a phone is called in the record."""

import re

from graftwright.errors import NotUnderstood

_DEVICE = re.compile(r"phone [0-9a-f]{4,8}")


def device_from(text: str) -> str:
    """Return a phone's name as it made it for itself. Raises NotUnderstood for any other text."""
    if not _DEVICE.fullmatch(text):
        raise NotUnderstood(f"{text[:40]!r} is no name of a phone; expected such as 'phone 3f2a'")
    return text
