"""PhenoFlex as published."""

import numpy as np
import pytest

from graftwright.climate import PhenoFlexParameters, phenoflex
from graftwright.errors import GapInSeries, OutOfRange
from tests.climate.published import column, rows_of, series_of, winter_c

FIELDS = {
    "yc": "chill_need",
    "zc": "heat_need",
    "s1": "steepness",
    "Tu": "best_c",
    "Tb": "base_c",
    "Tc": "ceiling_c",
    "slope": "slope",
    "Tf": "tf_c",
}


@pytest.mark.source("Luedeling2021", "the model")
@pytest.mark.source("chillR077", "phenoflex.csv, phenoflex_params.csv")
@pytest.mark.source("NrelTmy3", "station 723170")
@pytest.mark.parametrize("case", ["a", "b"])
def test_chill_heat_and_event_repeat_the_published_routine(case):
    chosen = {
        FIELDS[row["param"]]: float(row["value"])
        for row in rows_of("phenoflex_params.csv")
        if row["case"] == case
    }
    run = phenoflex(winter_c(), parameters=PhenoFlexParameters(**chosen))
    rows = series_of("phenoflex.csv", "case")[case]
    at = column(rows, "hour_index").astype(int)
    for ours, name in ((run.intermediate, "x"), (run.portions, "y"), (run.heat_h, "z")):
        np.testing.assert_allclose(ours[at], column(rows, name), rtol=0, atol=1e-9)
    assert run.event_hour_count == int(rows[0]["first_hour_index_reaching_zc"])


def test_a_need_never_met_has_no_event():
    assert phenoflex(np.full(500, 5.0)).event_hour_count is None


def test_a_missing_hour_and_nonsense_are_refused():
    with pytest.raises(GapInSeries, match="hour 0 of 1"):
        phenoflex([float("nan")])
    with pytest.raises(OutOfRange, match="three rising"):
        PhenoFlexParameters(base_c=30.0)
    with pytest.raises(OutOfRange, match="above 0"):
        PhenoFlexParameters(heat_need=0.0)
