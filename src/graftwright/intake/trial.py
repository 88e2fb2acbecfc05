"""The notebook as it would stand: entries tried one after the other against the rules.

A row is taken whole or not at all, so that what is handed on can be written in one go.
"""

from collections.abc import Collection, Sequence
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta
from uuid import UUID

from graftwright.errors import GraftwrightError
from graftwright.notebook.entries import (
    BenchDayPlanned,
    EarlierResultsCounted,
    Entry,
    MaterialCounted,
    NoteWritten,
    NurseryDescribed,
    PlaceEntered,
    PracticeSet,
    PromiseChanged,
    RunGrafted,
    SticksMeasured,
    StocksArrived,
    StocksAsked,
    StocksConfirmed,
    StocksMeasured,
    TreeEntry,
    Written,
)
from graftwright.notebook.notebook import Notebook, Thing
from graftwright.notebook.replay import things_at
from graftwright.notebook.rules import check_may_follow
from graftwright.notebook.standing import Bundle, MotherTree, Place, Promise, StockLot, Tree
from graftwright.tongue import say

CODE_LENGTH = 5
_LAST_WORD_COUNTS = (
    BenchDayPlanned,
    EarlierResultsCounted,
    MaterialCounted,
    NurseryDescribed,
    PlaceEntered,
    PracticeSet,
    PromiseChanged,
)
_START = datetime(2000, 1, 1, tzinfo=UTC)  # only the order of the trial's own marks matters


@dataclass(slots=True)
class Trial:
    """A copy of the notebook that grows with every row accepted."""

    before: Notebook
    already: Collection[Entry] = frozenset()
    promises: dict[str, Promise] = field(init=False)
    mother_trees: dict[str, MotherTree] = field(init=False)
    bundles: dict[str, Bundle] = field(init=False)
    lots: dict[str, StockLot] = field(init=False)
    places: dict[str, Place] = field(init=False)
    trees: dict[str, Tree] = field(init=False)
    now: Notebook = field(init=False)
    entries: list[Entry] = field(default_factory=list)
    _stories: dict[str, list[Written]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.already = frozenset(self.already)
        self.promises = dict(self.before.promises)
        self.mother_trees = dict(self.before.mother_trees)
        self.bundles = dict(self.before.bundles)
        self.lots = dict(self.before.lots)
        self.places = dict(self.before.places)
        self.trees = dict(self.before.trees)
        self.now = replace(
            self.before,
            promises=self.promises,
            mother_trees=self.mother_trees,
            bundles=self.bundles,
            lots=self.lots,
            places=self.places,
            trees=self.trees,
        )

    def accept(self, entries: Sequence[Entry]) -> int:
        """Take a row's entries, all or none, and return how many were new.

        An entry equal to one already written is passed over, unless it is of a kind whose last
        word counts: there the standing was compared before. Raises what the rules raise.
        """
        accepted_count = len(self.entries)
        try:
            for entry in entries:
                if isinstance(entry, _LAST_WORD_COUNTS) or entry not in self.already:
                    check_may_follow(entry, self.now)
                    self.entries.append(entry)
                    self._follow(entry)
        except GraftwrightError:
            taken_back = self.entries[accepted_count:]
            del self.entries[accepted_count:]
            self._go_back(taken_back, accepted_count)
            raise
        return len(self.entries) - accepted_count

    def _follow(self, entry: Entry) -> None:
        mark = Written(
            entry_id=UUID(int=len(self.entries)),
            written_at=_START + timedelta(microseconds=len(self.entries)),
            entry=entry,
        )
        for key in _coded(entry):
            self._stories.setdefault(key, []).append(mark)
            self._stand(key)

    def _go_back(self, entries: Sequence[Entry], to_count: int) -> None:
        for key in {key for entry in entries for key in _coded(entry)}:
            story = self._stories.get(key, [])
            self._stories[key] = [one for one in story if one.entry_id.int <= to_count]
            self._stand(key)

    def _stand(self, key: str) -> None:
        """Set the thing with this key as its old standing and its new entries leave it."""
        story = self._stories[key]
        if kind := self.before.kind_of_code(key):
            self._put(key, kind, _moved_on(self._old(key, kind), story))
            return
        things = things_at(key, story)
        for kind in ("promise", say("mother tree"), "bundle", "lot", "place", "tree"):
            self._put(key, kind, things.get(kind))

    def _old(self, key: str, kind: str) -> Thing:
        old: dict[str, Thing | None] = {
            "promise": self.before.promises.get(key),
            "mother tree": self.before.mother_trees.get(key),
            "bundle": self.before.bundles.get(key),
            "lot": self.before.lots.get(key),
            "place": self.before.places.get(key),
        }
        return old.get(kind) or self.before.trees[key]

    def _put(self, key: str, kind: str, thing: Thing | None) -> None:
        match thing:
            case Promise():
                self.promises[key] = thing
            case MotherTree():
                self.mother_trees[key] = thing
            case Bundle():
                self.bundles[key] = thing
            case StockLot():
                self.lots[key] = thing
            case Place():
                self.places[key] = thing
            case Tree():
                self.trees[key] = thing
            case _:
                self._drop(key, kind)

    def _drop(self, key: str, kind: str) -> None:
        for word, things in (
            ("promise", self.promises),
            (say("mother tree"), self.mother_trees),
            ("bundle", self.bundles),
            ("lot", self.lots),
            ("place", self.places),
            ("tree", self.trees),
        ):
            if word == kind:
                things.pop(key, None)


def _coded(entry: Entry) -> tuple[str, ...]:
    """Return the codes whose things the entry changes in what the rules ask about.

    Of a tree they ask only whether it was grafted, of a note nothing.
    """
    if isinstance(entry, TreeEntry | NoteWritten):
        return ()
    return tuple(key for key in entry.concerns() if len(key) == CODE_LENGTH)


def _moved_on(thing: Thing, story: Sequence[Written]) -> Thing:
    """Return a thing of the notebook with what the rules ask about it brought up to date."""
    for one in story:
        if isinstance(thing, StockLot):
            thing = _lot_moved_on(thing, one.entry)
        elif isinstance(thing, Bundle):
            thing = _bundle_moved_on(thing, one.entry)
    return thing


def _lot_moved_on(lot: StockLot, entry: Entry) -> StockLot:
    match entry:
        case StocksAsked():
            return replace(lot, asked_count=lot.asked_count + entry.asked_count)
        case StocksConfirmed():
            return replace(lot, confirmed_count=entry.confirmed_count)
        case StocksArrived():
            return replace(
                lot,
                arrived_count=lot.arrived_count + entry.arrived_count,
                arrived_on=entry.happened_on,
                grade=entry.grade or lot.grade,
            )
        case StocksMeasured():
            return replace(lot, diameters_mm=entry.diameters_mm)
        case RunGrafted():
            return replace(lot, used_count=lot.used_count + len(entry.tree_codes))
        case _:
            return lot


def _bundle_moved_on(bundle: Bundle, entry: Entry) -> Bundle:
    match entry:
        case SticksMeasured():
            return replace(bundle, sticks=entry.sticks)
        case RunGrafted():
            return replace(
                bundle,
                used_count=bundle.used_count + len(entry.tree_codes),
                spoilt_count=bundle.spoilt_count + entry.spoilt_count,
            )
        case _:
            return bundle
