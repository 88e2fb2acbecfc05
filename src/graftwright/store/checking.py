"""The notebook proved: each part against the record it follows from, each fault with its way out.

The order matters: where entries cannot be read, nothing that follows from them can be judged.
"""

import hashlib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path

from django.conf import settings
from django.db import DatabaseError, connection

from graftwright.errors import GraftwrightError
from graftwright.notebook.amended import effective
from graftwright.notebook.entries import (
    CodesHandedOut,
    MotherTreeEntered,
    PromiseMade,
    RunGrafted,
    WoodCut,
    Written,
)
from graftwright.notebook.entries.entry import Entry
from graftwright.store.abouts import abouts_that_differ
from graftwright.store.models import Standing, WrittenEntry
from graftwright.store.pages import entry_row, written_from_row
from graftwright.store.photos import photos_named
from graftwright.store.read import standings_that_differ
from graftwright.tongue import marked, say, told

_AT_ONCE = 500
_CODE_KINDS = ("tree", "bundle", "lot", "place", "mother tree", "promise")
_FROM_BACKUP = marked("restore the last good backup into a new folder: graftwright restore")
_ANEW = marked("graftwright replay")
_ON_ITS_PAGE = marked("withdraw or correct one of the two on the page of the code")


class Harm(StrEnum):
    """What a finding says is harmed."""

    DATABASE = "database"
    RECORD = "record"
    PHOTO = "photo"
    CODE = "code"
    ABOUT = "stories"
    STANDING = "standing"

    @property
    def is_loss(self) -> bool:
        """Return whether something is lost here that only a backup has."""
        return self in (Harm.DATABASE, Harm.RECORD, Harm.PHOTO)


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One thing that is not as it must be, and how to mend it."""

    harm: Harm
    what: str
    mend: str


def findings() -> tuple[Finding, ...]:
    """Return everything that is not as it must be; nothing is changed."""
    try:
        harmed = (*_database(), *_record())
        if harmed:
            return harmed
        rest: tuple[Iterator[Finding], ...] = (_photos(), _codes(), _abouts(), _standings())
        return tuple(one for some in rest for one in some)
    except DatabaseError as broken:
        return (_lost(Harm.DATABASE, told("the database cannot be read: {broken}", broken=broken)),)


def _lost(harm: Harm, what: str, mend: str = _FROM_BACKUP) -> Finding:
    return Finding(harm=harm, what=what, mend=mend)


def _database() -> Iterator[Finding]:
    if connection.vendor != "sqlite":
        return
    with connection.cursor() as cursor:
        cursor.execute("PRAGMA integrity_check(20)")
        for (words,) in cursor.fetchall():
            if words != "ok":
                yield _lost(
                    Harm.DATABASE, told("the database file is damaged: {words}", words=words)
                )


def _record() -> Iterator[Finding]:
    last = 0
    rows = WrittenEntry.objects.order_by("sequence")
    while some := list(
        rows.filter(sequence__gt=last).values_list("sequence", flat=True)[:_AT_ONCE]
    ):
        yield from _unlike(some)
        last = some[-1]


def _unlike(sequences: list[int]) -> Iterator[Finding]:
    """Read rows at once; one by one where one of them cannot be read at all."""
    try:
        found = list(WrittenEntry.objects.filter(sequence__in=sequences))
    except (ValueError, TypeError, AttributeError):
        if len(sequences) > 1:
            for one in sequences:
                yield from _unlike([one])
            return
        yield _lost(
            Harm.RECORD, told("entry number {sequences} cannot be read", sequences=sequences[0])
        )
        return
    for row in found:
        yield from _row(row)


def _row(row: WrittenEntry) -> Iterator[Finding]:
    name = told("entry number {sequence} ({kind})", sequence=row.sequence, kind=row.kind)
    try:
        right = entry_row(written_from_row(row))
    except (GraftwrightError, ValueError, TypeError, KeyError, AttributeError) as wrong:
        yield _lost(Harm.RECORD, told("{name} cannot be read: {wrong}", name=name, wrong=wrong))
        return
    for column in ("happened_on", "target"):
        if getattr(row, column) != getattr(right, column):
            yield _lost(
                Harm.RECORD,
                told(
                    "{name} says another {column} beside than in its own words",
                    name=name,
                    column=column,
                ),
            )
            return


def _photos() -> Iterator[Finding]:
    folder = Path(settings.NOTEBOOK_FOLDER) / "photos"
    rows = WrittenEntry.objects.filter(kind="PhotoAdded")
    for name in photos_named(map(written_from_row, rows)):
        mend = told("copy {name} from photos/ of a backup into photos/ of the notebook", name=name)
        try:
            content = (folder / name).read_bytes()
        except OSError:
            yield _lost(
                Harm.PHOTO, told("photo {name} is named by an entry and not here", name=name), mend
            )
            continue
        if hashlib.sha256(content).hexdigest() != name.partition(".")[0]:
            yield _lost(Harm.PHOTO, told("photo {name} is not what its name says", name=name), mend)


def _codes() -> Iterator[Finding]:
    kinds = ("RunGrafted", "WoodCut", "PromiseMade", "MotherTreeEntered", "CodesHandedOut")
    amending = ("EntryCorrected", "EntryWithdrawn")
    rows = WrittenEntry.objects.filter(kind__in=(*kinds, *amending)).order_by("sequence")
    counted = effective(written_from_row(row) for row in rows.iterator(chunk_size=_AT_ONCE))
    yield from _given_twice(counted)
    yield from _blocks_that_overlap(counted)
    kind_of: dict[str, str] = {}
    things = Standing.objects.filter(kind__in=_CODE_KINDS).values_list("key", "kind")
    for key, kind in things.iterator(chunk_size=_AT_ONCE):
        if (other := kind_of.setdefault(key, kind)) != kind:
            yield Finding(
                harm=Harm.CODE,
                what=told("{key} names a {other} and a {kind}", key=key, other=other, kind=kind),
                mend=_ON_ITS_PAGE,
            )


def _given_twice(counted: Iterable[Written]) -> Iterator[Finding]:
    given: dict[str, Written] = {}
    for one in counted:
        for code in _codes_given(one.entry):
            first = given.setdefault(code, one)
            if first is not one:
                kinds = told(
                    "{name} and {name_2}",
                    name=type(first.entry).__name__,
                    name_2=type(one.entry).__name__,
                )
                yield Finding(
                    harm=Harm.CODE,
                    what=told("{code} was given twice, by {kinds}", code=code, kinds=kinds),
                    mend=_ON_ITS_PAGE,
                )


def _codes_given(entry: Entry) -> tuple[str, ...]:
    match entry:
        case RunGrafted():
            return entry.tree_codes
        case MotherTreeEntered() | PromiseMade() | WoodCut():
            return (entry.code,)
        case _:
            return ()


def _blocks_that_overlap(counted: Iterable[Written]) -> Iterator[Finding]:
    blocks = [one.entry for one in counted if isinstance(one.entry, CodesHandedOut)]
    end, holder = 0, ""
    for block in sorted(blocks, key=lambda one: one.first_number):
        if block.first_number < end:
            yield Finding(
                harm=Harm.CODE,
                what=told(
                    "{to_device} and {holder} were handed out the same codes from number "
                    "{first_number}",
                    to_device=block.to_device or say("one"),
                    holder=holder or say("another"),
                    first_number=block.first_number,
                ),
                mend=say("use up labels of one of them alone; a code used twice is refused"),
            )
        end, holder = max(end, block.first_number + block.block_count), block.to_device


def _abouts() -> Iterator[Finding]:
    for words in abouts_that_differ():
        yield Finding(harm=Harm.ABOUT, what=words, mend=_ANEW)


def _standings() -> Iterator[Finding]:
    try:
        differing = standings_that_differ()
    except (GraftwrightError, ValueError, TypeError, KeyError, AttributeError) as unreadable:
        yield Finding(
            harm=Harm.STANDING,
            what=told("what stands cannot be read: {unreadable}", unreadable=unreadable),
            mend=_ANEW,
        )
        return
    for key in differing:
        yield Finding(
            harm=Harm.STANDING,
            what=told("{key} does not stand as entries say", key=key),
            mend=_ANEW,
        )
