"""From a spot to its stocks: sizes from all sources, objections, distances, and plots."""

from datetime import date

import pytest

from graftwright.errors import OutOfRange
from graftwright.intake.catalogue import shipped_catalogue
from graftwright.notebook.entries import SpotDescribed
from graftwright.planting import Crop, Ground, TreeForm, VarietyVigour, size_range
from graftwright.season.planting_plan import Plot, TreeWanted, planting_plan
from graftwright.season.spot import distances_of, stocks_for, vigour_taken

DAY = date(2009, 2, 17)
CATALOGUE = shipped_catalogue()


def spot(**answers: object) -> SpotDescribed:
    return SpotDescribed(  # type: ignore[arg-type]
        **{"happened_on": DAY, "spot_name": "by the gate", "space_m": 3.5, **answers}
    )


@pytest.mark.source("RHSRootstocks", "M9: permanent stake, weed-free ground")
def test_a_dwarfing_stock_in_rough_grass_without_a_stake_draws_objections() -> None:
    (m9,) = stocks_for(
        spot(ground=Ground.ROUGH_GRASS, is_stake_allowed=False), catalogue=CATALOGUE, only=["M.9"]
    )
    words = " ".join(one.sentence for one in m9.objections)
    assert "stake for life" in words
    assert "free of weeds" in words
    assert not m9.is_suitable


def test_no_stock_that_is_ruled_out_comes_before_one_that_suits() -> None:
    choices = stocks_for(spot(), catalogue=CATALOGUE)
    suits = [choice.is_suitable for choice in choices]
    assert suits == sorted(suits, reverse=True)
    assert any(suits)


def test_an_unknown_stock_has_the_widest_range_and_says_so() -> None:
    known, unknown = stocks_for(spot(), catalogue=CATALOGUE, only=["grandfather's root", "M26"])
    assert known.rootstock == "M26"
    assert not unknown.size.is_stock_known
    assert "the stock is not known" in unknown.size.sentence
    assert not unknown.is_suitable
    every = [
        size_range(stock.key, catalogue=CATALOGUE)
        for stock in CATALOGUE.rootstocks
        if stock.crop is Crop.APPLE and stock.reports
    ]
    printed = [size for size in every if size.by_source]
    assert unknown.size.height_low_m <= min(size.height_low_m for size in printed)
    assert unknown.size.height_high_m >= max(size.height_high_m for size in printed)


@pytest.mark.source("GardenAppleId", "Bramley's Seedling: very vigorous")
def test_a_listed_vigour_moves_the_size_unless_the_person_knows_better() -> None:
    bramley = "apple:bramleys seedling"
    listed, said, plain = (
        stocks_for(described, catalogue=CATALOGUE, variety=variety, only=["M26"])[0].size
        for described, variety in (
            (spot(), bramley),
            (spot(variety_vigour=VarietyVigour.WEAK), bramley),
            (spot(), None),
        )
    )
    assert listed.height_low_m > said.height_low_m == plain.height_low_m
    assert said.height_high_m < listed.height_high_m == plain.height_high_m


def test_the_vigour_taken_names_who_says_so() -> None:
    for variety, described, words in (
        ("apple:bramleys seedling", spot(), "Garden Apple ID"),
        ("apple:bramleys seedling", spot(variety_vigour=VarietyVigour.WEAK), "as you say"),
        ("apple:egremont russet", spot(), "the sources disagree"),
        ("apple:discovery", spot(), "no list gives it"),
        (None, spot(), "no list gives it"),
    ):
        assert words in vigour_taken(described, catalogue=CATALOGUE, variety=variety).words


@pytest.mark.source("RHSRootstocks", "M9 1.8 to 2.4 m; RHSGrowYourOwn 2.4 to 3.6 m")
def test_sources_that_disagree_are_both_shown_and_the_range_holds_them() -> None:
    (m9,) = stocks_for(spot(), catalogue=CATALOGUE, only=["M9"])
    printed = {(one.low_m, one.high_m) for one in m9.size.by_source}
    assert {(1.8, 2.4), (2.4, 3.6)} <= printed
    assert m9.size.sources_disagree
    assert m9.size.height_low_m <= 1.8
    assert m9.size.height_high_m >= 3.6


@pytest.mark.source("ClementsUnion", "2 to 3 inches")
@pytest.mark.source("Crassweller", "3 to 6 inches")
def test_union_height_names_both_sources_with_their_ranges() -> None:
    (m26,) = stocks_for(spot(), catalogue=CATALOGUE, only=["M26"])
    inch_mm = 25.4
    spans = [(one.low_mm / inch_mm, one.high_mm / inch_mm) for one in m26.union.ranges]
    assert [(round(low), round(high)) for low, high in spans] == [(2, 3), (3, 6)]
    for one in m26.union.ranges:
        assert any(one.source in sentence for sentence in m26.union.sentences)


@pytest.mark.source("RHSRootstocks", "M26 bush 2.4 to 3.6 m, rows 4.5 m")
@pytest.mark.source("RHSCordons", "oblique cordons 0.6 to 0.9 m")
def test_distances_come_from_the_form_and_the_stock() -> None:
    size = size_range("M26", catalogue=CATALOGUE)
    bush = distances_of("M26", form=TreeForm.BUSH, size=size, catalogue=CATALOGUE)
    assert (bush.in_row_low_m, bush.in_row_high_m, bush.between_rows_m) == (2.4, 3.6, 4.5)
    cordon = distances_of("M26", form=TreeForm.CORDON, size=size, catalogue=CATALOGUE)
    assert cordon.in_row_low_m == 0.6
    assert cordon.in_row_high_m >= 0.9
    unknown = distances_of("no such root", form=TreeForm.BUSH, size=size, catalogue=CATALOGUE)
    assert unknown.sources == ()
    assert "nobody prints one" in unknown.sentence


WANTED = (
    TreeWanted(variety="Bramley's Seedling", stock="M25", tree_count=2),
    TreeWanted(variety="Discovery", stock="M26", tree_count=5),
    TreeWanted(variety="James Grieve", stock="M27", tree_count=6),
)


@pytest.mark.parametrize(("latitude_deg", "sunny"), [(54.2, min), (-41.0, max)])
def test_the_small_trees_stand_on_the_sunny_side(latitude_deg: float, sunny: object) -> None:
    plot = Plot(width_m=24.0, depth_m=30.0, latitude_deg=latitude_deg)
    plan = planting_plan(WANTED, plot=plot, catalogue=CATALOGUE)
    assert len(plan.places) == 13
    assert plan.left_out == ()
    sunniest_m = sunny(place.north_m for place in plan.places)  # type: ignore[operator]
    assert {p.stock for p in plan.places if p.north_m == sunniest_m} >= {"M27"}
    shadiest_m = (max if sunny is min else min)(place.north_m for place in plan.places)
    assert {p.stock for p in plan.places if p.north_m == shadiest_m} == {"M25"}


def test_every_tree_stands_inside_and_no_two_nearer_than_their_distances_allow() -> None:
    plan = planting_plan(WANTED, plot=Plot(width_m=24.0, depth_m=30.0), catalogue=CATALOGUE)
    for place in plan.places:
        assert 0.0 < place.east_m < 24.0
        assert 0.0 < place.north_m < 30.0
    least_m = {"M27": 1.2, "M26": 2.4, "M25": 6.0}
    for one in plan.places:
        for other in plan.places:
            if one.number < other.number:
                apart_m = (
                    (one.east_m - other.east_m) ** 2 + (one.north_m - other.north_m) ** 2
                ) ** 0.5
                assert apart_m >= (least_m[one.stock] + least_m[other.stock]) / 2.0


def test_trees_that_do_not_fit_are_named_and_not_squeezed_in() -> None:
    plan = planting_plan(WANTED, plot=Plot(width_m=10.0, depth_m=5.0), catalogue=CATALOGUE)
    assert len(plan.places) < 13
    assert any("M25" in words and "no room" in words for words in plan.left_out)
    named = sum(int(words.split(" ")[0]) for words in plan.left_out)
    assert named + len(plan.places) == 13


def test_a_plot_or_count_beyond_reason_is_refused_in_words() -> None:
    with pytest.raises(OutOfRange, match="expected 1 to 400 m"):
        Plot(width_m=0.0, depth_m=5.0)
    with pytest.raises(OutOfRange, match="split the plot"):
        planting_plan(
            [TreeWanted(variety="Discovery", stock="M26", tree_count=300)] * 2,
            plot=Plot(width_m=100.0, depth_m=100.0),
            catalogue=CATALOGUE,
        )
