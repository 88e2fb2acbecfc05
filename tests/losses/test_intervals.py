"""Ranges for a single count, against published definitions to nine digits."""

from math import sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.special import ndtri

from graftwright.errors import OutOfRange
from graftwright.losses.intervals import (
    agresti_coull_interval,
    clopper_pearson_interval,
    exact_coverage,
    jeffreys_interval,
    wilson_interval,
)
from graftwright.losses.stages import RateInterval
from tests.losses.published import rows

INTERVALS = {
    "clopper_pearson": clopper_pearson_interval,
    "wilson": wilson_interval,
    "jeffreys": jeffreys_interval,
    "agresti_coull": agresti_coull_interval,
}


def school_interval(alive_count, *, total_count, level_fraction):
    """The rate plus or minus z standard errors: the interval the room leaves out."""
    rate = alive_count / total_count
    half = ndtri(0.5 + level_fraction / 2) * sqrt(rate * (1 - rate) / total_count)
    return RateInterval(low_fraction=rate - half, high_fraction=rate + half)


@pytest.mark.source("ExactSums", "intervals.csv, all rows, definitions of BrownCaiDasGupta2001")
@pytest.mark.parametrize("name", sorted(INTERVALS))
def test_every_published_limit_is_met_to_nine_digits(name):
    for row in rows("intervals.csv"):
        found = INTERVALS[name](
            int(row["x"]), total_count=int(row["n"]), level_fraction=float(row["level"])
        )
        assert found.low_fraction == pytest.approx(float(row[f"{name}_lo"]), abs=1e-9)
        assert found.high_fraction == pytest.approx(float(row[f"{name}_hi"]), abs=1e-9)


def coverage_of(row):
    makers = {**INTERVALS, "cp": clopper_pearson_interval, "wald": school_interval}
    maker, total = makers[row["interval"]], int(row["n"])
    return exact_coverage(
        lambda alive: maker(alive, total_count=total, level_fraction=float(row["level"])),
        total_count=total,
        rate_fraction=float(row["p"]),
    )


@pytest.mark.source("ExactSums", "interval_coverage.csv, all rows")
def test_the_exact_coverage_of_every_published_row_is_met():
    for row in rows("interval_coverage.csv"):
        assert coverage_of(row) == pytest.approx(float(row["exact_coverage"]), abs=1e-6)


@pytest.mark.source("ExactSums", "interval_coverage.csv: nominal 90 %, 10 grafts, rate 0.9")
def test_the_school_interval_covers_far_too_seldom_near_one():
    wanted = {"n": "10", "p": "0.9", "level": "0.9"}
    covers = {
        row["interval"]: coverage_of(row)
        for row in rows("interval_coverage.csv")
        if wanted.items() <= row.items()
    }
    assert covers["wald"] < 0.7
    assert covers["cp"] >= 0.9


def test_none_of_three_is_not_a_rate_of_nought():
    found = jeffreys_interval(0, total_count=3)
    assert found.low_fraction == 0.0
    assert found.high_fraction > 0.4


@pytest.mark.parametrize(("alive", "total"), [(0, 0), (-1, 3), (4, 3)])
def test_an_impossible_tally_is_refused(alive, total):
    for maker in INTERVALS.values():
        with pytest.raises(OutOfRange, match="check the tally"):
            maker(alive, total_count=total)


def test_a_true_rate_above_one_is_refused():
    with pytest.raises(OutOfRange, match="true rate of 9"):
        exact_coverage(
            lambda alive: jeffreys_interval(alive, total_count=3), total_count=3, rate_fraction=9
        )


@given(total=st.integers(1, 60), data=st.data())
def test_the_share_counted_lies_in_every_range_and_a_surer_range_is_wider(total, data):
    alive = data.draw(st.integers(0, total))
    for maker in INTERVALS.values():
        narrow = maker(alive, total_count=total, level_fraction=0.8)
        wide = maker(alive, total_count=total, level_fraction=0.95)
        assert narrow.holds(alive / total)
        # beyond 0 and 1 the limits of Agresti and Coull mean nothing and need not be nested
        assert max(wide.low_fraction, 0) <= max(narrow.low_fraction, 0)
        assert min(wide.high_fraction, 1) >= min(narrow.high_fraction, 1)
