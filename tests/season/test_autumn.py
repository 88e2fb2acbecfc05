"""Autumn: trees shared out by the rule that is shown; roots in their first winter."""

import random
from datetime import date

import pytest

from graftwright.intake.catalogue import shipped_catalogue
from graftwright.notebook.entries import Graded, GrowthMeasured, PracticeSet, TreeAllocated
from graftwright.season.due import day_ground
from graftwright.season.first_winter import first_winter
from graftwright.season.naming import Names
from graftwright.season.setting_aside import proposed_sharing
from graftwright.season.tree_work import Season
from tests.season.cover_world import steady_years
from tests.season.life_world import BUNDLE, CHURCH, OTHER, SCHOOL, codes, notebook, run

NOVEMBER = date(2009, 11, 7)
NAMES = Names(shipped_catalogue())


def graded(trees, *, ready=True, height_m=1.0):
    return [
        GrowthMeasured(happened_on=date(2009, 8, 1), tree_codes=trees, growth_mm=600.0),
        Graded(happened_on=NOVEMBER, tree_codes=trees, ready=ready, height_m=height_m),
    ]


def sharing(*later):
    return proposed_sharing(notebook(*later), names=NAMES)


def shares(found):
    return {share.promise.code: share for share in found.shares}


def test_the_first_priority_is_served_before_the_older_promise():
    two = codes(2)
    found = shares(sharing(run(two), *graded(two)))
    assert len(found[CHURCH].trees) == 1
    assert len(found[SCHOOL].trees) == 1
    assert found[SCHOOL].short_count == 2


def test_a_rule_of_ones_own_turns_the_order_and_is_named():
    two = codes(2)
    mine = PracticeSet(
        happened_on=date(2009, 10, 1),
        practice="who gets trees first",
        value="by day wanted, then priority",
        words="the school plants first",
    )
    found = sharing(run(two), *graded(two), mine)
    assert len(shares(found)[SCHOOL].trees) == 2
    assert shares(found)[CHURCH].trees == ()
    assert "your own practice: the school plants first" in found.rule_words


def test_trees_grafted_for_a_promise_go_to_it_then_the_tallest():
    own, tall, small = codes(1), codes(1, start=40), codes(1, start=41)
    found = sharing(
        run(own, promise=SCHOOL),
        run((*tall, *small)),
        *graded(own, height_m=0.7),
        *graded(tall, height_m=1.5),
        *graded(small, height_m=0.9),
    )
    # the churchyard comes first and has none of its own: it gets the tallest
    assert shares(found)[CHURCH].trees[0].code == tall[0]
    assert [tree.code for tree in shares(found)[SCHOOL].trees] == [*own, *small]


def test_the_second_choice_is_offered_apart_and_only_for_what_is_short():
    grieve = codes(2)
    found = sharing(run(grieve, bundle=OTHER), *graded(grieve))
    share = shares(found)[CHURCH]
    assert share.trees == ()
    assert len(share.second_choice) == 1
    assert share.short_count == 0
    assert [tree.code for tree in found.spare] == [grieve[1]]


def test_unfit_and_ungraded_trees_and_those_set_aside_are_not_shared_out():
    unfit, ungraded, given = codes(1), codes(1, start=40), codes(1, start=41)
    found = sharing(
        run((*unfit, *ungraded, *given), bundle=BUNDLE),
        *graded(unfit, ready=False),
        GrowthMeasured(happened_on=date(2009, 8, 1), tree_codes=ungraded, growth_mm=600.0),
        *graded(given),
        TreeAllocated(happened_on=NOVEMBER, tree_codes=given, promise_code=SCHOOL),
    )
    assert not any(share.trees for share in found.shares)
    assert found.ungraded_count == 1


def one_by_one(then):
    """The rule as its words say it, one tree at a time; a brute-force twin, no other source."""
    left = [t for t in then.trees.values() if t.is_here and t.ready and not t.allocated_to]
    served = sorted(then.promises.values(), key=lambda p: (p.priority, p.made_on, p.code))
    given = {promise.code: ([], []) for promise in served}
    for choice in (0, 1):
        for promise in served:
            sort = (promise.variety, promise.second_choice)[choice]
            while sum(map(len, given[promise.code])) < promise.open_count:
                fit = [
                    t
                    for t in left
                    if then.variety_of(t) == sort and then.stock_of(t) == promise.stock
                ]
                if not fit:
                    break
                own = [t for t in fit if t.promise_code == promise.code]
                best = min(own or fit, key=lambda t: (-t.height_m, t.code))
                left.remove(best)
                given[promise.code][choice].append(best.code)
    return given, sorted(tree.code for tree in left)


@pytest.mark.parametrize("seed", range(6))
def test_sharing_out_at_once_is_sharing_out_tree_by_tree(seed):
    chance = random.Random(seed)
    made = []
    for start in range(20, 20 + chance.randrange(4, 14)):
        bundle, promise = chance.choice((BUNDLE, OTHER)), chance.choice((SCHOOL, CHURCH, ""))
        mine = codes(1, start=start)
        height_m = chance.choice((0.8, 1.0, 1.4))
        made += [run(mine, bundle=bundle, promise=promise), *graded(mine, height_m=height_m)]
    given, spare = one_by_one(notebook(*made))
    found = sharing(*made)
    assert {
        code: ([t.code for t in share.trees], [t.code for t in share.second_choice])
        for code, share in shares(found).items()
    } == given
    assert [tree.code for tree in found.spare] == spare


def winter(low_c, high_c, *, pot_litres=4.0):
    tree = codes(1)
    then = notebook(run(tree), *graded(tree))
    ground = day_ground(then, today=NOVEMBER, normals=steady_years(low_c, high_c))
    season = Season(notebook=then, today=NOVEMBER, ground=ground)
    found = first_winter(season, pot_litres=pot_litres, tree_count=1)
    assert found is not None
    return {way.name: way for way in found.ways}


def test_the_same_tree_stands_at_other_risk_in_an_open_pot_than_plunged():
    # need N40
    ways = winter(-12.0, -1.0)
    assert ways["standing open"].root_low_c < ways["plunged to the rim"].root_low_c
    assert ways["standing open"].years_hurt_count > ways["plunged to the rim"].years_hurt_count


def test_a_small_pot_gets_colder_than_a_large_one():
    small, large = winter(-14.0, -2.0, pot_litres=1.0), winter(-14.0, -2.0, pot_litres=20.0)
    assert small["standing open"].root_low_c < large["standing open"].root_low_c


@pytest.mark.parametrize("name", ["standing open", "plunged to the rim"])
def test_a_mild_winter_hurts_no_roots(name):
    assert winter(1.0, 8.0)[name].years_hurt_count == 0
