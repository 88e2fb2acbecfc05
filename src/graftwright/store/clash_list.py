"""Everything in the notebook that contradicts itself and is not settled, in one list.

What stands carries its doubts; their stories are read for the sides. Corrections and blocks of
codes stand in no story and are looked at by themselves.
"""

import hashlib
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from django.db.models import Count

from graftwright.errors import UnknownCode
from graftwright.notebook.amended import effective, not_withdrawn
from graftwright.notebook.clash import Clash, ClashSort
from graftwright.notebook.clashes_of_writing import (
    clashes_of_blocks,
    clashes_of_corrections,
    shared_numbers,
)
from graftwright.notebook.entries import (
    NURSERY_KEY,
    ClashSettled,
    EntryCorrected,
    EntryWithdrawn,
    PlaceEntered,
    Written,
)
from graftwright.notebook.replay import clashes_in
from graftwright.season.grouped_trees import doubted_trees
from graftwright.store.models import WrittenEntry
from graftwright.store.pages import standings_at, written_from_row
from graftwright.store.read import counted_story_of, entries_of_kind, read_notebook
from graftwright.tagcode import code_from_number
from graftwright.tongue import ENGLISH, speaking, told

# sides of which each is a part of what is too much: to choose one would set all others aside
_NOT_ONE_OF_THEM = frozenset({ClashSort.STOCKS_OVERUSED, ClashSort.WOOD_OVERUSED})
_ONE_AGAINST_MANY = frozenset({ClashSort.THROWN_AND_USED, ClashSort.WITHDRAWN_AND_SERVED})


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenClash:
    """A clash that nobody has settled: its name, and the entry that was corrected, if it is one."""

    clash_id: str
    clash: Clash
    corrected: Written | None = None

    @property
    def may_choose(self) -> bool:
        """Whether one side can count without the others."""
        sort = self.clash.sort
        alone = len(self.clash.sides) == 2 or sort not in _ONE_AGAINST_MANY
        return alone and sort not in _NOT_ONE_OF_THEM


_last_list: list[tuple[tuple[int, UUID] | None, tuple[OpenClash, ...]]] = []


def clash_list() -> tuple[OpenClash, ...]:
    """Return every open clash, by the thing it is about; kept until an entry is added.

    Their words and names are of the English, whoever asks first; `doubt_words` says the words.
    """
    last = WrittenEntry.objects.order_by("-sequence").values_list("sequence", "entry_id").first()
    if _last_list and _last_list[0][0] == last:
        return _last_list[0][1]
    with speaking(None, language=ENGLISH):
        found = tuple(sorted(_all(), key=lambda one: (one.clash.key, one.clash.sort, one.clash_id)))
    _last_list[:] = [(last, found)]
    return found


def corrections_in_doubt(story: Iterable[Written]) -> dict[UUID, str]:
    """Return the names of open clashes of corrections by the entry of the story that they correct.

    Where nothing of the story was corrected twice, nothing else is read.
    """
    entries = [one.entry for one in story]
    targets = Counter(one.target for one in entries if isinstance(one, EntryCorrected))
    if not any(count > 1 for count in targets.values()):
        return {}
    return {
        one.corrected.entry_id: one.clash_id
        for one in clash_list()
        if one.corrected and one.corrected.entry_id in targets
    }


def open_clash(clash_id: str) -> OpenClash:
    """Return a clash by its name. Raises UnknownCode where it is settled or never was."""
    for one in clash_list():
        if one.clash_id == clash_id:
            return one
    raise UnknownCode(
        told(
            "no clash {clash_id!r} is open here; it was settled already, or an entry changed it",
            clash_id=clash_id[:20],
        )
    )


def _all() -> Iterator[OpenClash]:
    for key in sorted(_keys_to_look_at()):
        yield from map(_named, clashes_in(key, counted_story_of(key)))
    settled = _settled()
    yield from _of_corrections(settled)
    blocks = effective(entries_of_kind("CodesHandedOut"))
    yield from map(_named, filter(_has_free_codes, clashes_of_blocks(blocks, settled=settled)))


def _settled() -> list[Written]:
    """Return what was settled and stands; where nothing was, what was withdrawn is not read."""
    if not WrittenEntry.objects.filter(kind="ClashSettled").exists():
        return []
    settled = effective(entries_of_kind("ClashSettled", "EntryWithdrawn"))
    return [one for one in settled if isinstance(one.entry, ClashSettled)]


def _has_free_codes(clash: Clash) -> bool:
    """Whether a code that two blocks share names nothing yet; what it names shows by itself."""
    codes = [code_from_number(number) for number in shared_numbers(*clash.sides)]
    return standings_at(codes).values("key").distinct().count() < len(codes)


def _named(clash: Clash, corrected: Written | None = None) -> OpenClash:
    sides = "".join(sorted(str(side.entry_id) for side in clash.sides))
    digest = hashlib.sha256(f"{clash.key} {clash.sort} {clash.words} {sides}".encode()).hexdigest()
    return OpenClash(clash_id=digest[:10], clash=clash, corrected=corrected)


def _keys_to_look_at() -> set[str]:
    notebook = read_notebook()
    doubtful: tuple[Mapping[str, Any], ...] = (
        {tree.code: tree for tree in doubted_trees(notebook.trees)},
        notebook.bundles,
        notebook.lots,
        notebook.mother_trees,
        notebook.promises,
    )
    keys = {key for things in doubtful for key, thing in things.items() if thing.doubts}
    described = Counter(
        one.entry.code
        for one in entries_of_kind("PlaceEntered")
        if isinstance(one.entry, PlaceEntered)
    )
    return keys | {code for code, count in described.items() if count > 1} | {NURSERY_KEY}


def _of_corrections(settled: Sequence[Written]) -> Iterator[OpenClash]:
    """Look at what was corrected more than once; who withdrew what is asked only then."""
    twice = _targets_of_two()
    if not twice:
        return
    standing: dict[UUID, list[Written]] = {}
    for one in not_withdrawn(entries_of_kind("EntryCorrected", "EntryWithdrawn")):
        if isinstance(one.entry, EntryCorrected) and one.entry.target in twice:
            standing.setdefault(one.entry.target, []).append(one)
    withdrawn = set(_withdrawn(standing))
    for row in WrittenEntry.objects.filter(entry_id__in=standing).order_by("sequence"):
        target = written_from_row(row)
        if target.entry_id not in withdrawn:
            corrections = standing[target.entry_id]
            for clash in clashes_of_corrections(target, corrections, settled=settled):
                yield _named(clash, corrected=target)


def _targets_of_two() -> set[UUID]:
    """Return what was corrected more than once; counted by the database, row by row is slow."""
    corrections = WrittenEntry.objects.filter(kind="EntryCorrected", target__isnull=False)
    counts = corrections.order_by().values("target").annotate(count=Count("sequence"))
    twice = counts.filter(count__gt=1).values_list("target", flat=True)
    return {target for target in twice if target is not None}


def _withdrawn(targets: Iterable[UUID]) -> Iterator[UUID]:
    known = frozenset(targets)
    for one in not_withdrawn(entries_of_kind("EntryWithdrawn")):
        if isinstance(one.entry, EntryWithdrawn) and one.entry.target in known:
            yield one.entry.target
