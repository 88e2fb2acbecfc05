"""Merging with another copy, held against the smallest model of it: a set of entries.

Nothing published grounds this. The model is a dictionary by id; what must hold is set union, and
that what stands afterwards is what a replay of the record gives (`standings_that_differ`).
"""

import hashlib
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta
from uuid import UUID

import pytest
from django.db import transaction
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from graftwright.errors import DamagedFile
from graftwright.notebook.entries import (
    EntryCorrected,
    EntryWithdrawn,
    FieldChange,
    NameDecided,
    NoteWritten,
    PlaceEntered,
    PlaceKind,
    PromiseChanged,
    PromiseMade,
    Written,
)
from graftwright.notebook.entries.entry import Entry
from graftwright.notebook.replay import replay
from graftwright.notebook.written import Plain, written_from_plain, written_to_plain
from graftwright.store import read
from graftwright.store.abouts import abouts_that_differ
from graftwright.store.append import add_written
from graftwright.store.merging import heap_sums, take_in
from graftwright.store.merging_with import merge_with
from graftwright.store.read import all_written, read_notebook, standings_that_differ
from graftwright.tagcode import code_from_number

pytestmark = pytest.mark.django_db
DAY = date(2009, 3, 2)
CODES = tuple(code_from_number(number) for number in range(1, 5))


class CutOff(Exception):
    """The line to the other copy broke."""


@dataclass
class SetOfEntries:
    """The other copy as a set: two entries in a piece, one heap in an answer, cut when told to."""

    lines: dict[UUID, Plain] = field(default_factory=dict)
    calls_left: int = 10**6

    def _called(self) -> None:
        self.calls_left -= 1
        if self.calls_left < 0:
            raise CutOff

    def sums(self) -> list[str]:
        self._called()
        heaps: list[list[UUID]] = [[] for _ in range(256)]
        for one in sorted(self.lines):
            heaps[one.bytes[0]].append(one)
        return [hashlib.sha256(b"".join(one.bytes for one in heap)).hexdigest() for heap in heaps]

    def ids(self, heaps: Sequence[int]) -> dict[int, list[UUID]]:
        self._called()
        return {heaps[0]: [one for one in self.lines if one.bytes[0] == heaps[0]]}

    def entries(self, ids: Sequence[UUID]) -> object:
        self._called()
        return [self.lines[one] for one in ids[:2]]

    def give(self, entries: list[Plain]) -> None:
        self._called()
        for line in entries:
            assert isinstance(line, dict)
            self.lines.setdefault(UUID(str(line["entry_id"])), line)

    def photos_wanted(self) -> list[str]:
        return []

    def photo(self, name: str) -> bytes | None:
        raise AssertionError(name)

    def give_photo(self, name: str, content: bytes) -> None:
        raise AssertionError(name, content)


def entry_of(place: int, kind: int, target: int) -> Entry:
    code, other = CODES[place % 4], CODES[target % 4]
    day = DAY + timedelta(days=target % 5)
    changes = (
        FieldChange(field="code", value_json=f'"{other}"'),
        FieldChange(field="about_codes", value_json=f'["{other}"]'),
        FieldChange(field="wanted_count", value_json=str(target + 1)),
        FieldChange(field="happened_on", value_json=f'"{day}"'),
    )
    made: tuple[Callable[[], Entry], ...] = (
        lambda: PromiseMade(
            happened_on=day, code=code, who="X", variety="Discovery", stock="M26", wanted_count=2
        ),
        lambda: PromiseChanged(happened_on=day, code=code, wanted_count=target + 1),
        lambda: NoteWritten(happened_on=day, about_codes=(code, other), words="x"),
        lambda: PlaceEntered(
            happened_on=day, code=code, name="Shed", place_kind=PlaceKind.UNHEATED_ROOM
        ),
        lambda: NameDecided(happened_on=day, code=code, variety="Discovery"),
        lambda: EntryWithdrawn(happened_on=day, target=id_of(target)),
        *(
            lambda change=change: EntryCorrected(
                happened_on=day, target=id_of(target), changes=(change,)
            )
            for change in changes
        ),
    )
    return made[kind % len(made)]()


def id_of(place: int) -> UUID:
    """Spread over the heaps, and in another order than they were written in."""
    return UUID(bytes=hashlib.sha256(bytes([place])).digest()[:16])


Universe = list[tuple[int, int, bool, bool]]
SAID = st.lists(
    st.tuples(st.integers(0, 9), st.integers(0, 7), st.booleans(), st.booleans()),
    min_size=1,
    max_size=12,
)


def universe(said: Universe) -> list[Written]:
    return [
        Written(
            entry_id=id_of(place),
            written_at=datetime(2009, 3, 2, tzinfo=UTC) + timedelta(minutes=place),
            device=f"desk {place % 2}",
            entry=entry_of(place, kind, target),
        )
        for place, (kind, target, _, _) in enumerate(said)
    ]


@contextmanager
def fresh_notebook() -> Iterator[None]:
    read._last_read.clear()
    with transaction.atomic():
        yield
        transaction.set_rollback(True)
    read._last_read.clear()


@settings(
    max_examples=40,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@example(said=[(5, 1, False, True), (5, 0, False, True)], cuts=[])  # they withdraw one another
@example(said=[(5, 0, True, True)], cuts=[])  # it withdraws itself
@example(  # two corrections wait for their entry, each naming another thing
    said=[(0, 0, False, True), (6, 1, True, True), (6, 0, True, False), (9, 0, True, False)],
    cuts=[3],
)
@given(said=SAID, cuts=st.lists(st.integers(0, 12), max_size=3))
def test_two_copies_hold_the_union_however_often_the_line_is_cut(
    db: None, said: Universe, cuts: list[int]
) -> None:
    whole = universe(said)
    here = [one for one, (_, _, is_here, _) in zip(whole, said, strict=True) if is_here]
    there = [one for one, (_, _, _, is_there) in zip(whole, said, strict=True) if is_there]
    other = SetOfEntries({one.entry_id: written_to_plain(one) for one in there})
    with fresh_notebook():
        add_written(here, check=False)
        for calls in cuts:
            other.calls_left = calls
            try:
                merge_with(other, gives=True)
            except CutOff:
                assert {one.entry_id for one in here} <= {one.entry_id for one in all_written()}
        other.calls_left = 10**6
        merge_with(other, gives=True)
        union = {one.entry_id: one for one in [*here, *there]}
        kept = {one.entry_id: one for one in all_written()}
        assert kept == union
        assert {i: written_from_plain(dict(line)) for i, line in other.lines.items()} == union  # type: ignore[call-overload]
        assert other.sums() == heap_sums()
        again = merge_with(other, gives=True)
        assert (again.taken_count, again.given_count) == (0, 0)
        assert abouts_that_differ() == []
        assert standings_that_differ() == []
        assert read_notebook() == replay(union.values())


def test_taking_only_leaves_the_other_copy_as_it_was() -> None:
    add_written(universe([(2, 0, True, False)]), check=False)
    other = SetOfEntries()
    merged = merge_with(other, gives=False)
    assert (merged.taken_count, merged.given_count, other.lines) == (0, 0, {})


def test_what_was_not_asked_for_or_cannot_be_read_is_refused_and_nothing_of_it_entered() -> None:
    good, other = map(written_to_plain, universe([(2, 0, True, True), (2, 1, True, True)]))
    with pytest.raises(DamagedFile, match="entry 2 was not asked for"):
        take_in([good, other], asked=frozenset({id_of(0)}))
    late, empty = {**other, "written_at": "yesterday"}, {**other, "entry": 3}
    for bad in (late, empty, {"kind": "NoteWritten"}, 7):
        with pytest.raises(DamagedFile, match="entry 2 cannot be read"):
            take_in([good, bad])
    with pytest.raises(DamagedFile, match="a list"):
        take_in("x")
    assert all_written() == []
