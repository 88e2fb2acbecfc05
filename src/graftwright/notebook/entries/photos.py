"""A photo added to the story of what it shows."""

import re
from dataclasses import dataclass

from graftwright.errors import OutOfRange
from graftwright.notebook.entries.entry import Entry
from graftwright.tongue import say, told

PHOTO_KINDS = ("image/jpeg", "image/png")
_SHA256 = re.compile(r"[0-9a-f]{64}")


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoAdded(Entry):
    """A photo of one or more things; the picture itself is kept beside, under its SHA-256."""

    about_codes: tuple[str, ...]
    sha256: str
    media_type: str = PHOTO_KINDS[0]
    words: str = ""

    def __post_init__(self) -> None:
        Entry.__post_init__(self)
        if not self.about_codes:
            raise OutOfRange(say("a photo of nothing; give at least one code"))
        if not _SHA256.fullmatch(self.sha256):
            raise OutOfRange(
                told("{sha256!r} is no SHA-256; expected 64 hex digits", sha256=self.sha256[:70])
            )
        if self.media_type not in PHOTO_KINDS:
            raise OutOfRange(
                told(
                    "a photo of type {media_type!r}; expected JPEG or PNG",
                    media_type=self.media_type,
                )
            )
