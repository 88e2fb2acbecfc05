"""What there is to work with: sticks from the bundles in store, stocks from the lots."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from graftwright.notebook.entries import Condition, Health, StickMeasured
from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import Bundle, StockLot
from graftwright.season.naming import Names
from graftwright.season.seasons import season_of
from graftwright.wood import Stick, Stock

USE_FIRST = {
    Condition.FIRM: 0,
    Condition.DRY: 2,
    Condition.MOULD: 2,
    Condition.SWOLLEN: 3,
    Condition.GREEN: 3,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class StickInStore:
    """A stick, and the bundle and measurement it comes from."""

    stick: Stick
    bundle_code: str
    measured: StickMeasured


@dataclass(frozen=True, slots=True, kw_only=True)
class StockOnBench:
    """A stock, the lot it is of, and its number in it."""

    stock: Stock
    lot_code: str
    number: int


def usable_bundles(notebook: Notebook, *, season: int) -> list[Bundle]:
    """Return the bundles of this winter whose mother tree may be cut, in the order to open them.

    First those that will not keep, then clean mother trees before suspect ones, then the oldest.
    """
    bundles = [
        bundle
        for bundle in notebook.bundles.values()
        if bundle.is_in_store
        and _may_be_used(bundle, notebook)
        and winter_of(bundle, notebook) == season
    ]
    return sorted(
        bundles,
        key=lambda b: (
            -USE_FIRST[b.condition],
            _is_suspect(b, notebook),
            b.cut_on,
            b.code,
        ),
    )


def winter_of(bundle: Bundle, notebook: Notebook) -> int:
    """Return the season that a bundle was cut for; wood of an earlier winter is past use."""
    return season_of(bundle.cut_on, latitude_deg=notebook.nursery.latitude_deg)


def _may_be_used(bundle: Bundle, notebook: Notebook) -> bool:
    mother = notebook.mother_trees.get(bundle.mother_tree_code)
    return mother is None or (mother.permission is not False and mother.health != Health.DISEASED)


def _is_suspect(bundle: Bundle, notebook: Notebook) -> bool:
    mother = notebook.mother_trees.get(bundle.mother_tree_code)
    return mother is not None and mother.health == Health.SUSPECT


def sticks_in_store(notebook: Notebook, *, names: Names, season: int) -> list[StickInStore]:
    """Return every stick left in the usable bundles, in working order."""
    return [
        found
        for bundle in usable_bundles(notebook, season=season)
        for found in _sticks_of(bundle, names.variety(notebook.variety_of_bundle(bundle.code)))
    ]


def _sticks_of(bundle: Bundle, variety: str) -> Iterator[StickInStore]:
    """Sticks are taken as used up in their order; one partly used counts as gone."""
    used_buds = 3 * (bundle.used_count + bundle.spoilt_count)
    for measured in sorted(bundle.sticks, key=lambda stick: stick.number):
        if used_buds > 0:
            used_buds -= measured.bud_count
            continue
        yield StickInStore(
            stick=Stick(
                name=f"{bundle.code}/{measured.number}",
                variety=variety,
                length_mm=measured.length_mm,
                base_mm=measured.base_mm,
                tip_mm=measured.tip_mm,
                buds_mm=measured.buds_mm,
                bud_count=None if measured.buds_mm else measured.bud_count,
                urgency=USE_FIRST[bundle.condition],
            ),
            bundle_code=bundle.code,
            measured=measured,
        )


def stocks_of_lot(lot: StockLot, count: int, *, names: Names) -> list[StockOnBench]:
    """Return `count` stocks of a lot: measured ones as measured, the rest spread over the grade."""
    if lot.grade is None or count <= 0:
        return []
    diameters = list(_even_choice(sorted(lot.diameters_mm), count))
    spread = lot.grade.high_mm - lot.grade.low_mm
    missing = count - len(diameters)
    graded = [lot.grade.low_mm + spread * (place + 0.5) / missing for place in range(missing)]
    return [
        StockOnBench(
            stock=Stock(
                name=f"{lot.code}/{number}",
                kind=names.stock(lot.stock),
                diameter_mm=round(diameter, 1),
            ),
            lot_code=lot.code,
            number=number,
        )
        for number, diameter in enumerate([*diameters, *graded], 1)
    ]


def _even_choice(ordered: list[float], count: int) -> Iterable[float]:
    """Return `count` of the values, evenly through their order (all, if there are no more)."""
    if len(ordered) <= count:
        return ordered
    return [ordered[int((place + 0.5) * len(ordered) / count)] for place in range(count)]
