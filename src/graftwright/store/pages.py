"""Pages of the notebook lying open: the stories of some keys, and those things as they stand.

A page is opened from the tables once, entries are added to it in memory, and what changed is saved
in the same transaction as the entries themselves.
"""

from collections.abc import Iterable, Mapping
from datetime import datetime
from typing import cast
from uuid import UUID

from django.db import connection
from django.db.models import QuerySet

from graftwright.notebook.amended import effective
from graftwright.notebook.entries import EntryCorrected, EntryWithdrawn, Written
from graftwright.notebook.entries.entry import Entry
from graftwright.notebook.notebook import Notebook, Thing
from graftwright.notebook.replay import assembled, entries_by_key, leaves_alone, things_at
from graftwright.notebook.standing import (
    BenchDays,
    Bundle,
    DailyTemperatures,
    EarlierResults,
    ForecastBook,
    MotherTree,
    NamesAndRights,
    Nursery,
    Place,
    PlaceHours,
    Promise,
    Spot,
    StockLot,
    Tree,
)
from graftwright.notebook.written import (
    Plain,
    entry_from_plain,
    entry_to_plain,
    from_plain,
    short_plain,
)
from graftwright.notebook.written import kind_of as kind_of_entry
from graftwright.store.models import EntryAbout, Standing, WrittenEntry

STANDING_KINDS: dict[str, type[Thing]] = {
    "tree": Tree,
    "bundle": Bundle,
    "lot": StockLot,
    "place": Place,
    "mother tree": MotherTree,
    "promise": Promise,
    "temperatures": DailyTemperatures,
    "hours": PlaceHours,
    "nursery": Nursery,
    "results": EarlierResults,
    "bench days": BenchDays,
    "forecasts": ForecastBook,
    "spot": Spot,
    "names and rights": NamesAndRights,
}
_KEYS_AT_ONCE = 500


def written_from_row(row: WrittenEntry) -> Written:
    """Return a row of the record as the notebook's value."""
    return written_from_marks(*(getattr(row, name) for name in MARKS))


MARKS = ("entry_id", "written_at", "written_by", "device", "nursery", "kind", "body")


def written_from_marks(
    entry_id: UUID,
    written_at: datetime,
    written_by: str,
    device: str,
    nursery: str,
    kind: str,
    body: dict[str, Plain],
) -> Written:
    """Return a row of the record, read as the columns in MARKS, as the notebook's value."""
    return Written(
        entry_id=entry_id,
        written_at=written_at,
        written_by=written_by,
        device=device,
        nursery=nursery,
        entry=entry_from_plain(kind, body),
    )


def thing_from_row(row: Standing) -> Thing:
    """Return a row of the standings as the notebook's value."""
    return thing_from_state(row.kind, row.state)


def thing_from_state(kind: str, state: object) -> Thing:
    """Return what a row of the standings keeps of a kind of thing as the notebook's value."""
    return from_plain(STANDING_KINDS[kind], cast("Plain", state))


def standings_at(keys: Iterable[str]) -> QuerySet[Standing]:
    """Return the rows of the standings at some keys, of whatever kind."""
    # the index is by kind, then key: without the kinds every row would be looked at
    return Standing.objects.filter(kind__in=tuple(STANDING_KINDS), key__in=keys)


def target_of(entry: Entry) -> UUID | None:
    """Return which entry this one corrects or withdraws, if it does."""
    return entry.target if isinstance(entry, EntryCorrected | EntryWithdrawn) else None


class OpenPages:
    """Things as they stand at the keys opened so far, and the stories of those that change."""

    def __init__(self) -> None:
        self._stories: dict[str, list[Written]] = {}
        self._before: dict[str, dict[str, Thing]] = {}
        self._things: dict[str, dict[str, Thing]] = {}
        self._changed: dict[str, None] = {}

    def open(self, keys: Iterable[str]) -> None:
        """Read how the things of keys not yet open stand."""
        new = [key for key in dict.fromkeys(keys) if key not in self._things]
        for start in range(0, len(new), _KEYS_AT_ONCE):
            some = new[start : start + _KEYS_AT_ONCE]
            self._things.update({key: {} for key in some})
            rows = standings_at(some).values_list("key", "kind", "state")
            for key, kind, state in rows:
                self._things[key][kind] = thing_from_state(kind, state)
            self._before.update({key: dict(self._things[key]) for key in some})

    def read_stories(self, about: Iterable[tuple[Entry, str]]) -> None:
        """Read the stories of those open keys that entries about them change."""
        self._read_stories(key for entry, key in about if not self._leaves_alone(entry, key))

    def _read_stories(self, keys: Iterable[str]) -> None:
        new = [key for key in dict.fromkeys(keys) if key not in self._stories]
        for start in range(0, len(new), _KEYS_AT_ONCE):
            some = new[start : start + _KEYS_AT_ONCE]
            self._stories.update({key: [] for key in some})
            rows = EntryAbout.objects.filter(key__in=some)
            for key, *marks in rows.values_list("key", *(f"entry__{name}" for name in MARKS)):
                self._stories[key].append(written_from_marks(*marks))

    def forget_stories(self, keys: Iterable[str]) -> None:
        """Let the stories of keys be read anew; whatever was added is in the record already."""
        for key in keys:
            self._stories.pop(key, None)

    def _leaves_alone(self, entry: Entry, key: str) -> bool:
        return leaves_alone(entry, key, standing=self._things[key])

    def notebook(self) -> Notebook:
        """Return the open part of the notebook as it stands now."""
        return _assembled(self._things)

    def things_at(self, key: str) -> Mapping[str, Thing]:
        """Return what stands now at an open key, by kind; nothing at one that is not open."""
        return self._things.get(key, {})

    def notebook_before(self, one: Written, keys: Iterable[str]) -> Notebook:
        """Return how these open keys stood when this entry's turn came."""
        asked = tuple(keys)
        self._read_stories(asked)
        earlier = {
            key: [other for other in self._stories[key] if other.order() < one.order()]
            for key in asked
        }
        return _assembled({key: _things_of(key, story) for key, story in earlier.items()})

    def add(self, written: Written, keys: Iterable[str]) -> None:
        """Add an entry to the stories of these keys and fold those anew that it changes."""
        for key in keys:
            self.read_stories([(written.entry, key)])
            if key in self._stories:
                self._stories[key].append(written)
            if not self._leaves_alone(written.entry, key):
                self._changed[key] = None
                self._things[key] = _things_of(key, self._stories[key])

    def save(self) -> None:
        """Write what changed to the standings."""
        changed = [key for key in self._changed if self._things[key] != self._before[key]]
        for start in range(0, len(changed), _KEYS_AT_ONCE):
            some = changed[start : start + _KEYS_AT_ONCE]
            gone = [key for key in some if self._before[key].keys() - self._things[key].keys()]
            if connection.vendor == "postgresql":  # a conflict there is one within a nursery
                gone = [key for key in some if self._before[key]]
            if gone:
                standings_at(gone).delete()
            _save_rows(
                standing_row(key, kind, thing)
                for key in some
                for kind, thing in self._things[key].items()
            )
        self._before.update({key: dict(self._things[key]) for key in changed})
        self._changed.clear()


def _save_rows(rows: Iterable[Standing]) -> None:
    if connection.vendor == "postgresql":
        Standing.objects.bulk_create(rows)
        return
    Standing.objects.bulk_create(
        rows,
        update_conflicts=True,
        unique_fields=["kind", "key"],
        update_fields=["season", "place_code", "state"],
    )


def _things_of(key: str, story: Iterable[Written]) -> dict[str, Thing]:
    counted = entries_by_key(effective(story)).get(key, [])
    return things_at(key, counted) if counted else {}


def _assembled(things_by_key: Mapping[str, dict[str, Thing]]) -> Notebook:
    found: dict[str, dict[str, Thing]] = {}
    for key, things in things_by_key.items():
        for kind, thing in things.items():
            found.setdefault(kind, {})[key] = thing
    return assembled(found)


def standing_row(key: str, kind: str, thing: Thing) -> Standing:
    """Return the row that keeps a thing as it stands."""
    return Standing(**dict(zip(STANDING_COLUMNS, standing_values(key, kind, thing), strict=True)))


STANDING_COLUMNS = ("key", "kind", "season", "place_code", "state")


def standing_values(key: str, kind: str, thing: Thing) -> tuple[object, ...]:
    """Return the values, in the order of STANDING_COLUMNS, that keep a thing as it stands."""
    return (
        key,
        kind,
        thing.season if isinstance(thing, Tree) else None,
        getattr(thing, "place_code", "") or "",
        short_plain(thing),
    )


def entry_row(written: Written) -> WrittenEntry:
    """Return the row that keeps an entry."""
    entry = written.entry
    return WrittenEntry(
        entry_id=written.entry_id,
        kind=kind_of_entry(entry),
        happened_on=entry.happened_on,
        written_at=written.written_at,
        written_by=written.written_by,
        device=written.device,
        nursery=written.nursery,
        target=target_of(entry),
        body=entry_to_plain(entry),
    )
