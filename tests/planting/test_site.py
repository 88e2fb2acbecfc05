"""Which stocks suit a spot, and what is said against the others."""

import pytest

from graftwright.errors import OutOfRange
from graftwright.planting import (
    Catalogue,
    Crop,
    Exposure,
    Ground,
    ObjectionKind,
    Soil,
    Spot,
    StockAdvice,
    TreeForm,
    Wetness,
    suitable_stocks,
)

_APPLE_STOCKS = ("M27", "M9", "M26", "M116", "M25")


def _by_name(advice: tuple[StockAdvice, ...]) -> dict[str, StockAdvice]:
    return {one.rootstock: one for one in advice}


def _kinds(advice: StockAdvice) -> set[ObjectionKind]:
    return {objection.kind for objection in advice.objections}


@pytest.mark.source("RHSRootstocks", "M27 and M9: weed-free good soil, permanent stake")
@pytest.mark.parametrize("stock", ["M27", "M9"])
def test_a_dwarfing_stock_in_rough_grass_without_a_stake_is_objected_to(
    stock: str, catalogue: Catalogue
) -> None:
    spot = Spot(space_m=2.5, ground=Ground.ROUGH_GRASS, is_stake_allowed=False)
    found = _by_name(suitable_stocks(spot, catalogue=catalogue, among=_APPLE_STOCKS))[stock]
    assert not found.is_suitable
    assert {ObjectionKind.GROUND, ObjectionKind.STAKE} <= _kinds(found)
    for objection in found.objections:
        if objection.kind in {ObjectionKind.GROUND, ObjectionKind.STAKE}:
            assert any("RHS" in source for source in objection.sources)


@pytest.mark.source("RHSRootstocks", "M26: average soils, also grassed")
def test_m26_is_not_blamed_for_grass(catalogue: Catalogue) -> None:
    spot = Spot(space_m=4.0, ground=Ground.ROUGH_GRASS)
    found = _by_name(suitable_stocks(spot, catalogue=catalogue, among=_APPLE_STOCKS))["M26"]
    assert ObjectionKind.GROUND not in _kinds(found)


def test_a_balcony_pot_gets_a_dwarfing_stock_and_m25_is_barred(catalogue: Catalogue) -> None:
    spot = Spot(space_m=1.5, pot_litres=50.0, height_limit_m=2.2)
    advice = suitable_stocks(spot, catalogue=catalogue, among=_APPLE_STOCKS)
    assert advice[0].rootstock == "M27"
    assert advice[-1].rootstock == "M25"
    assert not advice[-1].is_suitable


def test_a_grazed_churchyard_gets_a_standard_on_m25(catalogue: Catalogue) -> None:
    spot = Spot(space_m=9.0, ground=Ground.GRAZED, form=TreeForm.STANDARD, is_stake_allowed=False)
    advice = suitable_stocks(spot, catalogue=catalogue, among=_APPLE_STOCKS)
    assert advice[0].rootstock == "M25"
    assert not _by_name(advice)["M27"].is_suitable


def test_a_bush_among_grazing_animals_is_barred_on_any_stock(catalogue: Catalogue) -> None:
    spot = Spot(space_m=9.0, ground=Ground.GRAZED, form=TreeForm.BUSH)
    advice = suitable_stocks(spot, catalogue=catalogue, among=_APPLE_STOCKS)
    assert not any(one.is_suitable for one in advice)


@pytest.mark.source("GardenAnswers2018", "stepovers on M27 and M26")
def test_a_stepover_is_grown_on_the_stocks_the_source_names(catalogue: Catalogue) -> None:
    spot = Spot(space_m=2.0, form=TreeForm.STEPOVER)
    advice = _by_name(suitable_stocks(spot, catalogue=catalogue, among=_APPLE_STOCKS))
    assert ObjectionKind.FORM not in _kinds(advice["M27"])
    assert ObjectionKind.FORM not in _kinds(advice["M26"])
    assert not advice["M25"].is_suitable


def test_wet_ground_is_held_against_mm106_and_not_against_m25(catalogue: Catalogue) -> None:
    spot = Spot(space_m=8.0, wetness=Wetness.WET)
    advice = _by_name(suitable_stocks(spot, catalogue=catalogue, among=["MM106", "M25"]))
    assert ObjectionKind.WATER in _kinds(advice["MM106"])
    assert ObjectionKind.WATER not in _kinds(advice["M25"])


def test_poor_soil_is_held_against_m27_and_lime_against_quince(catalogue: Catalogue) -> None:
    poor = suitable_stocks(Spot(space_m=2.0, soil=Soil.POOR), catalogue=catalogue, among=["M27"])
    assert ObjectionKind.SOIL in _kinds(poor[0])
    limy = suitable_stocks(
        Spot(space_m=4.0, soil_ph=7.8), catalogue=catalogue, crop=Crop.PEAR, among=["Quince A"]
    )
    assert ObjectionKind.SOIL in _kinds(limy[0])


def test_wind_asks_for_a_stout_stake(catalogue: Catalogue) -> None:
    spot = Spot(space_m=3.0, exposure=Exposure.EXPOSED)
    found = suitable_stocks(spot, catalogue=catalogue, among=["M9"])[0]
    assert ObjectionKind.WIND in _kinds(found)


def test_a_pear_that_refuses_quince_is_objected_to_with_a_way_out(catalogue: Catalogue) -> None:
    advice = suitable_stocks(
        Spot(space_m=3.0),
        catalogue=catalogue,
        crop=Crop.PEAR,
        variety="Williams",
        among=["Quince C"],
    )
    (objection,) = [o for o in advice[0].objections if o.kind is ObjectionKind.COMPATIBILITY]
    assert "Beurre Hardy" in objection.sentence


def test_every_stock_of_the_crop_is_answered_for(catalogue: Catalogue) -> None:
    advice = suitable_stocks(Spot(space_m=4.0), catalogue=catalogue, crop=Crop.PLUM)
    with_figures = {
        s.preferred_name for s in catalogue.rootstocks if s.crop is Crop.PLUM and s.reports
    }
    assert {one.rootstock for one in advice} == with_figures
    suitable = [one.is_suitable for one in advice]
    assert suitable == sorted(suitable, reverse=True)


def test_a_spot_without_room_is_refused() -> None:
    with pytest.raises(OutOfRange, match="width there is"):
        Spot(space_m=0.0)
    with pytest.raises(OutOfRange, match="height limit"):
        Spot(space_m=3.0, height_limit_m=0.0)
    with pytest.raises(OutOfRange, match="pH"):
        Spot(space_m=3.0, soil_ph=14.0)
