"""A merge with another copy that answers: ids first, then only what is missing, both ways.

Nothing is kept of a merge but what it brought: whoever does it again begins by comparing.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Protocol
from uuid import UUID

from graftwright.errors import DamagedFile, NotUnderstood
from graftwright.notebook.written import Plain
from graftwright.store.merging import (
    HEAP_COUNT,
    MOST_ENTRIES,
    entries_asked,
    heap_sums,
    heaps_with_ids,
    ids_missing,
    photos_wanted,
    take_in,
    take_photo,
)
from graftwright.store.photos import photos_missing, read_photo
from graftwright.tongue import say, told

Report = Callable[[str], None]


class OtherCopy(Protocol):
    """Another copy of the notebook, wherever it is. Each call is bounded and may be repeated."""

    def sums(self) -> list[str]:
        """Return the sums of its heaps."""
        ...

    def ids(self, heaps: Sequence[int]) -> dict[int, list[UUID]]:
        """Return the ids of some of these heaps, at least of the first."""
        ...

    def entries(self, ids: Sequence[UUID]) -> object:
        """Return some of these entries, at least one."""
        ...

    def give(self, entries: list[Plain]) -> None:
        """Let it take entries in."""
        ...

    def photos_wanted(self) -> list[str]:
        """Return the names of photos that it misses."""
        ...

    def photo(self, name: str) -> bytes | None:
        """Return a photo's content; None where it has none either."""
        ...

    def give_photo(self, name: str, content: bytes) -> None:
        """Let it keep a photo."""
        ...


@dataclass(frozen=True, slots=True, kw_only=True)
class Merged:
    """What went over: entries and photos each way, and photos that neither copy has whole."""

    taken_count: int
    given_count: int
    photos_taken_count: int
    photos_given_count: int
    photos_left_count: int


def merge_with(other: OtherCopy, *, gives: bool, report: Report = lambda _: None) -> Merged:
    """Join this notebook with another copy; with `gives`, the other one with this as well.

    Raises DamagedFile where the other's answers cannot be read. What came until then stays.
    """
    there, here = _differing_ids(other)
    report(
        told(
            "{count} entries are missing here, {count_2} there.",
            count=len(there),
            count_2=len(here),
        )
    )
    taken = _take(other, there, report)
    given = _give(other, here, report) if gives else 0
    photos_taken, left_here = _take_photos(other)
    photos_given, left_there = _give_photos(other) if gives else (0, 0)
    return Merged(
        taken_count=taken,
        given_count=given,
        photos_taken_count=photos_taken,
        photos_given_count=photos_given,
        photos_left_count=left_here + left_there,
    )


def _differing_ids(other: OtherCopy) -> tuple[list[UUID], list[UUID]]:
    """Return the ids that only the other copy has, and those that only this one has."""
    theirs, ours = other.sums(), heap_sums()
    if len(theirs) != HEAP_COUNT:
        raise DamagedFile(
            told(
                "the other copy sent {count} sums; expected {HEAP_COUNT}",
                count=len(theirs),
                HEAP_COUNT=HEAP_COUNT,
            )
        )
    left = [heap for heap in range(HEAP_COUNT) if theirs[heap] != ours[heap]]
    only_there: list[UUID] = []
    only_here: list[UUID] = []
    while left:
        found = other.ids(left)
        answered = [heap for heap in left if heap in found]
        if not answered:
            raise DamagedFile(say("the other copy answered for none of the heaps asked for"))
        for heap in answered:
            here = set(heaps_with_ids([heap])[heap])
            only_there += sorted(set(found[heap]) - here)
            only_here += sorted(here - set(found[heap]))
        left = [heap for heap in left if heap not in found]
    return only_there, only_here


def _take(other: OtherCopy, ids: Sequence[UUID], report: Report) -> int:
    count = 0
    left = list(ids)
    while left:
        piece = left[:MOST_ENTRIES]
        count += take_in(other.entries(piece), asked=frozenset(piece))
        still = ids_missing(piece)
        if len(still) == len(piece):
            raise DamagedFile(
                say("the other copy sent none of the entries asked for; try again later")
            )
        left = [*still, *left[len(piece) :]]
        report(
            told(
                "{count} of {count_2} entries taken in.",
                count=len(ids) - len(left),
                count_2=len(ids),
            )
        )
    return count


def _give(other: OtherCopy, ids: Sequence[UUID], report: Report) -> int:
    left = list(ids)
    while left:
        piece = entries_asked(left[:MOST_ENTRIES])
        other.give(piece)
        gone = {UUID(str(one["entry_id"])) for one in piece if isinstance(one, dict)}
        left = [one for one in left if one not in gone]
        report(
            told(
                "{count} of {count_2} entries given.", count=len(ids) - len(left), count_2=len(ids)
            )
        )
    return len(ids)


def _take_photos(other: OtherCopy) -> tuple[int, int]:
    """Take the photos that are missing here; return how many came, and how many are still missing.

    One that the other copy lacks too, or that came damaged, keeps none of the others back.
    """
    taken = left = 0
    for name in photos_wanted():
        content = other.photo(name)
        try:
            came = content is not None and take_photo(name, content)
        except (DamagedFile, NotUnderstood):
            came = False
        taken, left = taken + came, left + (not came)
    return taken, left


def _give_photos(other: OtherCopy) -> tuple[int, int]:
    """Give the photos that are missing there and are here; return how many, and how many refused.

    Those that are in neither copy were counted where they were looked for.
    """
    given = refused = 0
    wanted = other.photos_wanted()
    missing = set(photos_missing(wanted))
    for name in wanted:
        if name in missing:
            continue
        try:
            other.give_photo(name, read_photo(name)[1])
            given += 1
        except (DamagedFile, NotUnderstood):
            refused += 1
    return given, refused
