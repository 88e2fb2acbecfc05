"""Offers of other nurseries, kept beside the record: one file each, named by what it holds."""

import hashlib
import re
from pathlib import Path

from django.conf import settings

from graftwright.errors import NotebookBusy, UnknownCode
from graftwright.store.photos import write_whole
from graftwright.tongue import say

_NAME = re.compile(r"[0-9a-f]{64}")
_MOST_OFFERS = 200


def keep_offer(content: bytes) -> str:
    """Keep an offer's file and return the name it is found by; the same file is kept once.

    Raises NotebookBusy where there are too many already, or it could not be written.
    """
    name = hashlib.sha256(content).hexdigest()
    if name not in kept_offers() and len(kept_offers()) >= _MOST_OFFERS:
        raise NotebookBusy(
            say("{count} offers are kept already; remove those of other years first").format(
                count=_MOST_OFFERS
            )
        )
    write_whole(_folder() / f"{name}.json", content)
    return name


def kept_offers() -> dict[str, bytes]:
    """Return every offer kept here by its name."""
    if not _folder().is_dir():
        return {}
    return {
        path.stem: path.read_bytes()
        for path in sorted(_folder().glob("*.json"))
        if _NAME.fullmatch(path.stem)
    }


def drop_offer(name: str) -> None:
    """Let go of an offer. Raises UnknownCode where none of that name is kept."""
    path = _folder() / f"{name}.json"
    if not _NAME.fullmatch(name) or not path.is_file():
        raise UnknownCode(say("no such offer is kept here; it may have been removed already"))
    path.unlink()


def _folder() -> Path:
    return Path(settings.NOTEBOOK_FOLDER) / "offers"
