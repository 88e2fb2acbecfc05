"""Writing entries down: rules asked, rows added, what follows saved; all or nothing."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from uuid import UUID, uuid4

from django.db import DataError, IntegrityError, OperationalError

from graftwright.errors import CannotFollow, GraftwrightError, NotebookBusy, OutOfRange
from graftwright.notebook.amended import corrected
from graftwright.notebook.entries import (
    EntryCorrected,
    MotherTreeEntered,
    PromiseMade,
    RunGrafted,
    StocksOffered,
    WoodCut,
    Written,
)
from graftwright.notebook.entries.entry import Entry
from graftwright.notebook.notebook import Thing
from graftwright.notebook.rules import check_may_follow
from graftwright.store.in_turn import in_turn
from graftwright.store.keepable import check_keepable, check_key
from graftwright.store.models import EntryAbout, WrittenEntry
from graftwright.store.pages import OpenPages, entry_row, target_of, written_from_row
from graftwright.store.sending import open_sending
from graftwright.store.signed_in import writer
from graftwright.tongue import told


def write(
    entry: Entry,
    *,
    written_by: str = "",
    device: str = "",
    nursery: str = "",
    entry_id: UUID | None = None,
) -> Written:
    """Write one entry down and return it with its marks.

    Sending the same `entry_id` again returns what was written then. Raises CannotFollow or
    UnknownCode when the entry cannot be true, NotebookBusy when the notebook could not be written.
    """
    now = datetime.now(UTC)
    marks = Written(
        entry_id=entry_id or uuid4(),
        written_at=now,
        written_by=writer(written_by),
        device=device,
        nursery=nursery,
        entry=entry,
    )
    return add_written([marks if entry_id else _of_sending(marks)], check=True)[0]


def write_many(
    entries: Iterable[Entry], *, written_by: str = "", device: str = "", nursery: str = ""
) -> tuple[Written, ...]:
    """Write entries down in the order given, all or none. Raises as `write` does."""
    now = datetime.now(UTC)
    marked = [
        _of_sending(
            Written(
                entry_id=uuid4(),
                written_at=now + timedelta(microseconds=place),
                written_by=writer(written_by),
                device=device,
                nursery=nursery,
                entry=entry,
            )
        )
        for place, entry in enumerate(entries)
    ]
    return add_written(marked, check=True)


def is_written(entry_id: UUID) -> bool:
    """Return whether an entry is here already."""
    return WrittenEntry.objects.filter(entry_id=entry_id).exists()


def _of_sending(marks: Written) -> Written:
    """Return the marks with the id and the moment of the sending that is open, if one is."""
    sending = open_sending()
    if sending is None:
        return marks
    return replace(
        marks,
        entry_id=sending.next_entry_id(),
        device=sending.device or marks.device,
        entry=sending.dated(marks.entry),
    )


def add_written(marked: Sequence[Written], *, check: bool) -> tuple[Written, ...]:
    """Add entries that carry their marks; those already here are left as they are.

    With `check` false the rules are not asked: entries of another copy are kept whatever they say,
    and contradictions show as doubts.
    """
    with faults_in_words(), in_turn():
        adding = Adding(marked, check=check)
        added = tuple([adding.add(one) for one in marked])
        adding.save()
        return added


@contextmanager
def faults_in_words() -> Iterator[None]:
    """Say in our own words what the database refuses while entries are added."""
    try:
        yield
    except OperationalError as busy:
        raise NotebookBusy(
            told(
                "the notebook could not be written ({busy}); nothing of this was "
                "entered: free the disk or close the other program, then send it again",
                busy=busy,
            )
        ) from busy
    except IntegrityError as twice:
        raise NotebookBusy(
            told("the same entry was being written ({twice}); look again", twice=twice)
        ) from twice
    except DataError as unfit:
        raise OutOfRange(
            told(
                "the database cannot keep this ({unfit}); nothing of it was entered: "
                "shorten the text or make the number smaller",
                unfit=unfit,
            )
        ) from unfit


class Adding:
    """Entries added in one turn, which the caller holds: what they touch is read once for all.

    Each is in the record when `add` returns; what follows from them stands after `save`. One that
    is refused leaves the others as they are, unless the adding is torn: then nothing of it may be
    kept.
    """

    def __init__(self, marked: Sequence[Written], *, check: bool) -> None:
        self.pages = OpenPages()
        self.is_torn = False
        self._check = check
        self._keys: dict[UUID, list[str]] = {}
        self._known, self._awaited = _already_here(marked)
        new = [one for one in marked if one.entry_id not in self._known]
        self.pages.open(key for one in new for key in one.entry.concerns())
        self.pages.read_stories((one.entry, key) for one in new for key in one.entry.concerns())

    def is_here(self, entry_id: UUID) -> bool:
        """Return whether one of the entries is in the record."""
        return entry_id in self._known

    def add(self, one: Written) -> Written:
        """Add one of the entries; return it as it is in the record. Raises as `write` does."""
        known = self._known.get(one.entry_id)
        if known is None:
            self._add(one)
            known = self._known[one.entry_id] = one
        return known

    def things_of(self, one: Written) -> dict[str, Mapping[str, Thing]]:
        """Return how what an entry just added is about stands now, by key and kind."""
        return {key: self.pages.things_at(key) for key in self._keys.get(one.entry_id, ())}

    def save(self) -> None:
        """Write down how things stand after what was added."""
        self.pages.save()

    def _add(self, one: Written) -> None:
        target, pages = target_of(one.entry), self.pages
        keys = set(one.entry.concerns())
        if target is not None:
            keys |= _keys_of_target(one.entry, target, check=self._check)
            pages.forget_stories(keys)  # what is corrected may be in more of them now
        pages.open(keys)
        pages.read_stories((one.entry, key) for key in keys)
        if self._check:
            _check_follows(one, pages, keys)
        row = entry_row(one)
        check_keepable(row)
        for key in keys:
            check_key(key)
        self.is_torn = True
        row.save(force_insert=True)
        EntryAbout.objects.bulk_create(EntryAbout(entry=row, key=key) for key in sorted(keys))
        pages.add(one, sorted(keys))
        self._keys[one.entry_id] = sorted(keys)
        if one.entry_id in self._awaited:
            _meet_waiting_amendments(row, keys, pages, met=set())
        if target is not None:
            self._awaited.add(target)
        self.is_torn = False


def _already_here(marked: Sequence[Written]) -> tuple[dict[UUID, Written], set[UUID]]:
    """Return which of the entries are in the record, and which an amendment there waits for."""
    ids = [one.entry_id for one in marked]
    found: dict[UUID, Written] = {}
    awaited: set[UUID] = set()
    for start in range(0, len(ids), 500):
        some = ids[start : start + 500]
        rows = WrittenEntry.objects.filter(entry_id__in=some)
        found.update({row.entry_id: written_from_row(row) for row in rows})
        amending = WrittenEntry.objects.filter(target__in=some)
        awaited.update(one for one in amending.values_list("target", flat=True) if one)
    return found, awaited


def _check_follows(one: Written, pages: OpenPages, keys: set[str]) -> None:
    """Ask the rules; what comes late from a phone may also follow what was true at its moment.

    Then it is kept, and what it contradicts becomes a doubt. A code is never given twice.
    """
    try:
        check_may_follow(one.entry, pages.notebook())
    except CannotFollow:
        if open_sending() is None or _names_a_taken_code(one.entry, pages):
            raise
        check_may_follow(one.entry, pages.notebook_before(one, keys))


def _names_a_taken_code(entry: Entry, pages: OpenPages) -> bool:
    taken = pages.notebook().kind_of_code
    match entry:
        case RunGrafted(tree_codes=codes):
            return any(taken(code) for code in codes)
        case MotherTreeEntered() | PromiseMade() | StocksOffered() | WoodCut():
            return bool(taken(entry.code))
        case _:
            return False


def _keys_of_target(entry: Entry, target: UUID, *, check: bool) -> set[str]:
    """Return what the amended entry is about, before and after; note the new keys beside it."""
    row = WrittenEntry.objects.filter(entry_id=target).first()
    if row is None:
        if check:
            raise CannotFollow(
                told(
                    "no entry {target} is written here; nothing to correct or withdraw",
                    target=target,
                )
            )
        return set()
    before = set(EntryAbout.objects.filter(entry=row).values_list("key", flat=True))
    after = set()
    if isinstance(entry, EntryCorrected):
        after = _concerns_corrected(row, entry, check=check) - before
        EntryAbout.objects.bulk_create(EntryAbout(entry=row, key=key) for key in sorted(after))
    return before | after


def _concerns_corrected(row: WrittenEntry, correction: EntryCorrected, *, check: bool) -> set[str]:
    """Return what an entry is about once corrected; an impossible correction only fails a check."""
    try:
        return set(corrected(written_from_row(row), correction).entry.concerns())
    except GraftwrightError:
        if check:
            raise
        return set()


def _meet_waiting_amendments(
    row: WrittenEntry, keys: set[str], pages: OpenPages, *, met: set[int]
) -> None:
    """Let corrections and withdrawals that came before their entry take hold of it.

    Each is met once, so that entries of another copy that name one another in a ring do no harm.
    """
    met.add(row.pk)
    for amendment in WrittenEntry.objects.filter(target=row.entry_id).exclude(pk__in=met):
        written = written_from_row(amendment)
        reach = set(keys)
        if isinstance(written.entry, EntryCorrected):
            reach |= _concerns_corrected(row, written.entry, check=False)
        pages.open(reach)
        for key in sorted(reach):
            EntryAbout.objects.get_or_create(entry=amendment, key=key)
            EntryAbout.objects.get_or_create(entry=row, key=key)
        pages.add(written, sorted(reach))
        pages.add(written_from_row(row), sorted(reach - keys))
        _meet_waiting_amendments(amendment, reach, pages, met=met)
