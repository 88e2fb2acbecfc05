"""Writing entries down: rules asked, rows added, what follows saved; all or nothing."""

from collections.abc import Iterable, Sequence
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
    try:
        with in_turn():
            return tuple(_add_all(marked, check=check))
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


def _add_all(marked: Sequence[Written], *, check: bool) -> Iterable[Written]:
    pages = OpenPages()
    known = _already_here(marked)
    new = [one for one in marked if one.entry_id not in known]
    pages.open(key for one in new for key in one.entry.concerns())
    pages.read_stories((one.entry, key) for one in new for key in one.entry.concerns())
    for one in marked:
        if one.entry_id in known:
            yield known[one.entry_id]
        else:
            _add_one(one, pages, check=check)
            known[one.entry_id] = one
            yield one
    pages.save()


def _already_here(marked: Sequence[Written]) -> dict[UUID, Written]:
    ids = [one.entry_id for one in marked]
    found: dict[UUID, Written] = {}
    for start in range(0, len(ids), 500):
        rows = WrittenEntry.objects.filter(entry_id__in=ids[start : start + 500])
        found.update({row.entry_id: written_from_row(row) for row in rows})
    return found


def _add_one(one: Written, pages: OpenPages, *, check: bool) -> None:
    target = target_of(one.entry)
    keys = set(one.entry.concerns())
    if target is not None:
        keys |= _keys_of_target(one.entry, target, check=check)
    pages.open(keys)
    pages.read_stories((one.entry, key) for key in keys)
    if check:
        _check_follows(one, pages)
    row = entry_row(one)
    check_keepable(row)
    for key in keys:
        check_key(key)
    row.save(force_insert=True)
    EntryAbout.objects.bulk_create(EntryAbout(entry=row, key=key) for key in sorted(keys))
    pages.add(one, sorted(keys))
    _meet_waiting_amendments(row, keys, pages, met=set())


def _check_follows(one: Written, pages: OpenPages) -> None:
    """Ask the rules; what comes late from a phone may also follow what was true at its moment.

    Then it is kept, and what it contradicts becomes a doubt. A code is never given twice.
    """
    try:
        check_may_follow(one.entry, pages.notebook())
    except CannotFollow:
        if open_sending() is None or _names_a_taken_code(one.entry, pages):
            raise
        check_may_follow(one.entry, pages.notebook_before(one))


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
