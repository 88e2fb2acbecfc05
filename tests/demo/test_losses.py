"""What went wrong in the demo's first season is clumped, as it is in a nursery."""

from collections import Counter
from datetime import date

import pytest

from graftwright.demo import DEFAULT_DAY, entries_until
from graftwright.notebook import Notebook
from graftwright.notebook.entries import (
    Cause,
    Scion,
    ScionDied,
    StockDied,
    StocksArrived,
    StockState,
    TakeJudged,
    UnionBroke,
)
from graftwright.notebook.standing import Tree

from .replaying import notebook_of


@pytest.fixture(scope="module")
def notebook() -> Notebook:
    return notebook_of(entries_until(DEFAULT_DAY))


def _trees(notebook: Notebook) -> list[Tree]:
    return [tree for tree in notebook.trees.values() if tree.season == 2008]


def test_most_dried_scions_are_of_one_bundle(notebook: Notebook) -> None:
    dried = Counter(
        tree.bundle_code for tree in _trees(notebook) if tree.loss_cause == str(Cause.DRIED)
    )
    (bundle_code, count), *others = dried.most_common()
    assert notebook.bundles[bundle_code].condition == "dry"
    assert count > 2 * sum(other for _, other in others)


def test_stocks_with_poor_roots_are_of_one_lot(notebook: Notebook) -> None:
    lots = {t.lot_code for t in _trees(notebook) if t.loss_cause == str(Cause.ROOTS)}
    assert len(lots) == 1


def test_winter_wet_took_one_corner_in_one_night(notebook: Notebook) -> None:
    wet = [tree for tree in _trees(notebook) if tree.loss_cause == str(Cause.WET)]
    assert len(wet) == 4
    assert len({(tree.run_id, tree.stock_died_on) for tree in wet}) == 1


def test_two_were_bitten_and_one_union_broke() -> None:
    entries = entries_until(DEFAULT_DAY)
    bitten = [e for e in entries if isinstance(e, ScionDied) and e.cause is Cause.ANIMAL]
    broken = [e for e in entries if isinstance(e, UnionBroke)]
    assert [len(e.tree_codes) for e in bitten] == [2]
    assert [len(e.tree_codes) for e in broken] == [1]


def test_a_graft_given_up_for_dead_came_back(notebook: Notebook) -> None:
    entries = entries_until(DEFAULT_DAY)
    given_up = {c for e in entries if isinstance(e, ScionDied) for c in e.tree_codes}
    back = [tree for tree in _trees(notebook) if tree.code in given_up and tree.is_alive]
    assert len(back) == 1
    assert back[0].loss_cause == ""


def test_buds_that_moved_are_not_all_takes(notebook: Notebook) -> None:
    moved = [tree for tree in _trees(notebook) if tree.moved_on is not None]
    assert any(not tree.has_taken for tree in moved)


def test_takes_and_heights_lie_where_published_ones_do(notebook: Notebook) -> None:
    # Apple bench grafts of trials and growers: 0.72 to 0.95; first-year heights 0.85 to 1.46 m.
    trees = [tree for tree in _trees(notebook) if tree.stock is StockState.ALIVE]
    taken_fraction = sum(tree.has_taken for tree in trees) / len(trees)
    assert 0.72 <= taken_fraction <= 0.95
    heights_m = sorted(tree.height_m for tree in trees if tree.height_m is not None)
    assert 0.85 <= heights_m[len(heights_m) // 2] <= 1.46


def test_every_tree_was_judged_twice_before_it_counted_as_lost_or_taken() -> None:
    entries = entries_until(date(2008, 7, 1))
    judged = [e for e in entries if isinstance(e, TakeJudged) and e.scion is Scion.GROWING]
    times = Counter(code for entry in judged for code in entry.tree_codes)
    taken = [t for t in notebook_of(entries).trees.values() if t.has_taken and t.is_alive]
    assert taken
    assert sum(times[tree.code] >= 2 for tree in taken) >= len(taken) - 1


def test_stocks_carried_over_are_those_left_and_those_freed(notebook: Notebook) -> None:
    carried = [lot for lot in notebook.lots.values() if lot.carried_over]
    unworked = sum(
        lot.arrived_count - lot.used_count for lot in notebook.lots.values() if not lot.carried_over
    )
    freed = sum(tree.is_free_stock for tree in _trees(notebook))
    assert sum(lot.arrived_count for lot in carried) == unworked + freed
    assert all(lot.in_hand_count == 0 for lot in notebook.lots.values() if not lot.carried_over)
    arrivals = [e for e in entries_until(DEFAULT_DAY) if isinstance(e, StocksArrived)]
    assert sum(e.carried_over for e in arrivals) == len(carried)


def test_a_dead_stock_ends_its_tree() -> None:
    entries = entries_until(DEFAULT_DAY)
    died = {c for e in entries if isinstance(e, StockDied) for c in e.tree_codes}
    trees = notebook_of(entries).trees
    assert died
    assert all(trees[code].handed_over_on is None and not trees[code].is_alive for code in died)
