from math import exp, log

import numpy as np
import pytest

from graftwright.errors import OutOfRange
from graftwright.wood import PairLimits, PairTable, TakeCurve, assumed_pair_table
from graftwright.wood.share_table import expected_share
from tests.wood.instances import pair_table

_PAIRS = [(4.0, 5.0), (5.0, 5.0), (6.3, 7.2), (8.1, 9.0), (9.0, 8.8), (9.0, 12.0), (7.0, 14.0)]


def published_share(scion_mm: float, stock_mm: float) -> float:
    takes = pair_table().takes_per_10000_at(
        np.array([round(scion_mm * 10)]), np.array([round(stock_mm * 10)])
    )
    return -0.30 * log(1 - int(takes[0]) / 9500)


@pytest.mark.source("CuttingInstances", "pair_score.csv, turned back into shares")
@pytest.mark.parametrize(("scion_mm", "stock_mm"), _PAIRS)
def test_the_expected_share_agrees_with_the_published_table(scion_mm, stock_mm):
    share = expected_share(scion_mm, stock_mm)
    assert share == pytest.approx(published_share(scion_mm, stock_mm), abs=0.02)


@pytest.mark.source("CuttingInstances", "pair_score.csv, whole table")
def test_the_whole_table_agrees_with_the_published_one_and_allows_the_same_pairs():
    scion, stock = np.meshgrid(np.arange(40, 121), np.arange(50, 141), indexing="ij")
    published = pair_table().takes_per_10000_at(scion, stock)
    ours = assumed_pair_table().takes_per_10000_at(scion, stock)
    assert ((published >= 0) == (ours >= 0)).all()
    assert np.abs(published - ours).max() <= 60  # a share off by 0.02 where the curve is steepest


def test_the_take_curve_is_the_assumed_one_and_can_be_replaced():
    table = assumed_pair_table()
    share = table.share_at(80, 90)
    assert share is not None
    takes = table.takes_per_10000_at(np.array([80]), np.array([90]))
    assert takes[0] == pytest.approx(9500 * (1 - exp(-share / 0.30)), abs=0.5001)
    flat = assumed_pair_table(curve=TakeCurve(p_max_fraction=0.5, s0_fraction=0.30))
    halved = flat.takes_per_10000_at(np.array([80]), np.array([90]))
    assert halved[0] == pytest.approx(5000 * (1 - exp(-share / 0.30)), abs=0.5001)


def test_a_scion_thicker_than_its_stock_is_never_allowed():
    scion, stock = np.meshgrid(np.arange(20, 171), np.arange(20, 351), indexing="ij")
    takes = assumed_pair_table().takes_per_10000_at(scion, stock)
    assert (takes[scion > stock + 2] == -1).all()
    assert (takes[(scion <= stock) & (stock <= 2 * scion)] > 0).all()


def test_a_diameter_outside_the_table_is_not_allowed():
    table = PairTable(
        scion_from_tenths=50, stock_from_tenths=60, takes_per_10000=np.array([[8000, 7000]])
    )
    found = table.takes_per_10000_at(np.array([50, 50, 49, 50]), np.array([60, 61, 60, 62]))
    assert found.tolist() == [8000, 7000, -1, -1]
    assert table.share_at(50, 60) is None


def test_a_diameter_known_as_a_class_counts_with_the_mean_of_its_class():
    table = PairTable(
        scion_from_tenths=60,
        stock_from_tenths=60,
        takes_per_10000=np.array([[9000, 8000, 7000, 6000, 5000]]),
    )
    takes = table.takes_per_10000_between(
        np.array([60]), np.array([62]), np.array([0]), np.array([5])
    )
    assert takes.tolist() == [[7000]]
    exact = table.takes_per_10000_between(
        np.array([60]), np.array([62]), np.array([0]), np.array([0])
    )
    assert exact.tolist() == [[7000]]


def test_curves_and_limits_that_make_no_sense_are_refused():
    with pytest.raises(OutOfRange, match="p_max"):
        TakeCurve(p_max_fraction=1.2)
    with pytest.raises(OutOfRange, match="overhang"):
        PairLimits(scion_over_stock_mm=1.0)
