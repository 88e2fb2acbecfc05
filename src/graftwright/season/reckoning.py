"""Materials and money: what the plan uses, what is to buy, what one living tree comes to."""

from collections.abc import Sequence

from graftwright.losses import expected_ready
from graftwright.notebook.standing import Nursery
from graftwright.season.lines import beta_pairs
from graftwright.season.planned import BenchDay, CostLine, Costs, LinePlan, MaterialNeed, StockOrder

_SPARE_FRACTION = 0.10  # spare of every material (common practice, no source)


def expected_trees(lines: Sequence[LinePlan]) -> float:
    """Return the trees to be expected from the grafts still to make.

    Grafts made already had their stocks and hours before; they are in no sum of this plan.
    """
    return sum(
        expected_ready(line.planned_count - line.made_count, beta_pairs(line.rates))
        for line in lines
    )


def material_needs(
    nursery: Nursery, *, graft_count: int, tree_count: float
) -> tuple[MaterialNeed, ...]:
    """Return what the plan uses of each material, a tenth spare, less what is in hand."""
    found = []
    for material in nursery.materials:
        use = material.need_per_graft * graft_count + material.need_per_tree * tree_count
        needed = use * (1.0 + _SPARE_FRACTION)
        to_buy = max(0.0, needed - material.in_hand)
        found.append(
            MaterialNeed(
                material=material.material,
                unit=material.unit,
                needed=needed,
                in_hand=material.in_hand,
                to_buy=to_buy,
                cost=to_buy * material.price_per_unit,
            )
        )
    return tuple(found)


def graft_cost(nursery: Nursery, *, stock_price: float, grafts_per_h: float) -> float:
    """Return what one more graft costs: its stock, its material, its minutes."""
    material = sum(one.need_per_graft * one.price_per_unit for one in nursery.materials)
    return stock_price + material + nursery.hour_price / grafts_per_h


def costs(
    nursery: Nursery,
    *,
    lines: Sequence[LinePlan],
    orders: Sequence[StockOrder],
    materials: Sequence[MaterialNeed],
    bench_days: Sequence[BenchDay],
    stocks_in_hand_cost: float,
) -> Costs:
    """Return the winter's reckoning. What lies in hand counts at its price when it is used."""
    hours = sum(day.used_h for day in bench_days)
    ordered = sum(order.cost for order in orders)
    bought = sum(need.cost for need in materials)
    parts = [
        CostLine(
            what="Stocks to order",
            amount=ordered,
            words=f"{sum(order.ordered_count for order in orders)} stocks in whole bundles",
        ),
        CostLine(
            what="Stocks in hand or coming",
            amount=stocks_in_hand_cost,
            words="at the price they were bought for, as many as the plan uses",
        ),
        CostLine(
            what="Materials to buy", amount=bought, words="a tenth spare, less what is in hand"
        ),
        CostLine(
            what="Hours at the bench",
            amount=hours * nursery.hour_price,
            words=f"{hours:.1f} hours at {nursery.hour_price:.2f}",
        ),
    ]
    total = sum(part.amount for part in parts)
    living = expected_trees(lines)
    return Costs(
        currency=nursery.currency,
        lines=tuple(parts),
        total=total,
        expected_living_trees=living,
        per_living_tree=total / living if living > 0 else None,
    )
