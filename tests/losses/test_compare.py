"""Two treatments on the same varieties: no blame for harder varieties, no claim without grounds."""

import numpy as np
import pytest
from scipy.special import expit

from graftwright.errors import OutOfRange
from graftwright.losses.compare import TreatedCount, compared, mantel_haenszel_log_odds


def trial(rng, effect_logit, *, varieties=8):
    """The second method is used more on the poorer varieties; about 240 grafts."""
    ability = np.sort(rng.normal(1.0, 0.9, varieties))
    counts = []
    for place, level in enumerate(ability):
        share = 0.8 - 0.6 * place / (varieties - 1)
        for treatment, made, shift in (
            ("plain", round(30 * (1 - share)), 0.0),
            ("tongue", round(30 * share), effect_logit),
        ):
            rate = expit(level + shift + rng.normal(0, 0.35))
            counts.append(
                TreatedCount(
                    variety=f"V{place}",
                    treatment=treatment,
                    grafts_count=made,
                    alive_count=int(rng.binomial(made, rate)),
                )
            )
    return counts


@pytest.mark.parametrize("effect", [0.0, 0.8])
def test_a_method_is_not_blamed_for_the_varieties_it_was_used_on(effect):
    rng = np.random.default_rng(8)
    found = [
        compared(trial(rng, effect), first="plain", second="tongue", seed=1) for _ in range(40)
    ]
    held = np.mean([c.low_logit <= effect <= c.high_logit for c in found])
    alarms = np.mean([c.low_logit > 0 or c.high_logit < 0 for c in found])
    # nominal 0.9, less two standard errors of 40 trials
    assert held >= 0.9 - 0.095
    if effect == 0.0:
        assert alarms <= 0.1 + 0.095


def test_raw_rates_would_have_blamed_it():
    rng = np.random.default_rng(8)
    raw = []
    for _ in range(40):
        counts = trial(rng, 0.0)
        rate = {
            name: sum(c.alive_count for c in counts if c.treatment == name)
            / sum(c.grafts_count for c in counts if c.treatment == name)
            for name in ("plain", "tongue")
        }
        raw.append(rate["tongue"] - rate["plain"])
    assert np.mean(raw) < -0.08


def test_with_no_variety_in_common_nothing_is_said():
    counts = [
        TreatedCount(variety="Discovery", treatment="plain", grafts_count=20, alive_count=19),
        TreatedCount(variety="James Grieve", treatment="tongue", grafts_count=20, alive_count=2),
    ]
    found = compared(counts, first="plain", second="tongue", seed=1)
    assert not found.is_comparable
    assert "cannot be compared" in found.words()
    assert found.difference is None


def test_a_plain_difference_is_seen_and_said():
    counts = [
        TreatedCount(variety=f"V{place}", treatment=treatment, grafts_count=40, alive_count=alive)
        for place in range(6)
        for treatment, alive in (("plain", 20), ("tongue", 37))
    ]
    found = compared(counts, first="plain", second="tongue", seed=1)
    assert found.difference.low_fraction > 0.2
    assert found.mean_difference_fraction == pytest.approx(17 / 40, abs=0.06)
    assert found.words().startswith("tongue did better than plain")


def test_the_common_odds_of_equal_tables_are_those_of_one():
    counts = [
        TreatedCount(variety=variety, treatment=treatment, grafts_count=20, alive_count=alive)
        for variety in ("a", "b")
        for treatment, alive in (("plain", 10), ("tongue", 15))
    ]
    # 15/5 against 10/10
    found = mantel_haenszel_log_odds(counts, first="plain", second="tongue")
    assert found == pytest.approx(np.log(3))


def test_a_treatment_is_not_compared_with_itself():
    with pytest.raises(OutOfRange, match="twice"):
        compared([], first="plain", second="plain", seed=1)
