"""Why did these fail: one planted cause, two that go together, and nothing but chance."""

import random

from graftwright.losses import Stage
from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import Tree
from graftwright.season.belief import STOCK_STAGE
from graftwright.season.causes_found import ALARM_FRACTION, causes_found, noted_causes, signs_seen
from graftwright.season.private_rates import ONE_PERSON, Shown

from .graft_counts_made import graft

NOBODY = Shown()


def season(is_lost, *, count=120, bundles=12, rng):
    return [
        graft(
            passed=not is_lost(place),
            bundle=f"B{place % bundles}",
            day=f"2009-03-0{1 + rng.randrange(4)}",
            grafter=rng.choice(("HQ", "TO")),
            lot=f"L{place % 3}",
        )
        for place in range(count)
    ]


def takes_of(counts, *, shown=NOBODY):
    return causes_found(counts, notebook=Notebook(), shown=shown, season=2009)[0]


def test_one_dead_bundle_ranks_first_with_its_counts():
    rng = random.Random(4)
    found = takes_of(season(lambda p: p % 12 == 3 or rng.random() < 0.1, rng=rng))
    first = found.claimed[0]
    assert (first.factor, first.level) == ("bundle", "B3")
    assert (first.lost_count, first.of_count) == (10, 10)
    assert first.elsewhere_of_count == 110


def test_random_failures_name_a_cause_no_more_often_than_stated():
    rng = random.Random(1)
    trials = 150
    alarms = sum(
        bool(takes_of(season(lambda _: rng.random() < 0.25, count=60, rng=rng)).claimed)
        for _ in range(trials)
    )
    assert alarms / trials <= ALARM_FRACTION + 3 * (0.05 * 0.95 / trials) ** 0.5


def test_a_bundle_all_grafted_on_the_hot_day_is_said_to_be_inseparable_from_it():
    counts = [
        graft(
            passed=place >= 12 or place == 0,
            bundle="BAD" if place < 12 else f"B{place % 5}",
            day="2009-06-06" if place < 12 else "2009-03-01",
        )
        for place in range(80)
    ]
    first = takes_of(counts).claimed[0]
    apart = {f"{first.factor} {first.level}", *first.same_grafts_as}
    assert {"bundle BAD", "day 6 June 2009"} <= apart


def test_with_few_lost_at_random_it_says_that_it_cannot_tell():
    rng = random.Random(9)
    found = takes_of(season(lambda p: p in (5, 17), rng=rng))
    assert not found.claimed
    assert "cannot tell" in found.words


def test_a_person_whose_grafts_stand_out_is_named_to_nobody_else():
    rng = random.Random(2)
    counts = [
        graft(
            passed=rng.random() > (0.8 if place % 2 else 0.05),
            grafter="TO" if place % 2 else "HQ",
            bundle=f"B{place % 7}",
        )
        for place in range(80)
    ]
    hidden = takes_of(counts).claimed[0]
    assert (hidden.level, hidden.lost_count, hidden.of_count) == (ONE_PERSON, None, None)
    whole = takes_of(counts)
    assert "TO" not in "".join(
        (row.level + row.words + "".join(row.same_grafts_as))
        for row in (*whole.claimed, *whole.others)
    )
    told = takes_of(counts, shown=Shown(people=frozenset({"TO"}))).claimed[0]
    assert told.level == "TO"
    assert told.of_count == 40


def test_dead_stocks_are_never_held_against_the_hands_or_the_wood():
    counts = [
        graft(passed=place >= 10, stage=STOCK_STAGE, lot="L1" if place < 12 else "L2", grafter="TO")
        for place in range(60)
    ]
    counts += [graft(passed=True, stage=str(Stage.TAKE)) for _ in range(10)]
    stocks = causes_found(counts, notebook=Notebook(), shown=NOBODY, season=2009)[1]
    assert stocks.claimed[0].factor == "stock lot"
    factors = {row.factor for row in (*stocks.claimed, *stocks.others)}
    assert not factors & {"grafter", "bundle", "variety", "binding", "method"}


def test_causes_written_down_and_signs_seen_are_counted(lived):
    dead = [tree for tree in lived.trees.values() if not tree.is_alive]
    named = noted_causes(lived.trees.values())
    assert sum(one.count for one in named) == sum(bool(tree.loss_cause) for tree in dead)
    assert [one.count for one in named] == sorted((one.count for one in named), reverse=True)


def test_signs_of_opened_grafts_are_counted_one_by_one(lived):
    tree: Tree = next(iter(lived.trees.values()))
    from_entries = ("no callus; cut dark; smelt of vinegar", "no callus; cut clean", "")
    seen = signs_seen(_with_autopsy(tree, words) for words in from_entries)
    assert (seen[0].what, seen[0].count, seen[0].of_count) == ("no callus", 2, 2)
    assert {one.what for one in seen} == {
        "no callus", "cut dark", "cut clean", "smelt of vinegar",
    }  # fmt: skip


def _with_autopsy(tree, words):
    return Tree(
        code=tree.code,
        run_id=tree.run_id,
        grafted_on=tree.grafted_on,
        bundle_code=tree.bundle_code,
        lot_code=tree.lot_code,
        autopsy=words,
    )
