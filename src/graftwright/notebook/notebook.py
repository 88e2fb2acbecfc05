"""The notebook replayed: every thing as it stands, and the names that follow from it."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field

from graftwright.notebook.entries import (
    BENCH_DAYS_KEY,
    FORECASTS_KEY,
    NAMES_KEY,
    NURSERY_KEY,
    RESULTS_KEY,
    TEMPERATURES_KEY,
    Certainty,
    CodesHandedOut,
    NotUnderstoodEntry,
)
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
from graftwright.notebook.standing.later_life import as_worked_before
from graftwright.tongue import say, told

Thing = (
    BenchDays
    | Bundle
    | DailyTemperatures
    | EarlierResults
    | ForecastBook
    | MotherTree
    | NamesAndRights
    | Nursery
    | Place
    | PlaceHours
    | Promise
    | Spot
    | StockLot
    | Tree
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Notebook:
    """Everything as it stands, found by tag code."""

    promises: Mapping[str, Promise] = field(default_factory=dict)
    mother_trees: Mapping[str, MotherTree] = field(default_factory=dict)
    bundles: Mapping[str, Bundle] = field(default_factory=dict)
    lots: Mapping[str, StockLot] = field(default_factory=dict)
    places: Mapping[str, Place] = field(default_factory=dict)
    trees: Mapping[str, Tree] = field(default_factory=dict)
    temperatures: Mapping[str, DailyTemperatures] = field(default_factory=dict)
    hours: Mapping[str, PlaceHours] = field(default_factory=dict)
    nursery: Nursery = field(default_factory=Nursery)
    results: EarlierResults = field(default_factory=EarlierResults)
    bench_days: BenchDays = field(default_factory=BenchDays)
    forecasts: ForecastBook = field(default_factory=ForecastBook)
    spots: Mapping[str, Spot] = field(default_factory=dict)
    names_and_rights: NamesAndRights = field(default_factory=NamesAndRights)
    code_blocks: tuple[CodesHandedOut, ...] = ()
    not_understood: tuple[NotUnderstoodEntry, ...] = ()

    def variety_of_bundle(self, code: str) -> str:
        """Return the variety of a bundle; the mother tree's name goes before the bundle's own."""
        bundle = self.bundles.get(code)
        if bundle is None:
            return ""
        mother = self.mother_trees.get(bundle.mother_tree_code)
        return mother.variety if mother else bundle.variety

    def variety_of(self, tree: Tree) -> str:
        """Return the variety of a tree, through its bundle and mother tree."""
        return self.variety_of_bundle(tree.bundle_code)

    def stock_of(self, tree: Tree) -> str:
        """Return the kind of rootstock of a tree, through its lot."""
        lot = self.lots.get(tree.lot_code)
        return lot.stock if lot else ""

    def certainty_of(self, tree: Tree) -> Certainty:
        """Return how sure the variety's name is."""
        return self.certainty_of_bundle(tree.bundle_code)

    def certainty_of_bundle(self, code: str) -> Certainty:
        """Return how sure the name of a bundle's variety is, from its mother tree."""
        bundle = self.bundles.get(code)
        mother = self.mother_trees.get(bundle.mother_tree_code) if bundle else None
        return mother.certainty if mother else Certainty.UNKNOWN

    def certainty_words(self, bundle_code: str) -> str:
        """Return how sure the name of a bundle's variety is, as a label says it."""
        certainty = self.certainty_of_bundle(bundle_code)
        if certainty is Certainty.UNKNOWN:
            return say("name: not checked")
        return told("name: {certainty}", certainty=certainty)

    def sisters_of(self, tree: Tree) -> tuple[Tree, ...]:
        """Return the other trees raised from the same mother tree, or else the same bundle."""
        mine = self._origin(tree.bundle_code)
        alike = {code for code in self.bundles if self._origin(code) == mine}
        alike |= {tree.bundle_code} | ({mine} - self.bundles.keys())
        return tuple(
            other
            for other in self.trees.values()
            if other.bundle_code in alike and other.code != tree.code
        )

    def workings(self) -> Iterator[Tree]:
        """Yield every tree, and each worked again also as its earlier workings left it."""
        for tree in self.trees.values():
            yield tree
            for working in tree.earlier:
                yield as_worked_before(tree, working)

    def chain_of(self, tree: Tree) -> tuple[str, ...]:
        """Return the names of a tree's pieces from the root up: stock, interstem, variety."""
        between = self.variety_of_bundle(tree.interstem_bundle_code)
        names = (self.stock_of(tree), between, self.variety_of(tree))
        return tuple(name for name in names if name)

    def _origin(self, bundle_code: str) -> str:
        bundle = self.bundles.get(bundle_code)
        return (bundle.mother_tree_code or bundle.code) if bundle else bundle_code

    def kind_of_code(self, code: str) -> str:
        """Return what a code names: tree, bundle, lot, place, mother tree, promise, or nothing."""
        for kind, things in self.by_kind():
            if code in things:
                return kind
        return ""

    def by_kind(self) -> Iterable[tuple[str, Mapping[str, Thing]]]:
        """Yield each kind of thing with what stands under it, by key."""
        yield "tree", self.trees
        yield "bundle", self.bundles
        yield "lot", self.lots
        yield "place", self.places
        yield "mother tree", self.mother_trees
        yield "promise", self.promises
        yield "spot", self.spots
        yield "temperatures", {TEMPERATURES_KEY + k: v for k, v in self.temperatures.items()}
        yield "hours", {TEMPERATURES_KEY + k: v for k, v in self.hours.items()}
        for kind, key, thing, nothing in (
            ("nursery", NURSERY_KEY, self.nursery, Nursery()),
            ("results", RESULTS_KEY, self.results, EarlierResults()),
            ("bench days", BENCH_DAYS_KEY, self.bench_days, BenchDays()),
            ("forecasts", FORECASTS_KEY, self.forecasts, ForecastBook()),
            ("names and rights", NAMES_KEY, self.names_and_rights, NamesAndRights()),  # not said
        ):
            if thing != nothing:
                yield kind, {key: thing}
