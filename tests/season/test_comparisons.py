"""Two ways compared, or the reason why not, and what it would take to know."""

import pytest

from graftwright.errors import OutOfRange
from graftwright.losses import Stage
from graftwright.notebook.notebook import Notebook
from graftwright.season.comparisons import choices, ways_compared
from graftwright.season.graft_counts import Factor

from .graft_counts_made import graft


def grafts(variety, binding, *, passed, lost, **levels):
    return [
        graft(passed=place < passed, variety=variety, binding=binding, **levels)
        for place in range(passed + lost)
    ]


def asked(counts, *, factor=Factor.BINDING, first="raffia", second="rubber"):
    return ways_compared(counts, factor=factor, first=first, second=second, notebook=Notebook())


def test_with_no_variety_both_ways_it_cannot_be_compared_and_says_what_would_do():
    counts = grafts("Discovery", "raffia", passed=18, lost=2)
    counts += grafts("Victoria", "rubber", passed=8, lost=12)
    found = asked(counts)
    assert not found.found.is_comparable
    assert "cannot be compared: no variety was grafted both ways" in found.words
    assert not any(one.is_both for one in found.varieties)
    tenth, two_tenths, three_tenths = (one.each_count for one in found.trial)
    assert tenth is None  # four varieties differ too much by themselves for so small a one
    assert two_tenths > three_tenths > 10
    chances = [one.usual_chance_fraction for one in found.trial]
    assert chances == sorted(chances)


def test_a_way_used_on_the_harder_variety_is_not_blamed_for_it():
    # the same within each variety; the second way mostly on the harder one
    counts = grafts("Discovery", "raffia", passed=36, lost=4)
    counts += grafts("Discovery", "rubber", passed=9, lost=1)
    counts += grafts("Victoria", "raffia", passed=4, lost=6)
    counts += grafts("Victoria", "rubber", passed=16, lost=24)
    found = asked(counts)
    assert found.found.common_varieties_count == 2
    low, high = found.found.difference.low_fraction, found.found.difference.high_fraction
    assert low < 0.0 < high
    raw = 25 / 50 - 40 / 50
    assert abs(found.found.mean_difference_fraction) < abs(raw) / 2


def test_what_changed_along_with_the_two_ways_is_said():
    counts = grafts("Discovery", "raffia", passed=9, lost=1, grafter="HQ", method="cleft")
    counts += grafts("Discovery", "rubber", passed=6, lost=4, grafter="TO", method="cleft")
    assert "grafter" in asked(counts).goes_with
    assert "method" not in asked(counts).goes_with


def test_a_person_or_a_variety_is_never_compared():
    counts = grafts("Discovery", "raffia", passed=9, lost=1, grafter="HQ")
    counts += grafts("Victoria", "rubber", passed=9, lost=1, grafter="TO")
    assert {one.factor for one in choices(counts, notebook=Notebook())} == {Factor.BINDING}
    with pytest.raises(OutOfRange, match="private"):
        asked(counts, factor=Factor.GRAFTER, first="HQ", second="TO")


def test_only_takes_are_compared():
    counts = grafts("Discovery", "raffia", passed=9, lost=1, stage=str(Stage.SHOOT))
    assert choices(counts, notebook=Notebook()) == ()


def test_weeks_without_a_variety_in_both_ask_for_no_trial_that_nobody_could_lay_out():
    counts = grafts("Discovery", "raffia", passed=9, lost=1, week="2009-03-02")
    counts += grafts("Victoria", "raffia", passed=6, lost=4, week="2009-03-16")
    found = asked(counts, factor=Factor.WEEK, first="2009-03-02", second="2009-03-16")
    assert "2 March 2009 and 16 March 2009 cannot be compared" in found.words
    assert "more than one week" in found.words
    assert found.trial == ()
