"""Stocks ordered in whole bundles at least cost."""

from datetime import date
from itertools import product

from hypothesis import given, settings
from hypothesis import strategies as st

from graftwright.notebook.entries import StockGrade
from graftwright.notebook.standing import StockLot
from graftwright.season.ordering import cheapest_cover

GRADE = StockGrade(stock="M26", low_mm=8, high_mm=10)


@st.composite
def offers(draw):
    return [
        StockLot(
            code=str(place),
            grade=GRADE,
            lot_size_count=draw(st.sampled_from([1, 5, 10, 25, 50])),
            price_per_lot=float(draw(st.integers(1, 60))),
            available_count=draw(st.integers(0, 60)),
            offered_on=date(2009, 1, 1),
        )
        for place in range(draw(st.integers(1, 3)))
    ]


@given(lots=offers(), wanted=st.integers(1, 70))
@settings(max_examples=200, deadline=None)
def test_the_bundles_chosen_cost_what_the_best_of_all_choices_costs(lots, wanted):
    most = [lot.available_count // lot.lot_size_count for lot in lots]
    chosen = cheapest_cover(lots, wanted)
    have = sum(n * lot.lot_size_count for n, lot in zip(chosen, lots, strict=True))
    cost = sum(n * lot.price_per_lot for n, lot in zip(chosen, lots, strict=True))
    covering = [
        sum(n * lot.price_per_lot for n, lot in zip(counts, lots, strict=True))
        for counts in product(*(range(n + 1) for n in most))
        if sum(n * lot.lot_size_count for n, lot in zip(counts, lots, strict=True)) >= wanted
    ]
    if covering:
        assert have >= wanted
        assert cost == min(covering)
    else:
        assert chosen == most


def test_stocks_in_hand_and_coming_are_used_before_any_are_ordered(plan):
    for need in plan.stock_needs:
        ordered = sum(o.ordered_count for o in plan.orders if o.stock == need.stock)
        assert need.to_order_count == max(
            0, need.needed_count + need.spare_count - need.in_hand_count - need.coming_count
        )
        assert ordered >= need.to_order_count or ordered == 0
        assert ordered == 0 or need.to_order_count > 0


def test_every_order_is_of_whole_bundles_within_what_is_offered(plan, notebook):
    assert plan.orders
    for order in plan.orders:
        offer = notebook.lots[order.offer_code]
        assert order.ordered_count == order.lot_count * offer.lot_size_count
        assert order.ordered_count <= offer.available_count
        assert order.cost == order.lot_count * offer.price_per_lot
