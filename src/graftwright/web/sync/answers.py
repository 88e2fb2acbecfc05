"""What became of something sent: kept, here already, kept and flagged, or refused with the why."""

import re
import time
from collections.abc import Mapping
from enum import StrEnum
from html import unescape
from uuid import UUID

from django.http import HttpResponse

from graftwright.notebook.notebook import Thing
from graftwright.store.models import EntryAbout
from graftwright.store.pages import standings_at, thing_from_row
from graftwright.tongue import marked

_REASONS = re.compile(r'<ul class="wrong"[^>]*>(.*?)</ul>|<p class="remark[^>]*>(.*?)</p>', re.S)
_DOUBTED = ("tree", "bundle", "lot", "mother tree", "promise")
_TAGS = re.compile(r"<[^>]+>")
_UNSAID = marked("The program did not write it down; open its page and look.")


class Answer(StrEnum):
    """What became of something sent."""

    KEPT = "kept"
    HERE = "already here"
    FLAGGED = "kept and flagged"
    REFUSED = "refused"


def now_ms() -> int:
    """Return the program's own time, in milliseconds since 1970."""
    return time.time_ns() // 1_000_000


def doubts_of(entry_id: UUID) -> list[str]:
    """Return the doubts that stand now about the things an entry is about."""
    about = EntryAbout.objects.filter(entry__entry_id=entry_id)
    keys = list(about.values_list("key", flat=True)[:50])
    things: dict[str, dict[str, Thing]] = {key: {} for key in keys}
    for row in standings_at(keys).filter(kind__in=_DOUBTED):
        things[row.key][row.kind] = thing_from_row(row)
    return doubts_among(things)


def doubts_among(things: Mapping[str, Mapping[str, Thing]]) -> list[str]:
    """Return the doubts that stand about things, by key and kind, in words."""
    found: list[str] = []
    for key, by_kind in things.items():
        for kind in _DOUBTED:
            doubts = getattr(by_kind.get(kind), "doubts", ())
            found += [f"{key}: {doubt}." for doubt in doubts]
    return found[:5]


def reasons_on_page(response: HttpResponse) -> list[str]:
    """Return the reasons that a page shows for having written nothing down."""
    if response.streaming:
        return [_UNSAID]
    text = response.content[:400_000].decode("utf-8", "replace")
    found = [_plain(first or second) for first, second in _REASONS.findall(text)]
    return [words for words in found if words][:5] or [_UNSAID]


def _plain(html: str) -> str:
    return " ".join(unescape(_TAGS.sub(" ", html)).split())
