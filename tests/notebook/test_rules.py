"""What may follow what: refusals say the reason and the way out."""

from datetime import date

import pytest

from graftwright.errors import CannotFollow, OutOfRange, UnknownCode
from graftwright.notebook.entries import (
    BundleDiscarded,
    PlaceEntered,
    PlaceKind,
    PromiseMade,
    RunGrafted,
    ScionDied,
    StickMeasured,
    StocksLost,
    StocksMeasured,
    TreeHandedOver,
)
from graftwright.notebook.replay import replay
from graftwright.notebook.rules import check_may_follow, odd
from graftwright.tagcode import code_from_number
from tests.notebook.test_replay import BUNDLE, LOT, START, TREES, beginning, written


def notebook(*later):
    return replay([written(i, e) for i, e in enumerate([*beginning(), *later])])


def run(**changes):
    fields = {
        "happened_on": START,
        "tree_codes": ("K4T76",),
        "bundle_code": BUNDLE,
        "lot_code": LOT,
    }
    return RunGrafted(**(fields | changes))


def test_more_pieces_than_buds_are_refused():
    with pytest.raises(CannotFollow, match="12 pieces left even at one bud each, 31 were used"):
        check_may_follow(run(spoilt_count=30), notebook())


def test_more_grafts_than_stocks_are_refused():
    with pytest.raises(CannotFollow, match="2 stocks in hand, 3 are named"):
        check_may_follow(
            run(tree_codes=tuple(code_from_number(n) for n in (50, 51, 52))), notebook()
        )


def test_a_code_is_never_given_twice():
    with pytest.raises(CannotFollow, match="already names a tree"):
        check_may_follow(run(tree_codes=(TREES[0],)), notebook())
    with pytest.raises(CannotFollow, match="already names a bundle"):
        check_may_follow(
            PromiseMade(
                happened_on=START, code=BUNDLE, who="x", variety="y", stock="z", wanted_count=1
            ),
            notebook(),
        )


def test_a_place_may_be_described_again():
    place = PlaceEntered(
        happened_on=START, code="K4T76", name="Shed", place_kind=PlaceKind.UNHEATED_ROOM
    )
    check_may_follow(place, notebook(place))


def test_wood_thrown_out_cannot_be_grafted_later():
    gone = BundleDiscarded(happened_on=START, code=BUNDLE)
    with pytest.raises(CannotFollow, match="was thrown out"):
        check_may_follow(run(happened_on=date(2009, 3, 9)), notebook(gone))


def test_an_unknown_bundle_lot_or_promise_is_named():
    for changes, word in (
        ({"bundle_code": "22223"}, "bundle"),
        ({"lot_code": "22223"}, "stock lot"),
        ({"promise_code": "22223"}, "promise"),
    ):
        with pytest.raises(UnknownCode, match=f"no {word} has the code 22223"):
            check_may_follow(run(**changes), notebook())


def test_a_dead_tree_is_not_handed_over_and_a_living_one_only_once():
    hand_over = TreeHandedOver(happened_on=date(2009, 11, 3), tree_codes=(TREES[0],), to_whom="Ann")
    dead = ScionDied(happened_on=date(2009, 6, 1), tree_codes=(TREES[0],))
    with pytest.raises(CannotFollow, match="is dead"):
        check_may_follow(hand_over, notebook(dead))
    with pytest.raises(CannotFollow, match="went to Ann"):
        check_may_follow(hand_over, notebook(hand_over))


def test_lost_and_measured_stocks_cannot_be_more_than_there_are():
    with pytest.raises(CannotFollow, match="2 stocks in hand, 5 are named"):
        check_may_follow(StocksLost(happened_on=START, code=LOT, lost_count=5), notebook())
    with pytest.raises(CannotFollow, match="3 stocks measured"):
        check_may_follow(
            StocksMeasured(happened_on=START, code=LOT, diameters_mm=(8.0, 9.0, 9.5)), notebook()
        )


def test_what_is_odd_but_possible_is_kept_and_said():
    many = run(tree_codes=("K4T76",))
    assert odd(many, notebook()) == (f"bundle {BUNDLE} has 0 usual pieces left, 1 were used",)
    handed = TreeHandedOver(happened_on=date(2009, 11, 3), tree_codes=(TREES[0],))
    assert odd(handed, notebook()) == (f"{TREES[0]} still has its binding on",)


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: run(tree_codes=()), "a run of no grafts"),
        (lambda: run(tree_codes=("K4T76", "K4T76")), "stands twice"),
        (
            lambda: StickMeasured(number=1, length_mm=500, base_mm=4, tip_mm=9, bud_count=3),
            "are the ends swapped",
        ),
        (
            lambda: PromiseMade(
                happened_on=START, code="K4T76", who="x", variety="y", stock="z", wanted_count=0
            ),
            "at least one tree",
        ),
    ],
)
def test_impossible_figures_are_refused_when_they_are_said(make, words):
    with pytest.raises(OutOfRange, match=words):
        make()
