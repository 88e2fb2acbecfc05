"""What came into the nursery, what left it and what went from place to place, in one year."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from graftwright.notebook.amended import effective
from graftwright.notebook.entries import (
    BundleDiscarded,
    BundleMoved,
    StocksArrived,
    StocksLost,
    TreeHandedOver,
    TreeMoved,
    WoodCut,
    Written,
)
from graftwright.notebook.entries.entry import Entry
from graftwright.notebook.notebook import Notebook
from graftwright.tongue import Choice, say, told


class Way(Choice):
    """Which way plants or wood went."""

    IN = "in"
    OUT = "out"
    WITHIN = "within"


@dataclass(frozen=True, slots=True, kw_only=True)
class Movement:
    """One movement: what, how many of it, its codes, from or to where, who wrote it down."""

    day: date
    way: Way
    what: str
    count: int
    codes: tuple[str, ...]
    where: str
    written_by: str

    @property
    def cells(self) -> tuple[date, str, str, int, str, str, str]:
        """Day, way, what, how many, from or to, codes and writer: a row of a table."""
        return (
            self.day,
            self.way.value,
            self.what,
            self.count,
            self.where,
            " ".join(self.codes),
            self.written_by,
        )


def movements(
    written: Iterable[Written], notebook: Notebook, *, year: int | None = None
) -> tuple[Movement, ...]:
    """Return the movements of a calendar year, or of all, by their days, corrections applied.

    Trees that left or moved together are one movement for each variety on each stock.
    """
    found: list[Movement] = []
    for one in effective(written):
        if year in (None, one.entry.happened_on.year):
            found += _of_entry(one.entry, notebook, one.written_by)
    return tuple(found)


def _of_entry(entry: Entry, notebook: Notebook, by: str) -> Iterable[Movement]:
    match entry:
        case TreeHandedOver():
            promise = notebook.promises.get(entry.promise_code)
            whom = entry.to_whom or (promise.who if promise else "") or say("not written down")
            return _trees(
                entry, notebook, entry.tree_codes, Way.OUT, told("to {whom}", whom=whom), by
            )
        case TreeMoved():
            place = _place(entry.place_code, notebook)
            where = told("to {place}", place=place) + (
                f", {entry.position}" if entry.position else ""
            )
            return _trees(entry, notebook, entry.tree_codes, Way.WITHIN, where, by)
        case WoodCut() | BundleMoved() | BundleDiscarded():
            return (_wood(entry, notebook, by),)
        case StocksArrived() | StocksLost():
            return (_stocks(entry, notebook, by),)
        case _:
            return ()


def _trees(
    entry: Entry, notebook: Notebook, codes: Iterable[str], way: Way, where: str, by: str
) -> Iterable[Movement]:
    alike: dict[str, list[str]] = {}
    for code in codes:
        tree = notebook.trees.get(code)
        variety = notebook.variety_of(tree) if tree else ""
        stock = notebook.stock_of(tree) if tree else ""
        what = told(
            "{variety} on {stock}",
            variety=variety or say("unknown"),
            stock=stock or say("unknown"),
        )
        alike.setdefault(what, []).append(code)
    for what, these in alike.items():
        yield Movement(
            day=entry.happened_on,
            way=way,
            what=told("trees, {what}", what=what),
            count=len(these),
            codes=tuple(these),
            where=where,
            written_by=by,
        )


def _wood(entry: WoodCut | BundleMoved | BundleDiscarded, notebook: Notebook, by: str) -> Movement:
    bundle = notebook.bundles.get(entry.code)
    match entry:
        case WoodCut():
            way, where = Way.IN, _origin(entry, notebook)
        case BundleMoved():
            way, where = Way.WITHIN, told("to {place}", place=_place(entry.place_code, notebook))
        case BundleDiscarded():
            way, where = (
                Way.OUT,
                told("thrown away: {reason}", reason=entry.reason or say("no reason given")),
            )
    sticks = entry.sticks if isinstance(entry, WoodCut) else bundle.sticks if bundle else ()
    return Movement(
        day=entry.happened_on,
        way=way,
        what=told(
            "scion wood, {variety_of_bundle}, sticks",
            variety_of_bundle=notebook.variety_of_bundle(entry.code) or say("unknown"),
        ),
        count=len(sticks),
        codes=(entry.code,),
        where=where,
        written_by=by,
    )


def _origin(entry: WoodCut, notebook: Notebook) -> str:
    mother = notebook.mother_trees.get(entry.mother_tree_code)
    if mother is None:
        return told("from {from_whom}", from_whom=entry.from_whom or say("not written down"))
    owner = f", {mother.owner}" if mother.owner else ""
    return told(
        "from mother tree {mother_code}, {site}{owner}",
        mother_code=mother.code,
        site=mother.site or say("site not written down"),
        owner=owner,
    )


def _stocks(entry: StocksArrived | StocksLost, notebook: Notebook, by: str) -> Movement:
    lot = notebook.lots.get(entry.code)
    stock = lot.stock if lot else ""
    match entry:
        case StocksArrived():
            way, count = Way.WITHIN if entry.carried_over else Way.IN, entry.arrived_count
            supplier = entry.supplier or (lot.supplier if lot else "")
            where = (
                say("carried over")
                if entry.carried_over
                else told("from {supplier}", supplier=supplier or say("not written"))
            )
        case StocksLost():
            way, count = Way.OUT, entry.lost_count
            where = told("lost: {reason}", reason=entry.reason or say("no reason given"))
    return Movement(
        day=entry.happened_on,
        way=way,
        what=told("stocks, {stock}", stock=stock or say("unknown")),
        count=count,
        codes=(entry.code,),
        where=where,
        written_by=by,
    )


def _place(code: str, notebook: Notebook) -> str:
    place = notebook.places.get(code)
    return f"{place.name} ({code})" if place else code or say("no place named")
