"""Why did these fail: a planted cause is found, two that go together are not told apart."""

import numpy as np
import pytest

from graftwright.errors import OutOfRange
from graftwright.losses.causes import FailureCount, likely_causes

FACTORS = ("bundle", "day", "grafter")


def season(rng, *, risk, bundles=8, days=4, grafters=2, grafts=160):
    counts = []
    for _ in range(grafts):
        levels = (
            f"B{rng.integers(bundles)}",
            f"day {rng.integers(days)}",
            f"G{rng.integers(grafters)}",
        )
        failed = rng.random() < risk(levels)
        counts.append(FailureCount(levels=levels, grafts_count=1, failed_count=int(failed)))
    return counts


def test_one_dead_bundle_ranks_first_and_is_the_only_claim():
    firsts = []
    for seed in range(8):
        rng = np.random.default_rng(seed)
        counts = season(rng, risk=lambda levels: 0.8 if levels[0] == "B3" else 0.15)
        report = likely_causes(counts, factors=FACTORS, seed=seed, shuffles_count=199)
        firsts.append(report.suspects[0].level == "B3" and report.suspects[0].is_claimed)
    assert all(firsts)
    assert report.suspects[0].words().startswith("bundle B3: ")


def test_the_counts_shown_are_those_entered():
    counts = [
        FailureCount(levels=("B1",), grafts_count=20, failed_count=15),
        FailureCount(levels=("B2",), grafts_count=30, failed_count=3),
        FailureCount(levels=("B1",), grafts_count=5, failed_count=4),
    ]
    top = likely_causes(counts, factors=("bundle",), seed=1).suspects[0]
    assert (top.failed_count, top.grafts_count) == (19, 25)
    assert (top.other_failed_count, top.other_grafts_count) == (3, 30)


def test_a_bundle_all_grafted_on_the_hot_day_cannot_be_separated_from_it():
    counts = [
        FailureCount(levels=("B1", "hot day", "G1"), grafts_count=10, failed_count=9),
        FailureCount(levels=("B1", "hot day", "G2"), grafts_count=10, failed_count=8),
        FailureCount(levels=("B2", "day 1", "G1"), grafts_count=20, failed_count=3),
        FailureCount(levels=("B3", "day 2", "G2"), grafts_count=20, failed_count=2),
    ]
    report = likely_causes(counts, factors=FACTORS, seed=1)
    assert len(report.claimed) == 1
    assert "cannot be separated from" in report.words()
    assert {"bundle B1", "day hot day"} == {
        f"{report.claimed[0].factor} {report.claimed[0].level}",
        *report.claimed[0].inseparable_from,
    }


def test_what_merely_goes_with_a_cause_is_not_claimed_as_well():
    # B1 is bad; G1 grafted most of it, but does no worse than G2 within any bundle
    counts = [
        FailureCount(levels=("B1", "d", "G1"), grafts_count=24, failed_count=18),
        FailureCount(levels=("B1", "d", "G2"), grafts_count=8, failed_count=6),
        FailureCount(levels=("B2", "d", "G1"), grafts_count=20, failed_count=2),
        FailureCount(levels=("B2", "d", "G2"), grafts_count=50, failed_count=5),
    ]
    report = likely_causes(counts, factors=FACTORS, seed=1)
    assert [suspect.level for suspect in report.claimed] == ["B1"] or (
        report.claimed[0].inseparable_from
    )
    assert all(suspect.factor != "grafter" for suspect in report.claimed)


def test_random_failures_are_blamed_no_oftener_than_allowed():
    claims = 0
    for seed in range(60):
        rng = np.random.default_rng(1000 + seed)
        counts = season(rng, risk=lambda _: 0.25, grafts=80)
        report = likely_causes(counts, factors=FACTORS, seed=seed, shuffles_count=99)
        claims += bool(report.claimed)
    # 6 expected at 0.1; 13 or more would come up once in 300 times
    assert claims <= 12


def test_nothing_stands_out_is_said_so():
    counts = [
        FailureCount(levels=(f"B{place}",), grafts_count=10, failed_count=2) for place in range(5)
    ]
    report = likely_causes(counts, factors=("bundle",), seed=1)
    assert report.claimed == ()
    assert report.words().startswith("cannot tell")
    assert "cannot tell" in report.suspects[0].words()


def test_no_grafts_no_suspects():
    assert likely_causes([], factors=FACTORS, seed=1).suspects == ()


def test_bad_tallies_are_refused():
    with pytest.raises(OutOfRange, match="4 failed of 3"):
        FailureCount(levels=("x",), grafts_count=3, failed_count=4)
    with pytest.raises(OutOfRange, match="not recorded"):
        likely_causes(
            [FailureCount(levels=("x",), grafts_count=3, failed_count=1)], factors=FACTORS, seed=1
        )
