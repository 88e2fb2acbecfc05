"""The demo's kept forecasts are what its plans really say of the notebook on those days."""

import pytest

from graftwright.demo import LAST_DAY, entries_until
from graftwright.demo.forecasts import foretold_rows
from graftwright.demo.foretelling import reckoned
from graftwright.demo.foretold import FORETOLD_ON
from graftwright.notebook.entries import BudsMoved, ForecastMade, RunGrafted, TakeJudged


@pytest.mark.parametrize("season", FORETOLD_ON)
def test_a_kept_forecast_is_what_the_plan_of_that_day_foretells(season: int) -> None:
    now = [row.split(";")[1:] for row in reckoned(season)]
    kept = foretold_rows(season)
    # where this fails after the plan's model changed, run: python -m graftwright.demo.foretelling
    assert [row[:4] for row in kept] == [row[:4] for row in now]
    for mine, anew in zip(kept, now, strict=True):
        assert [float(x) for x in mine[5:]] == pytest.approx([float(x) for x in anew[5:]], rel=0.01)


def test_forecasts_are_kept_before_the_first_graft_of_their_season() -> None:
    entries = entries_until(LAST_DAY)
    for forecast in (one for one in entries if isinstance(one, ForecastMade)):
        later = (RunGrafted, BudsMoved, TakeJudged)
        first = min(
            one.happened_on
            for one in entries
            if isinstance(one, later) and one.happened_on.year == forecast.season
        )
        assert forecast.happened_on < first
