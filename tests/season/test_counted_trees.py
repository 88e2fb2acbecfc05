"""Trees counted and grouped from one notebook to the next: against counting all of them."""

from collections import Counter
from datetime import date
from random import Random
from uuid import UUID

from graftwright.notebook.changed_things import Things, things_after
from graftwright.notebook.entries import Scion
from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import Tree, Working
from graftwright.season.counted_trees import (
    counted_workings,
    here_by_place,
    here_count,
    living_by_promise,
    taken_by_pot,
    ungraded_count,
)
from graftwright.season.grouped_trees import (
    free_by_sort,
    free_stocks_by_lot,
    free_trees,
    set_aside_by_promise,
)

MAY = date(2026, 5, 1)
FIRST_WORKING = Working(
    grafted_on=date(2025, 3, 1), bundle_code="B", scion_died_on=date(2025, 6, 1), ended_on=MAY
)


def _any_tree(code: str, chance: Random) -> Tree:
    return Tree(
        code=code,
        run_id=UUID(int=1),
        grafted_on=MAY,
        bundle_code=chance.choice("BC"),
        lot_code=chance.choice("LM"),
        scion=chance.choice((Scion.GROWING, Scion.DEAD)),
        taken_on=chance.choice((None, MAY)),
        place_code=chance.choice(("", "G", "Y")),
        ready=chance.choice((None, True, False)),
        allocated_to=chance.choice(("", "P", "Q")),
        pot_litres=chance.choice((0.0, 2.0)),
        promise_code=chance.choice(("", "P", "Q")),
        breaks_in=chance.choice((None, 2027)),
        earlier=chance.choice(((), (FIRST_WORKING,))),
    )


def test_counts_and_groups_kept_over_entries_are_those_of_all_trees() -> None:
    # a brute-force twin: every count and group from all trees, after each change
    chance = Random(14)
    trees = Things({f"{n:02}": _any_tree(f"{n:02}", chance) for n in range(30)})
    for _ in range(60):
        anew = [f"{chance.randrange(40):02}" for _ in range(chance.randrange(3))]
        gone = {code for code in chance.sample(sorted(trees), 1) if code not in anew}
        trees = things_after(
            trees, anew={code: _any_tree(code, chance) for code in anew}, gone=gone
        )
        here = [tree for tree in trees.values() if tree.is_here]
        assert here_count(trees) == len(here)
        assert here_by_place(trees) == Counter(tree.place_code for tree in here)
        taken = [tree for tree in here if tree.has_taken]
        assert taken_by_pot(trees) == Counter(tree.pot_litres for tree in taken)
        assert ungraded_count(trees) == sum(tree.ready is None for tree in taken)
        apart = [tree for tree in here if tree.allocated_to]
        assert _codes(set_aside_by_promise(trees)) == _grouped(apart, "allocated_to")
        free = [tree for tree in here if tree.ready and not tree.allocated_to]
        assert _codes(free_by_sort(trees)) == _grouped(free, "bundle_code", "lot_code")
        assert free_trees(trees) == tuple(free)
        stocks = [tree for tree in trees.values() if tree.is_free_stock]
        assert _codes(free_stocks_by_lot(trees)) == _grouped(stocks, "lot_code")
        meant = [t.promise_code for t in here if t.promise_code and not t.allocated_to]
        assert living_by_promise(trees) == Counter(meant)
        assert counted_workings(trees) == _outcomes(trees)


def _outcomes(trees):
    """Every working by its year, way and outcome: a brute-force twin over all of them."""
    return Counter(
        (one.grafted_on.year, one.is_budded, one.has_taken, not one.has_taken and not one.is_alive)
        for one in Notebook(trees=trees).workings()
    )


def _codes(groups):
    return {key: [tree.code for tree in mine] for key, mine in groups.items()}


def _grouped(trees, *names):
    found: dict[object, list[str]] = {}
    for tree in trees:
        key = tuple(getattr(tree, name) for name in names)
        found.setdefault(key if len(names) > 1 else key[0], []).append(tree.code)
    return found


def test_groups_of_which_many_trees_changed_at_once_are_those_of_all_trees() -> None:
    chance = Random(15)
    trees = Things({f"{n:03}": _any_tree(f"{n:03}", chance) for n in range(600)})
    for changed_count in (40, 140, 3, 149, 60):
        assert _codes(free_stocks_by_lot(trees)) == _grouped(
            [tree for tree in trees.values() if tree.is_free_stock], "lot_code"
        )
        anew = [f"{n:03}" for n in chance.sample(range(650), changed_count)]
        gone = {code for code in chance.sample(sorted(trees), 5) if code not in anew}
        trees = things_after(
            trees, anew={code: _any_tree(code, chance) for code in anew}, gone=gone
        )
        assert _codes(set_aside_by_promise(trees)) == _grouped(
            [tree for tree in trees.values() if tree.is_here and tree.allocated_to], "allocated_to"
        )
