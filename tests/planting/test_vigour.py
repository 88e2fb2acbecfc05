"""How big a tree grows: ranges, their sources, and the order of stocks at unseen sites."""

from itertools import pairwise
from math import sqrt

import pytest
from scipy.stats import spearmanr

from graftwright.errors import GapInSeries, NotUnderstood, OutOfRange
from graftwright.planting import (
    Catalogue,
    Crop,
    GrowingConditions,
    SizeRange,
    Soil,
    TreeForm,
    VarietyVigour,
    VigourFit,
    fit_vigour,
    rootstock_named,
    size_range,
    variety_named,
)


@pytest.fixture(scope="module")
def fit(catalogue: Catalogue) -> VigourFit:
    return fit_vigour(catalogue.trials, rootstocks=catalogue.rootstocks)


def _middle_m(size: SizeRange) -> float:
    return sqrt(size.height_low_m * size.height_high_m)


def _foretold_rank(catalogue: Catalogue, *, trial: str, site: str, without: str = "") -> float:
    """Spearman's rank correlation at a site the fit has not seen; one stock may be left out."""
    others = [row for row in catalogue.trials if not (row.trial == trial and row.site == site)]
    seen = [
        row
        for row in catalogue.trials
        if row.trial == trial and row.site == site and row.trunk_section_cm2
        if row.rootstock != without
    ]
    fitted = fit_vigour(others, rootstocks=catalogue.rootstocks)
    foretold = [
        fitted.of_stock(row.rootstock, rootstocks=catalogue.rootstocks, scion=row.scion).log_vigour
        for row in seen
    ]
    sections_cm2 = [row.trunk_section_cm2 or 0.0 for row in seen]
    return float(spearmanr(foretold, sections_cm2).statistic)


@pytest.mark.source("Autio2017", "Fuji, table 7, trunk sections by site")
@pytest.mark.parametrize("site", ["CH", "ID", "NC", "UT"])
def test_the_order_of_stocks_is_foretold_at_a_fuji_site_left_out(
    site: str, catalogue: Catalogue
) -> None:
    assert _foretold_rank(catalogue, trial="NC-140 2010 Fuji", site=site) >= 0.7


@pytest.mark.source("NC140Organic2023", "table 6, trunk sections by site")
@pytest.mark.parametrize("site", ["CA", "ID", "MA", "NM", "NS", "NYG", "NYI"])
def test_the_order_of_stocks_is_foretold_at_an_organic_site_left_out(
    site: str, catalogue: Catalogue
) -> None:
    assert _foretold_rank(catalogue, trial="NC-140 2015 Modi organic", site=site) >= 0.7


@pytest.mark.source("Autio2017", "Honeycrisp, tables 5 and 12, means of ten sites")
def test_the_order_is_foretold_under_a_variety_left_out_but_for_one_stock(
    catalogue: Catalogue,
) -> None:
    trial, site = "NC-140 2010 Honeycrisp", "mean of 10 sites"
    assert _foretold_rank(catalogue, trial=trial, site=site, without="B.7-20-21") >= 0.7


@pytest.mark.source(
    "Autio2017", "B.7-20-21: smallest of 31 under Fuji, third of 22 under Honeycrisp"
)
def test_a_stock_two_trials_contradict_each_other_on_differs_by_variety(
    catalogue: Catalogue, fit: VigourFit
) -> None:
    fuji, honeycrisp = (
        fit.of_stock("B.7-20-21", rootstocks=catalogue.rootstocks, scion=scion)
        for scion in ("Aztec Fuji", "Honeycrisp")
    )
    assert fuji.log_vigour < honeycrisp.log_vigour
    assert (fuji.site_count, honeycrisp.site_count) == (4, 1)


@pytest.mark.source("Autio2017", "Fuji, table 7: G.202N above G.202TC at each of four sites")
def test_clones_of_one_stock_keep_their_order(catalogue: Catalogue, fit: VigourFit) -> None:
    normal, cultured = (
        fit.of_stock(name, rootstocks=catalogue.rootstocks) for name in ("G.202N", "G.202TC")
    )
    assert normal.stock_key == cultured.stock_key
    assert normal.log_vigour > cultured.log_vigour


def test_a_variety_never_tried_on_a_stock_leaves_the_stock_less_sure(
    catalogue: Catalogue, fit: VigourFit
) -> None:
    tried, untried = (
        fit.of_stock("G.935", rootstocks=catalogue.rootstocks, scion=scion)
        for scion in ("Modi", "Keswick Codlin")
    )
    assert tried.log_deviation < untried.log_deviation


@pytest.mark.source("RHSRootstocks", "heights of bush trees on M27, M9 and M26")
@pytest.mark.parametrize(
    ("stock", "low_m", "high_m"), [("M27", 1.2, 1.8), ("M9", 1.8, 2.4), ("M26", 2.4, 3.0)]
)
def test_every_sources_range_is_kept_and_lies_within_the_whole(
    stock: str, low_m: float, high_m: float, catalogue: Catalogue
) -> None:
    size = size_range(stock, catalogue=catalogue)
    printed = [r for r in size.by_source if r.source.startswith("RHS, Rootstocks for fruit")]
    assert [(r.low_m, r.high_m) for r in printed] == [(low_m, high_m)]
    assert size.height_low_m <= low_m
    assert size.height_high_m >= high_m


@pytest.mark.source("RHSRootstocks", "M27, M9, M26 from small to large")
def test_the_stocks_of_the_trade_stand_in_their_known_order(catalogue: Catalogue) -> None:
    middles = [
        _middle_m(size_range(name, catalogue=catalogue))
        for name in ("M27", "M9", "M26", "MM106", "M25")
    ]
    assert all(smaller < larger for smaller, larger in pairwise(middles))


def test_sources_with_no_height_in_common_are_said_to_disagree(catalogue: Catalogue) -> None:
    colt = size_range("Colt", catalogue=catalogue, crop=Crop.CHERRY)
    assert colt.sources_disagree
    assert any("do not agree" in reason for reason in colt.reasons)
    assert not size_range("M27", catalogue=catalogue).sources_disagree


def test_poor_and_rich_soil_give_different_ranges_that_overlap(catalogue: Catalogue) -> None:
    poor, rich = (
        size_range("M26", catalogue=catalogue, conditions=GrowingConditions(soil=soil))
        for soil in (Soil.POOR, Soil.RICH)
    )
    assert poor.height_low_m < rich.height_low_m
    assert poor.height_high_m < rich.height_high_m
    assert rich.height_low_m < poor.height_high_m


def test_knowing_more_never_widens_the_range(catalogue: Catalogue) -> None:
    nothing = size_range("M26", catalogue=catalogue)
    soil = size_range("M26", catalogue=catalogue, conditions=GrowingConditions(soil=Soil.AVERAGE))
    both = size_range(
        "M26",
        catalogue=catalogue,
        conditions=GrowingConditions(soil=Soil.AVERAGE, variety_vigour=VarietyVigour.MIDDLING),
    )
    widths = [size.height_high_m - size.height_low_m for size in (nothing, soil, both)]
    assert widths[0] > widths[1] > widths[2]


@pytest.mark.parametrize("unknown", [None, "no label"])
def test_an_unknown_stock_gives_the_widest_range_and_says_so(
    unknown: str | None, catalogue: Catalogue, fit: VigourFit
) -> None:
    widest = size_range(unknown, catalogue=catalogue)
    assert not widest.is_stock_known
    assert "not known" in widest.sentence
    for name in ("M27", "M9", "M26", "M116", "M25", "MM106", "MM111"):
        size = size_range(name, catalogue=catalogue, fit=fit)
        assert widest.height_low_m <= size.height_low_m, name
        assert widest.height_high_m >= size.height_high_m, name


@pytest.mark.source("GoodFruitUnion", "M.26 at 30 cm grew less than M.9 at 15 cm")
def test_a_high_union_makes_m26_smaller_than_m9_with_a_lower_one(catalogue: Catalogue) -> None:
    high_m26 = size_range(
        "M26", catalogue=catalogue, conditions=GrowingConditions(union_height_mm=300.0)
    )
    lower_m9 = size_range(
        "M9", catalogue=catalogue, conditions=GrowingConditions(union_height_mm=150.0)
    )
    assert _middle_m(high_m26) < _middle_m(lower_m9)


@pytest.mark.source("GoodFruitUnion", "M.9, M.26 and MM.111 were tried")
def test_size_reacts_to_union_height_only_where_there_is_evidence(catalogue: Catalogue) -> None:
    for name, reacts in (("M9", True), ("M26", True), ("MM111", True), ("M27", False)):
        sizes = {
            size_range(
                name, catalogue=catalogue, conditions=GrowingConditions(union_height_mm=mm)
            ).height_low_m
            for mm in (100.0, 250.0)
        }
        assert (len(sizes) == 2) == reacts, name


@pytest.mark.source("ClementsUnion", "a buried union: the tree becomes standard-sized")
def test_a_buried_union_may_make_a_full_sized_tree(catalogue: Catalogue) -> None:
    buried = size_range(
        "M9", catalogue=catalogue, conditions=GrowingConditions(union_height_mm=-20.0)
    )
    seedling = size_range("Seedling", catalogue=catalogue)
    assert buried.height_high_m >= max(r.high_m or 0.0 for r in seedling.by_source)
    assert any("buried" in reason for reason in buried.reasons)


@pytest.mark.source("RHSCordons", "height of cordons, 1.5 to 2.0 m")
@pytest.mark.source("GardenAnswers2018", "height of a stepover, 45 cm")
def test_a_trained_tree_has_the_height_of_its_form(catalogue: Catalogue) -> None:
    cordon = size_range(
        "M9", catalogue=catalogue, conditions=GrowingConditions(form=TreeForm.CORDON)
    )
    assert (cordon.height_low_m, cordon.height_high_m) == (1.5, 2.0)
    stepover = size_range(
        "M26", catalogue=catalogue, conditions=GrowingConditions(form=TreeForm.STEPOVER)
    )
    assert stepover.height_high_m == 0.45


@pytest.mark.source("GreenThumbZone", "three or four wires, 35 to 45 cm apart")
def test_an_espalier_is_as_high_as_its_wires(catalogue: Catalogue) -> None:
    espalier = size_range(
        "Quince A",
        catalogue=catalogue,
        crop=Crop.PEAR,
        conditions=GrowingConditions(form=TreeForm.ESPALIER),
    )
    assert (espalier.height_low_m, espalier.height_high_m) == pytest.approx((1.05, 1.8))


def test_a_pot_makes_a_smaller_tree(catalogue: Catalogue) -> None:
    pot = size_range("M26", catalogue=catalogue, conditions=GrowingConditions(pot_litres=40.0))
    ground = size_range("M26", catalogue=catalogue)
    assert pot.height_high_m < ground.height_high_m
    assert any("pot" in reason for reason in pot.reasons)


def test_a_stock_without_a_printed_height_says_how_its_range_was_found(
    catalogue: Catalogue, fit: VigourFit
) -> None:
    size = size_range("G.11", catalogue=catalogue, fit=fit)
    assert size.by_source == ()
    assert "No source prints a height" in size.reasons[0]
    assert size.height_high_m / size.height_low_m > 2.0


def test_a_stock_never_tried_is_less_sure_than_one_tried_often(
    catalogue: Catalogue, fit: VigourFit
) -> None:
    tried = fit.of_stock("M9", rootstocks=catalogue.rootstocks)
    untried = fit.of_stock("CG.9999", rootstocks=catalogue.rootstocks)
    stranger = fit.of_stock("Zzz", rootstocks=catalogue.rootstocks)
    assert tried.log_deviation < untried.log_deviation < stranger.log_deviation


def test_a_clone_counts_to_its_stock(catalogue: Catalogue, fit: VigourFit) -> None:
    found = {
        fit.of_stock(name, rootstocks=catalogue.rootstocks).stock_key
        for name in ("M.9 NAKBT337", "M.9 Pajam 2", "M9")
    }
    assert found == {rootstock_named("M9", catalogue=catalogue).key}


@pytest.mark.source("GardenAppleId", "Bramley's Seedling: very vigorous")
def test_a_strong_variety_reaches_higher_than_a_weak_one_on_one_stock(catalogue: Catalogue) -> None:
    bramley = variety_named("Bramley's Seedling", catalogue=catalogue, crop=Crop.APPLE)
    assert bramley.vigour is VarietyVigour.STRONG
    strong, weak, unknown = (
        size_range("M26", catalogue=catalogue, conditions=GrowingConditions(variety_vigour=vigour))
        for vigour in (bramley.vigour, VarietyVigour.WEAK, VarietyVigour.NOT_KNOWN)
    )
    assert strong.height_low_m > weak.height_low_m
    assert strong.height_high_m > weak.height_high_m
    assert unknown.height_low_m == weak.height_low_m
    assert unknown.height_high_m == strong.height_high_m
    assert any("A strong variety" in reason for reason in strong.reasons)


def test_sources_that_differ_leave_the_vigour_not_known(catalogue: Catalogue) -> None:
    russet = variety_named("Egremont Russet", catalogue=catalogue, crop=Crop.APPLE)
    assert len({report.vigour for report in russet.vigour_reports}) == 2
    assert russet.vigour is VarietyVigour.NOT_KNOWN


def test_no_trunk_sections_is_no_fit(catalogue: Catalogue) -> None:
    with pytest.raises(GapInSeries, match="trunk section"):
        fit_vigour((), rootstocks=catalogue.rootstocks)


def test_a_crop_without_any_height_is_refused(catalogue: Catalogue) -> None:
    with pytest.raises(NotUnderstood, match="no height is known"):
        size_range(None, catalogue=catalogue, crop=Crop.LOQUAT)


def test_impossible_conditions_are_refused() -> None:
    with pytest.raises(OutOfRange, match="measure from the soil"):
        GrowingConditions(union_height_mm=5000.0)
    with pytest.raises(OutOfRange, match="open ground"):
        GrowingConditions(pot_litres=0.0)
