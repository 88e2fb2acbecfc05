"""Which stocks to order: how many of each kind and grade, in whole bundles, at least cost."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from math import ceil

from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import StockLot
from graftwright.season.material import StickInStore
from graftwright.season.naming import Names
from graftwright.season.planned import LinePlan, StockNeed, StockOrder
from graftwright.tongue import say, told

GRADE_TOLERANCE_FRACTION = 0.10
"""Offers that suit this much less of the wood than the best grade still count as suiting."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ordering:
    """The needs by kind, the bundles to order, and stocks that no offer covers, by kind."""

    needs: tuple[StockNeed, ...]
    orders: tuple[StockOrder, ...]
    uncovered: tuple[tuple[str, int], ...]


def order_stocks(
    lines: Sequence[LinePlan],
    *,
    wanted: Mapping[str, int],
    notebook: Notebook,
    names: Names,
    sticks: Sequence[StickInStore],
    spare_fraction: float,
) -> Ordering:
    """Return what to order so that every line gets its stocks, spare included.

    `wanted` holds the grafts to make for each promise. Stocks in hand (carried over or arrived)
    and those coming are used first. Lines that cannot be grafted must be left out of `lines`.
    """
    needs: list[StockNeed] = []
    orders: list[StockOrder] = []
    uncovered: list[tuple[str, int]] = []
    for stock in dict.fromkeys(line.stock for line in lines):
        mine = [line for line in lines if line.stock == stock]
        grafts = sum(wanted[line.promise_code] for line in mine)
        need = _need(stock, grafts, notebook, names, spare_fraction)
        needs.append(need)
        bought, missing = _buy(need, mine, notebook, names, sticks)
        orders += bought
        if missing:
            uncovered.append((stock, missing))
    return Ordering(needs=tuple(needs), orders=tuple(orders), uncovered=tuple(uncovered))


def _need(
    stock: str, needed: int, notebook: Notebook, names: Names, spare_fraction: float
) -> StockNeed:
    lots = [lot for lot in notebook.lots.values() if names.stock(lot.stock) == stock]
    spare = ceil(needed * spare_fraction) if needed else 0
    in_hand = sum(lot.in_hand_count for lot in lots)
    carried = sum(lot.in_hand_count for lot in lots if lot.carried_over)
    coming = sum(lot.coming_count for lot in lots)
    to_order = max(0, needed + spare - in_hand - coming)
    words = (
        told(
            "{needed} grafts and {spare} spare, less {in_hand} in hand",
            needed=needed,
            spare=spare,
            in_hand=in_hand,
        )
        + (told(" ({carried} carried over)", carried=carried) if carried else "")
        + (told(" and {coming} coming", coming=coming) if coming else "")
    )
    return StockNeed(
        stock=stock,
        needed_count=needed,
        spare_count=spare,
        in_hand_count=in_hand,
        carried_over_count=carried,
        coming_count=coming,
        to_order_count=to_order,
        words=words,
    )


def _buy(
    need: StockNeed,
    lines: list[LinePlan],
    notebook: Notebook,
    names: Names,
    sticks: Sequence[StickInStore],
) -> tuple[list[StockOrder], int]:
    offers = [
        lot
        for lot in notebook.lots.values()
        if lot.is_offer and names.stock(lot.stock) == need.stock
    ]
    offers.sort(key=lambda lot: (lot.grade.low_mm if lot.grade else 0.0, lot.code))
    wood = [s for s in sticks if s.stick.variety in {line.variety for line in lines}]
    suiting = _by_suitability(offers, wood)
    left, bought = need.to_order_count, []
    for group in suiting:
        if left <= 0:
            break
        counts = cheapest_cover(group, left)
        for lot, lot_count in zip(group, counts, strict=True):
            if lot_count:
                bought.append(_order(lot, lot_count, wood))
                left -= lot_count * lot.lot_size_count
    return bought, max(0, left)


def _by_suitability(offers: list[StockLot], wood: Sequence[StickInStore]) -> list[list[StockLot]]:
    """Return the offers in groups: those whose grade suits the wood best, then the others."""
    if not offers:
        return []
    shares = {lot.code: suiting_share(lot, wood) for lot in offers}
    best = max(shares.values())
    first = [lot for lot in offers if shares[lot.code] >= best - GRADE_TOLERANCE_FRACTION]
    rest = sorted((lot for lot in offers if lot not in first), key=lambda lot: -shares[lot.code])
    return [first, *([lot] for lot in rest)]


def suiting_share(lot: StockLot, wood: Sequence[StickInStore]) -> float:
    """Return the share of the wood that is no thicker than the grade and at least 0.7 of it.

    Below about 0.8 of the stock's thickness only one side meets (cambium geometry); 0.7 is common
    practice, no source. Wood is read along the stick, from a tenth to six tenths of its length.
    """
    if lot.grade is None or not wood:
        return 0.0
    middle = (lot.grade.low_mm + lot.grade.high_mm) / 2.0
    readings = [
        found.stick.base_mm + (found.stick.tip_mm - found.stick.base_mm) * along
        for found in wood
        for along in (0.1, 0.2, 0.3, 0.4, 0.5, 0.6)
    ]
    return sum(0.7 * middle <= mm <= middle for mm in readings) / len(readings)


def cheapest_cover(offers: Sequence[StockLot], wanted_count: int) -> list[int]:
    """Return how many bundles of each offer cover the count at least cost, or all there are.

    Exact: a table over counts, offer by offer; of equal costs the fewer stocks left over.
    """
    most = [lot.available_count // lot.lot_size_count for lot in offers]
    reach = sum(n * lot.lot_size_count for n, lot in zip(most, offers, strict=True))
    if reach <= wanted_count:
        return most
    best: dict[int, tuple[float, tuple[int, ...]]] = {0: (0.0, ())}
    for lot, at_most in zip(offers, most, strict=True):
        grown: dict[int, tuple[float, tuple[int, ...]]] = {}
        for have, (cost, counts) in best.items():
            for bundles in range(_useful(at_most, wanted_count - have, lot.lot_size_count) + 1):
                count = have + bundles * lot.lot_size_count
                offer = (cost + bundles * lot.price_per_lot, (*counts, bundles))
                if count not in grown or offer < grown[count]:
                    grown[count] = offer
        best = grown
    enough = [(cost, have, counts) for have, (cost, counts) in best.items() if have >= wanted_count]
    return list(min(enough)[2])


def _useful(at_most: int, missing: int, lot_size: int) -> int:
    return min(at_most, max(0, ceil(missing / lot_size)))


def _order(lot: StockLot, lot_count: int, wood: Sequence[StickInStore]) -> StockOrder:
    assert lot.grade is not None
    share = suiting_share(lot, wood)
    return StockOrder(
        offer_code=lot.code,
        supplier=lot.supplier,
        stock=lot.stock,
        low_mm=lot.grade.low_mm,
        high_mm=lot.grade.high_mm,
        lot_size_count=lot.lot_size_count,
        lot_count=lot_count,
        ordered_count=lot_count * lot.lot_size_count,
        price_per_lot=lot.price_per_lot,
        cost=lot_count * lot.price_per_lot,
        words=(
            told("{share:.0%} of the wood in store suits this grade", share=share)
            if wood
            else say("no wood measured yet, so the grade is not matched to it")
        ),
    )


def as_ordered(lot: StockLot, order: StockOrder) -> StockLot:
    """Return the offer as if it had been ordered, to be planned with."""
    return replace(lot, asked_count=order.ordered_count)
