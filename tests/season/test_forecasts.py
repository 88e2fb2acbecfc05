"""The book of forecasts: which one counts, and whether honest ones are found honest."""

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest
from scipy.stats import betabinom

from graftwright.errors import OutOfRange
from graftwright.notebook.entries import ForecastMade, Foretold
from graftwright.notebook.replay import replay
from graftwright.notebook.standing import ForecastBook
from graftwright.season.forecasts import MODEL, forecast_of, forecasts_held, is_news

from .conftest import marked
from .graft_counts_made import KNOWN_ON, graft

PROMISE = "4F9LN"


def foretold(lived=16.0, lost=4.0, *, promise=PROMISE, stage="take"):
    return Foretold(
        promise_code=promise,
        variety="Discovery",
        stock="M26",
        stage=stage,
        graft_count=10,
        lived_grafts=lived,
        lost_grafts=lost,
    )


def made(on, *lines):
    return ForecastMade(happened_on=on, season=2009, known_on=on, model=MODEL, lines=lines)


def results(passed, lost, *, promise=PROMISE):
    return [graft(passed=n < passed, promise_code=promise) for n in range(passed + lost)]


def test_of_several_forecasts_the_last_before_the_first_result_counts():
    book = ForecastBook(
        made=(
            made(date(2009, 2, 1), foretold(1.0, 9.0)),
            made(KNOWN_ON - timedelta(days=1), foretold(8.0, 2.0)),
            made(KNOWN_ON, foretold(500.0, 500.0)),
        )
    )
    (held,) = forecasts_held(book, results(8, 2)).held
    assert held.made_on == KNOWN_ON - timedelta(days=1)
    assert held.expected_count == pytest.approx(8.0)


def test_a_forecast_made_after_a_result_is_never_held_against_it():
    book = ForecastBook(made=(made(KNOWN_ON, foretold()),))
    found = forecasts_held(book, results(8, 2))
    assert found.held == ()
    assert found.too_late_count == 1
    assert "no forecast has a result yet" in found.words


def test_grafts_still_waiting_and_other_lines_are_left_out():
    book = ForecastBook(made=(made(date(2009, 2, 1), foretold(), foretold(promise="OTHER")),))
    found = forecasts_held(book, results(3, 1))
    assert [one.decided_count for one in found.held] == [4]
    assert found.waiting_count == 1


def test_too_few_forecasts_are_said_to_be_too_few():
    book = ForecastBook(made=(made(date(2009, 2, 1), foretold()),))
    found = forecasts_held(book, results(8, 2))
    assert "too few to judge" in found.words
    assert all("too few" in one.words for one in found.coverage)


def many(rng, *, true_of):
    lines, counts = [], []
    for number in range(400):
        lived, lost = float(rng.uniform(4, 30)), float(rng.uniform(1, 6))
        lines.append(foretold(lived, lost, promise=f"P{number}"))
        grafts = int(rng.integers(4, 25))
        passed = int(rng.binomial(grafts, true_of(rng.beta(lived, lost))))
        counts += results(passed, grafts - passed, promise=f"P{number}")
    return forecasts_held(ForecastBook(made=(made(date(2009, 2, 1), *lines),)), counts)


def test_honest_forecasts_are_found_honest_and_fall_evenly():
    found = many(np.random.default_rng(6), true_of=lambda rate: rate)
    for one in found.coverage:
        spread = (one.level_fraction * (1 - one.level_fraction) / one.of_count) ** 0.5
        assert abs(one.inside_count / one.of_count - one.level_fraction) < 3.5 * spread
    assert all(abs(count - 80) < 3.5 * (400 * 0.2 * 0.8) ** 0.5 for count in found.fifths)
    assert sum(found.fifths) == 400


def test_forecasts_that_promise_too_much_are_found_out():
    found = many(np.random.default_rng(6), true_of=lambda rate: 0.75 * rate)
    assert found.coverage[-1].words == "ranges were too narrow"
    assert found.fifths[0] > 2 * found.fifths[-1]


@pytest.mark.source("SciPy", "scipy.stats.betabinom.cdf")
def test_the_range_drawn_holds_what_it_says_and_no_count_less_would():
    book = ForecastBook(made=(made(date(2009, 2, 1), foretold(8.0, 2.0)),))
    (held,) = forecasts_held(book, results(9, 3)).held
    law = betabinom(12, 8.0, 2.0)
    assert law.cdf(held.low_count - 1) <= 0.05 < law.cdf(held.low_count)
    assert law.sf(held.high_count) <= 0.05 < law.sf(held.high_count - 1)


def test_a_plan_foretells_every_stage_of_every_line_it_plans_and_is_kept_once(plan):
    forecast = forecast_of(plan)
    assert forecast is not None
    planned = [line for line in plan.lines if line.planned_count]
    assert len(forecast.lines) == sum(len(line.rates) for line in planned)
    empty = ForecastBook()
    assert is_news(forecast, empty)
    assert not is_news(replace(forecast, happened_on=plan.made_on), ForecastBook(made=(forecast,)))


def test_the_notebook_keeps_every_forecast_and_joins_copies_without_doubling():
    one, other = made(date(2009, 2, 1), foretold()), made(date(2009, 2, 9), foretold(9.0, 1.0))
    entries = marked([one, other])
    assert replay(entries).forecasts.made == (one, other)
    assert replay([*reversed(entries), *entries]).forecasts.made == (one, other)


def test_a_forecast_of_nothing_or_from_the_future_is_refused():
    with pytest.raises(OutOfRange, match="forecast of nothing"):
        made(date(2009, 2, 1))
    with pytest.raises(OutOfRange, match=r"rests on 0\.0 grafts"):
        foretold(0.0, 1.0)
    with pytest.raises(OutOfRange, match="from what was known"):
        ForecastMade(
            happened_on=date(2009, 2, 1),
            season=2009,
            known_on=date(2009, 2, 2),
            model=MODEL,
            lines=(foretold(),),
        )
