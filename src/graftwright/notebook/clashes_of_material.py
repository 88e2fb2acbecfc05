"""Clashes in the stories of wood and stocks: used twice, thrown out and used, written twice."""

from collections.abc import Iterator, Sequence

from graftwright.notebook.clash import Clash, ClashSort
from graftwright.notebook.entries import (
    BundleDiscarded,
    BundleMoved,
    Reworked,
    RunGrafted,
    StocksArrived,
    StocksLost,
    VarietyAdded,
    Written,
)
from graftwright.notebook.standing.bundle import Bundle
from graftwright.notebook.standing.stock_lot import StockLot
from graftwright.tongue import told

_WORKED = (RunGrafted, Reworked, VarietyAdded)


def clashes_of_lot(lot: StockLot, story: Sequence[Written]) -> Iterator[Clash]:
    """Yield what contradicts itself in the counting entries of a lot of stocks."""
    if lot.used_count + lot.lost_count > lot.arrived_count:
        users = [one for one in story if _takes_stocks(one, lot.code)]
        yield Clash(
            key=lot.code,
            sort=ClashSort.STOCKS_OVERUSED,
            sides=tuple(users),
            words=told(
                "{used_count} worked and {lost_count} lost of {arrived_count} arrived",
                used_count=lot.used_count,
                lost_count=lot.lost_count,
                arrived_count=lot.arrived_count,
            ),
        )
    arrived = [one for one in story if isinstance(one.entry, StocksArrived)]
    for place, one in enumerate(arrived):
        for other in arrived[place + 1 :]:
            if _same_delivery(one, other):
                yield Clash(
                    key=lot.code,
                    sort=ClashSort.ARRIVED_TWICE,
                    sides=(one, other),
                    words=told(
                        "the same arrival is written twice on {happened_on}",
                        happened_on=one.entry.happened_on,
                    ),
                )


def _takes_stocks(one: Written, code: str) -> bool:
    entry = one.entry
    return isinstance(entry, StocksLost) or (
        isinstance(entry, RunGrafted) and entry.lot_code == code
    )


def _same_delivery(one: Written, other: Written) -> bool:
    a, b = one.entry, other.entry
    return (
        isinstance(a, StocksArrived)
        and isinstance(b, StocksArrived)
        and (a.happened_on, a.arrived_count) == (b.happened_on, b.arrived_count)
    )


def clashes_of_bundle(bundle: Bundle, story: Sequence[Written]) -> Iterator[Clash]:
    """Yield what contradicts itself in the counting entries of a bundle of wood."""
    users = [one for one in story if isinstance(one.entry, _WORKED)]
    used = bundle.used_count + bundle.single_bud_count
    if bundle.sticks and used + bundle.spoilt_count > bundle.bud_count:
        yield Clash(
            key=bundle.code,
            sort=ClashSort.WOOD_OVERUSED,
            sides=tuple(users),
            words=told(
                "{used} pieces used from {bud_count} buds", used=used, bud_count=bundle.bud_count
            ),
        )
    for thrown in (one for one in story if isinstance(one.entry, BundleDiscarded)):
        later = [one for one in users if one.entry.happened_on > thrown.entry.happened_on]
        if later:
            yield Clash(
                key=bundle.code,
                sort=ClashSort.THROWN_AND_USED,
                sides=(thrown, *later),
                words=told(
                    "thrown out on {happened_on}, used on {happened_on_2}",
                    happened_on=thrown.entry.happened_on,
                    happened_on_2=later[0].entry.happened_on,
                ),
            )
    yield from _bundle_places(bundle.code, story)


def _bundle_places(code: str, story: Sequence[Written]) -> Iterator[Clash]:
    moves = [one for one in story if isinstance(one.entry, BundleMoved)]
    for on in dict.fromkeys(one.entry.happened_on for one in moves):
        sides = [one for one in moves if one.entry.happened_on == on]
        if len({getattr(one.entry, "place_code", "") for one in sides}) > 1:
            yield Clash(
                key=code,
                sort=ClashSort.BUNDLE_TWO_PLACES,
                sides=tuple(sides),
                words=told("in two places on {on}", on=on),
            )
