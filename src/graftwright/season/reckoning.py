"""Materials and money: what the plan uses, what is to buy, what one living tree comes to."""

from collections.abc import Sequence
from statistics import median

from graftwright.losses import CostStep, Stage, cost_per_living_tree, expected_ready
from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import Nursery
from graftwright.season.belief import STAGE_WORDS, STOCK_STAGE, Beliefs
from graftwright.season.lessons import CostOfTree, CostRow
from graftwright.season.lines import beta_pairs
from graftwright.season.planned import BenchDay, CostLine, Costs, LinePlan, MaterialNeed, StockOrder
from graftwright.tongue import say, told

_DEFAULT_GRAFTS_PER_H = 15.0  # until a pace is known (common practice, no source)
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
            what=say("Stocks to order"),
            amount=ordered,
            words=told(
                "{ordered_count} stocks in whole bundles",
                ordered_count=sum(order.ordered_count for order in orders),
            ),
        ),
        CostLine(
            what=say("Stocks in hand or coming"),
            amount=stocks_in_hand_cost,
            words=say("at the price they were bought for, as many as the plan uses"),
        ),
        CostLine(
            what=say("Materials to buy"),
            amount=bought,
            words=say("a tenth spare, less what is in hand"),
        ),
        CostLine(
            what=say("Hours at the bench"),
            amount=hours * nursery.hour_price,
            words=told(
                "{hours:.1f} hours at {hour_price:.2f}", hours=hours, hour_price=nursery.hour_price
            ),
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


def cost_of_tree(notebook: Notebook, *, beliefs: Beliefs) -> CostOfTree | None:
    """Return what a living tree costs, stage by stage, from prices and what was counted.

    The stock is paid for by every stock, the work and what a graft uses by every graft whose stock
    lived, what a tree uses by every graft that took. None where no price is written down.
    """
    nursery = notebook.nursery
    stock_money = _median_stock_price(notebook)
    paces = [day.grafts_per_h for day in notebook.bench_days.planned]
    grafts_per_h = median(paces) if paces else _DEFAULT_GRAFTS_PER_H
    graft_money = graft_cost(nursery, stock_price=0.0, grafts_per_h=grafts_per_h)
    tree_money = sum(one.need_per_tree * one.price_per_unit for one in nursery.materials)
    if not stock_money + graft_money + tree_money:
        return None
    spent = (
        (STOCK_STAGE, stock_money, say("one stock, at the middle price of the lots")),
        (
            Stage.TAKE.value,
            graft_money,
            told("material and hands, {grafts_per_h:g} grafts an hour", grafts_per_h=grafts_per_h),
        ),
        (Stage.SHOOT.value, tree_money, say("what a tree uses that a graft does not")),
        (Stage.FIRST_WINTER.value, 0.0, say("nothing is written down for this stage")),
        (Stage.SALEABLE.value, 0.0, say("nothing is written down for this stage")),
    )
    through = [beliefs.general(stage).mean for stage, _, _ in spent]
    found = cost_per_living_tree(
        [
            CostStep(name=stage, each_money=money, through_fraction=passing)
            for (stage, money, _), passing in zip(spent, through, strict=True)
        ]
    )
    return CostOfTree(
        currency=nursery.currency,
        rows=tuple(
            CostRow(
                stage=STAGE_WORDS[stage],
                each_money=money,
                through_fraction=passing,
                per_living_money=step.per_living_money,
                words=words,
            )
            for (stage, money, words), passing, step in zip(
                spent, through, found.steps, strict=True
            )
        ),
        total_money=found.total_money,
        if_none_were_lost_money=stock_money + graft_money + tree_money,
    )


def _median_stock_price(notebook: Notebook) -> float:
    prices = [lot.price_each for lot in notebook.lots.values() if lot.price_each > 0.0]
    return median(prices) if prices else 0.0
