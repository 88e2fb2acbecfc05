"""What a phone is called in the record."""

import re

from graftwright.errors import NotUnderstood
from graftwright.tongue import told

_DEVICE = re.compile(r"phone [0-9a-f]{4,8}")


def device_from(text: str) -> str:
    """Return a phone's name as it made it for itself. Raises NotUnderstood for any other text."""
    if not _DEVICE.fullmatch(text):
        raise NotUnderstood(
            told("{text!r} is no name of a phone; expected such as 'phone 3f2a'", text=text[:40])
        )
    return text
