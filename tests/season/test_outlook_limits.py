"""What one more of a scarce thing is worth, held against trying every sharing there is."""

from itertools import product

import pytest
from scipy import stats

from graftwright.season.outlook_limits import limit_worths, scarce, sharing_ways
from graftwright.season.planned import ShortOf
from tests.season.lines_made import made_line


def delivered(wanted, grafts, rate):
    """E[min(trees, wanted)], summed over the beta-binomial count of the living."""
    count = stats.betabinom(grafts, *rate)
    return sum(min(k, wanted) * count.pmf(k) for k in range(grafts + 1))


def best_trees(lines, *, wood, stocks):
    """The most trees any sharing gives, by trying all of them."""
    best = 0.0
    for counts in product(*(range(asked + 1) for _, asked, _, _ in lines)):
        used = [n for n, line in zip(counts, lines, strict=True) if line[3] == "M26"]
        if sum(counts) <= wood and sum(used) <= stocks:
            trees = sum(
                delivered(wanted, n, rate)
                for n, (wanted, _, rate, _) in zip(counts, lines, strict=True)
            )
            best = max(best, trees)
    return best


LINES = [(2, 4, (6.0, 2.0), "M26"), (3, 5, (9.0, 2.0), "M26"), (1, 3, (3.0, 2.0), "M9")]


def found(wood, stocks):
    given, left_wood, left_stocks = [], wood, stocks
    for _wanted, asked, _rate, stock in LINES:
        count = min(asked, left_wood, left_stocks if stock == "M26" else asked)
        given.append(count)
        left_wood -= count
        left_stocks -= count if stock == "M26" else 0
    lines = [
        made_line(
            str(place),
            wanted=wanted,
            asked=asked,
            planned=given[place],
            rate=rate,
            stock=stock,
            short_of=ShortOf.STOCKS if stock == "M26" else ShortOf.WOOD,
        )
        for place, (wanted, asked, rate, stock) in enumerate(LINES)
    ]
    assert sum(given) == wood
    assert sum(n for n, line in zip(given, LINES, strict=True) if line[3] == "M26") == stocks
    return scarce(lines, runs=())


@pytest.mark.parametrize(("wood", "stocks"), [(7, 5), (6, 6), (5, 4)])
def test_one_more_stock_is_worth_what_the_best_of_all_sharings_gains_by_it(wood, stocks):
    worths = {
        worth.thing: worth.more_trees_count
        for worth in limit_worths(found(wood, stocks), sticks=())
    }
    now = best_trees(LINES, wood=wood, stocks=stocks)
    by_stock = best_trees(LINES, wood=wood, stocks=stocks + 1) - now
    by_piece = best_trees(LINES, wood=wood + 1, stocks=stocks) - now
    assert worths["M26"] == pytest.approx(by_stock, abs=1e-9)
    assert worths["stick of Discovery, about 1 piece"] == pytest.approx(by_piece, abs=1e-9)


def test_each_way_of_sharing_is_the_best_at_what_it_seeks_and_tells_its_bound():
    planned, trees, promises = sharing_ways(found(7, 5))
    assert trees.expected_trees_count == pytest.approx(best_trees(LINES, wood=7, stocks=5))
    assert trees.expected_trees_count >= planned.expected_trees_count - 1e-9
    assert promises.expected_promises_count >= planned.expected_promises_count - 1e-9
    for way, value in (
        (trees, trees.expected_trees_count),
        (promises, promises.expected_promises_count),
    ):
        assert way.bound_count == pytest.approx(value)
        assert way.gap_fraction == pytest.approx(0.0, abs=1e-9)
    assert planned.bound_count is None


def test_where_nothing_is_short_there_is_nothing_to_share():
    line = made_line("A", wanted=2, asked=4, planned=4, rate=(6.0, 2.0))
    assert limit_worths(scarce([line], runs=()), sticks=()) == ()
    assert sharing_ways(scarce([line], runs=())) == ()
