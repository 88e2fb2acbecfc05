"""The order list: which stocks to ask of whom, in what grade and bundles, at what cost, and why."""

from collections.abc import Sequence
from itertools import groupby

from graftwright.paper.csv_table import csv_text
from graftwright.paper.folio import Folio, written_folio
from graftwright.paper.page import UPRIGHT
from graftwright.paper.ruled import Column, draw_table
from graftwright.paper.typeface import Face
from graftwright.paper.words import count_words, day_words, money, size_mm_words
from graftwright.season.planned import Plan, StockNeed, StockOrder
from graftwright.tongue import marked, say, told

_COLUMNS = (
    Column(head=marked("stock"), share=20, face=Face.SANS_STRONG),
    Column(head=marked("grade"), share=19),
    Column(head=marked("bundles"), share=16, is_right=True),
    Column(head=marked("stocks"), share=13, is_right=True),
    Column(head=marked("a bundle"), share=18, is_right=True),
    Column(head=marked("cost"), share=19, is_right=True),
    Column(head=marked("why"), share=60),
)
_NEED_COLUMNS = (
    Column(head=marked("stock"), share=22, face=Face.SANS_STRONG),
    Column(head=marked("for grafts"), share=15, is_right=True),
    Column(head=marked("spare"), share=12, is_right=True),
    Column(head=marked("in hand"), share=13, is_right=True),
    Column(head=marked("of these carried over"), share=17, is_right=True),
    Column(head=marked("coming"), share=13, is_right=True),
    Column(head=marked("to order"), share=14, is_right=True, face=Face.SANS_STRONG),
    Column(head=marked("how it comes about"), share=56),
)


def order_list(plan: Plan) -> bytes:
    """Return the order list as PDF, one table for each supplier."""
    return written_folio(
        lambda folio: _write(folio, plan),
        size=UPRIGHT,
        title=told("Stocks to order, winter {season}", season=plan.season),
        from_whom=plan.nursery_name,
        foot=told("Plan of {day_words}.", day_words=day_words(plan.made_on)),
    )


def order_list_csv(plan: Plan) -> str:
    """Return the order list as CSV, one row for each line of an order."""
    header = (
        "supplier",
        "offer",
        "stock",
        "from_mm",
        "to_mm",
        "bundle_of",
        "bundles",
        "stocks",
        "price_per_bundle",
        "cost",
        "currency",
        "why",
    )
    rows = (
        (
            order.supplier,
            order.offer_code,
            order.stock,
            order.low_mm,
            order.high_mm,
            order.lot_size_count,
            order.lot_count,
            order.ordered_count,
            order.price_per_lot,
            order.cost,
            plan.costs.currency,
            order.words,
        )
        for order in _by_supplier(plan)
    )
    return csv_text(header, rows)


def _by_supplier(plan: Plan) -> list[StockOrder]:
    return sorted(plan.orders, key=lambda order: (order.supplier, order.stock, order.low_mm))


def _write(folio: Folio, plan: Plan) -> None:
    if plan.orders:
        cost = money(sum(o.cost for o in plan.orders), currency=plan.costs.currency)
        stock_count = sum(order.ordered_count for order in plan.orders)
        folio.paragraph(
            told(
                "{count_words} for {cost}. Asked is not confirmed: write down what the "
                "supplier promises, and plan again if it is less or of another grade. "
                "Stocks may fall under plant health rules; ask the plant health "
                "authority before bringing them in from elsewhere.",
                count_words=count_words(stock_count, "stock", "stocks"),
                cost=cost,
            )
        )
    else:
        folio.paragraph(say("Nothing is to be ordered."))
    for supplier, members in groupby(_by_supplier(plan), key=lambda order: order.supplier):
        _write_supplier(folio, plan, supplier, tuple(members))
    if plan.stock_needs:
        folio.heading(say("What is needed and what there is"), row_count=len(plan.stock_needs))
        draw_table(
            folio, columns=_NEED_COLUMNS, rows=(_need_row(need) for need in plan.stock_needs)
        )


def _write_supplier(folio: Folio, plan: Plan, supplier: str, orders: Sequence[StockOrder]) -> None:
    currency = plan.costs.currency
    folio.heading(supplier, row_count=2 * len(orders) + 1)
    draw_table(
        folio,
        columns=_COLUMNS,
        rows=(_order_row(order, currency=currency) for order in orders),
        total=(
            marked("Together"),
            "",
            str(sum(order.lot_count for order in orders)),
            str(sum(order.ordered_count for order in orders)),
            "",
            money(sum(order.cost for order in orders), currency=currency),
            "",
        ),
    )


def _order_row(order: StockOrder, *, currency: str) -> tuple[str, ...]:
    return (
        order.stock,
        size_mm_words(order.low_mm, order.high_mm),
        told(
            "{lot_count} of {lot_size_count}",
            lot_count=order.lot_count,
            lot_size_count=order.lot_size_count,
        ),
        str(order.ordered_count),
        money(order.price_per_lot, currency=currency),
        money(order.cost, currency=currency),
        order.words,
    )


def _need_row(need: StockNeed) -> tuple[str, ...]:
    return (
        need.stock,
        str(need.needed_count),
        str(need.spare_count),
        str(need.in_hand_count),
        str(need.carried_over_count),
        str(need.coming_count),
        str(need.to_order_count),
        need.words,
    )


def supplier_words(plan: Plan) -> str:
    """Return what is asked of each supplier as sentences."""
    return " ".join(
        f"{supplier}: "
        + ", ".join(
            told(
                "{ordered_count} {stock} of {size_mm_words}",
                ordered_count=order.ordered_count,
                stock=order.stock,
                size_mm_words=size_mm_words(order.low_mm, order.high_mm),
            )
            for order in members
        )
        + "."
        for supplier, members in groupby(_by_supplier(plan), key=lambda order: order.supplier)
    )
