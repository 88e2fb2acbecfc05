"""Real tallies of grafts: nothing reported as nought, and clumping between varieties seen."""

import pytest

from graftwright.losses.cells import Cell, CellCount, TakeCounts
from graftwright.losses.take import fit
from tests.losses.published import rows


@pytest.mark.source("PublicTallies", "21 of 35: eleven varieties of three to five grafts each")
def test_three_grafts_of_a_variety_neither_damn_nor_praise_it():
    mine = [row for row in rows("graft_trials.csv") if row["trial"] == "BH2016"]
    assert sum(int(row["n_taken"]) for row in mine) == 21
    assert sum(int(row["n_grafts"]) for row in mine) == 35
    counts = TakeCounts(
        factors=("variety",),
        rows=tuple(
            CellCount(
                cell=Cell(levels=(row["scion"],)),
                grafts_count=int(row["n_grafts"]),
                alive_count=int(row["n_taken"]),
            )
            for row in mine
        ),
    )
    model = fit(counts)
    none, every, new = model.rate_intervals(
        [Cell(levels=("Redfield",)), Cell(levels=("Bramtot",)), Cell(levels=("Discovery",))]
    )
    # 0 of 3 and 3 of 3: the ranges overlap, so the two varieties are not to be ranked
    assert none.high_fraction > every.low_fraction
    assert none.high_fraction > 0.4
    assert every.low_fraction < 0.7
    assert new.holds(21 / 35)
    assert model.spreads()[0].mean_logit > 0.3
