import pytest

from graftwright.errors import OutOfRange
from graftwright.wood import ALIGN_CAMBIUM, GraftMethod, WorkSeason, advise_methods


def fitting(scion_mm: float, stock_mm: float, season: WorkSeason = WorkSeason.DORMANT):
    advice = advise_methods(scion_mm, stock_mm, season=season)
    return [one.method for one in advice if one.is_fitting]


@pytest.mark.source("NDSUGrafting", "stock and scion alike, 1/4 to 1/2 inch; both dormant")
@pytest.mark.parametrize("diameter_mm", [6.4, 8.0, 10.0, 12.7])
def test_wood_as_thick_as_its_stock_goes_to_the_whip_and_tongue_first(diameter_mm):
    assert fitting(diameter_mm, diameter_mm)[0] is GraftMethod.WHIP_AND_TONGUE
    reason = advise_methods(diameter_mm, diameter_mm)[0].reason
    assert "both sides" in reason


@pytest.mark.source("NDSUGrafting", "the scion should never be thicker than the stock")
def test_a_scion_thicker_than_its_stock_fits_no_join_and_says_why():
    advice = advise_methods(9.0, 8.0)
    assert not any(one.is_fitting for one in advice)
    assert {one.method for one in advice} == set(GraftMethod)
    assert "1.0 mm thicker than the stock" in advice[0].reason


@pytest.mark.source("NDSUGrafting", "if thinner, match the cambium on one side")
def test_a_somewhat_thinner_scion_is_matched_on_one_side():
    advice = advise_methods(8.0, 9.5)[0]
    assert advice.method is GraftMethod.WHIP_AND_TONGUE
    assert "only one side" in advice.reason


def test_a_scion_much_thinner_than_its_stock_goes_where_two_sides_match():
    assert fitting(5.0, 12.0) == [
        GraftMethod.SIDE_VENEER,
        GraftMethod.CLEFT,
        GraftMethod.CHIP_BUD,
    ]


def test_a_twig_too_thin_for_a_tongue_gets_a_simple_whip():
    assert GraftMethod.SIMPLE_WHIP in fitting(3.5, 4.5)
    assert GraftMethod.WHIP_AND_TONGUE not in fitting(3.5, 4.5)


def test_in_late_summer_only_buds_are_set():
    assert fitting(7.0, 9.0, WorkSeason.LATE_SUMMER) == [GraftMethod.CHIP_BUD]


def test_the_rind_graft_waits_for_slipping_bark_on_a_thick_stock():
    assert GraftMethod.RIND in fitting(8.0, 40.0, WorkSeason.BARK_SLIPS)
    assert GraftMethod.RIND not in fitting(8.0, 40.0)
    assert GraftMethod.RIND not in fitting(8.0, 15.0, WorkSeason.BARK_SLIPS)


def test_every_join_is_judged_once_with_a_reason():
    for stock_mm in (4.0, 8.0, 16.0, 32.0):
        advice = advise_methods(4.0, stock_mm)
        assert len({one.method for one in advice}) == len(GraftMethod) == len(advice)
        assert all(one.reason for one in advice)


def test_the_advice_is_to_align_the_cambium_and_not_the_bark():
    assert "cambium" in ALIGN_CAMBIUM
    assert "not the outside of the bark" in ALIGN_CAMBIUM


def test_a_diameter_of_nothing_is_refused():
    with pytest.raises(OutOfRange, match="measure again"):
        advise_methods(0.0, 8.0)
