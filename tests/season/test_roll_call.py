"""A walk with moved, missing and extra trees; and free stocks matched to promises."""

from datetime import date

from graftwright.intake.catalogue import shipped_catalogue
from graftwright.notebook.entries import (
    Cause,
    Method,
    Reworked,
    ScionDied,
    StockDied,
    TreeHandedOver,
    TreeMoved,
)
from graftwright.season.naming import Names
from graftwright.season.roll_call import roll_call, verdict
from graftwright.season.second_chance import second_chance, spring_of_bud, working_counts
from graftwright.tagcode import code_from_number
from tests.season.life_world import CHURCH, GLASS, OTHER, SCHOOL, YARD, codes, notebook, run

NAMES = Names(shipped_catalogue())


def test_a_walk_finds_two_moved_one_missing_and_one_extra():
    # need N48
    trees = codes(10)
    then = notebook(
        run(trees),
        TreeMoved(happened_on=date(2009, 6, 1), tree_codes=trees[:2], place_code=YARD),
    )
    stray = code_from_number(900)
    call = roll_call(then, place_code=GLASS, read=(*trees[:9], stray, trees[3]))
    assert {tree.code for tree in call.moved} == set(trees[:2])
    assert [tree.code for tree in call.missing] == [trees[9]]
    assert [one.code for one in call.extra] == [stray]
    assert len(call.seen) == 7
    assert call.expected_count == 8
    assert not call.is_complete
    assert [verdict(code, call) for code in (trees[0], trees[5], trees[9], stray)] == [
        "moved",
        "seen",
        "missing",
        "extra",
    ]


def test_a_stock_without_its_scion_still_belongs_on_the_bench_but_a_dead_one_does_not():
    free, gone, sold = codes(3)
    then = notebook(
        run((free, gone, sold)),
        ScionDied(happened_on=date(2009, 5, 1), tree_codes=(free,)),
        StockDied(happened_on=date(2009, 5, 1), tree_codes=(gone,)),
        TreeHandedOver(happened_on=date(2009, 6, 1), tree_codes=(sold,), to_whom="Ada"),
    )
    call = roll_call(then, place_code=GLASS, read=(free, gone, sold))
    assert [tree.code for tree in call.seen] == [free]
    assert {one.code for one in call.extra} == {gone, sold}
    assert call.missing == ()


def lost(trees):
    return ScionDied(happened_on=date(2009, 5, 20), tree_codes=trees, cause=Cause.DRIED)


def found(*later, today=date(2009, 7, 20)):
    return second_chance(notebook(*later), names=NAMES, today=today)


def test_free_stocks_are_matched_to_the_promises_that_are_short_and_no_stock_twice():
    # need N10
    trees = codes(8)
    result = found(run(trees), lost(trees))
    assert result.free_count == 8
    by_promise = {one.promise.code: one for one in result.chances}
    assert (by_promise[CHURCH].short_count, by_promise[SCHOOL].short_count) == (1, 3)
    offered = [tree.code for one in result.chances for tree in one.stocks]
    assert len(offered) == len(set(offered)) == 4
    assert [len(left) for _, left in result.left_over] == [4]


def test_living_trees_grafted_for_a_promise_make_it_less_short():
    alive, free = codes(2), codes(4, start=40)
    result = found(run(alive, promise=SCHOOL), run(free), lost(free))
    short = {one.promise.code: one.short_count for one in result.chances}
    assert short == {CHURCH: 1, SCHOOL: 1}


def test_stocks_of_its_own_failed_grafts_go_to_a_promise_first():
    others, own = codes(3), codes(2, start=40)
    result = found(run(others), run(own, promise=SCHOOL), lost((*others, *own)))
    school = next(one for one in result.chances if one.promise.code == SCHOOL)
    assert {tree.code for tree in school.stocks} >= set(own)


def test_a_dead_stock_is_never_offered():
    trees = codes(3)
    dead = StockDied(happened_on=date(2009, 6, 1), tree_codes=trees[:1])
    offered = found(run(trees), lost(trees), dead)
    assert offered.free_count == 2


def test_budwood_is_this_summers_and_fresh():
    trees = codes(3)
    winter_wood_only = found(run(trees), lost(trees))
    assert all(one.bundles == () for one in winter_wood_only.chances)
    assert all(one.mother_trees for one in winter_wood_only.chances)


def test_a_bud_breaks_in_its_next_spring_north_and_south():
    assert spring_of_bud(date(2009, 8, 1), is_south=False) == 2010
    assert spring_of_bud(date(2009, 4, 1), is_south=False) == 2009
    assert spring_of_bud(date(2009, 2, 1), is_south=True) == 2009
    assert spring_of_bud(date(2009, 12, 1), is_south=True) == 2010


def test_grafts_and_buds_are_counted_apart():
    # need N10
    trees = codes(5)
    then = notebook(run(trees), lost(trees[:2]), *budded(trees[:2]))
    grafts, buds = working_counts(then, year=2009)
    assert (grafts.made_count, grafts.lost_count) == (5, 2)
    assert (buds.made_count, buds.open_count) == (2, 2)


def budded(trees):
    return [
        Reworked(
            happened_on=date(2009, 8, 1),
            tree_codes=trees,
            bundle_code=OTHER,
            method=Method.CHIP_BUD,
            breaks_in=2010,
        )
    ]
