"""The catalogues of messages, a folder for each room, and how they are found and joined."""

from functools import cache
from gettext import GNUTranslations, NullTranslations
from pathlib import Path

__all__ = ["CATALOGUE_FOLDERS", "LANGUAGES", "catalogue_of"]

LANGUAGES = {"en": "English", "de": "Deutsch"}
_HERE = Path(__file__).parent
CATALOGUE_FOLDERS = tuple(
    sorted(one for one in _HERE.iterdir() if (one / "de" / "LC_MESSAGES").is_dir())
)


@cache
def catalogue_of(language: str) -> NullTranslations | None:
    """Return every room's messages of a language as one; None for English, the messages' own."""
    if language not in LANGUAGES or language == "en":
        return None
    joined = NullTranslations()
    for folder in reversed(CATALOGUE_FOLDERS):
        path = folder / language / "LC_MESSAGES" / "django.mo"
        if path.exists():
            with path.open("rb") as file:
                room = GNUTranslations(file)
            room.add_fallback(joined)
            joined = room
    return joined
