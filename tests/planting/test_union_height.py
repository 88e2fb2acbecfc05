"""How high the union stands above the soil, by each source's own words."""

import pytest

from graftwright.planting import Catalogue, union_height_advice
from graftwright.sources import SOURCES


@pytest.mark.source("ClementsUnion", "2-3 inches")
@pytest.mark.source("Crassweller", "3-6 inches")
@pytest.mark.parametrize("stock", ["M27", "M9", "M26"])
def test_both_published_ranges_stand_side_by_side_with_their_sources(
    stock: str, catalogue: Catalogue
) -> None:
    advice = union_height_advice(stock, catalogue=catalogue)
    inches = {r.source_key: (r.low_mm / 25.4, r.high_mm / 25.4) for r in advice.ranges}
    assert inches["ClementsUnion"] == pytest.approx((2.0, 3.0), abs=0.02)
    assert inches["Crassweller"] == pytest.approx((3.0, 6.0), abs=0.02)
    spoken = " ".join(advice.sentences)
    assert "Clements" in spoken
    assert "Crassweller" in spoken
    assert all(key in SOURCES for key in inches)


@pytest.mark.source("Crassweller", "trees not on size-controlling stocks")
@pytest.mark.parametrize("stock", ["M25", "Seedling"])
def test_a_full_sized_stock_is_planted_at_nursery_depth(stock: str, catalogue: Catalogue) -> None:
    advice = union_height_advice(stock, catalogue=catalogue)
    assert advice.is_at_nursery_depth
    assert advice.ranges == ()


@pytest.mark.source("ClementsUnion", "interstem at least partly buried")
def test_a_piece_between_is_partly_buried(catalogue: Catalogue) -> None:
    advice = union_height_advice("MM111", catalogue=catalogue, has_interstem=True)
    assert "partly buried" in advice.sentences[0]


def test_every_advice_asks_for_a_look_after_a_year(catalogue: Catalogue) -> None:
    for stock in ("M9", "M25", "Quince C", None):
        advice = union_height_advice(stock, catalogue=catalogue)
        assert "after a year" in advice.sentences[-1]


def test_an_unknown_stock_is_said_to_be_unknown(catalogue: Catalogue) -> None:
    advice = union_height_advice(None, catalogue=catalogue)
    assert any("not known" in sentence for sentence in advice.sentences)


def test_for_other_crops_the_sources_limits_are_said(catalogue: Catalogue) -> None:
    advice = union_height_advice("St Julien A", catalogue=catalogue)
    assert any("apple" in sentence for sentence in advice.sentences)


@pytest.mark.parametrize(
    ("stem_mm", "is_soft", "is_noted"),
    [(60.0, True, True), (60.0, False, False), (250.0, True, False)],
)
def test_a_low_worked_tree_for_soft_ground_draws_a_note(
    stem_mm: float, is_soft: bool, is_noted: bool, catalogue: Catalogue
) -> None:
    advice = union_height_advice(
        "M26", catalogue=catalogue, stem_below_union_mm=stem_mm, is_ground_soft=is_soft
    )
    assert any("Low-worked" in sentence for sentence in advice.sentences) == is_noted
