import pytest

from graftwright.errors import OutOfRange
from graftwright.wood.cut import cut_face
from graftwright.wood.side_joins import (
    chip_contact,
    cleft_contact,
    rind_contact,
    veneer_contact,
)
from tests.wood.vectors import case_name, face, number, number_or_none, rows


@pytest.mark.source("ContactVectors", "cleft_one_side.csv")
@pytest.mark.parametrize("row", rows("cleft_one_side.csv"), ids=case_name)
def test_a_wedge_in_a_cleft_touches_as_published(row):
    wedge = {
        "scion_diameter_mm": number(row, "scion_diameter_mm"),
        "scion_bark_mm": number(row, "scion_bark_mm"),
        "wedge_mm": number(row, "wedge_mm"),
        "tolerance_mm": number(row, "tolerance_mm"),
    }
    flush, inside = cleft_contact(**wedge), cleft_contact(**wedge, is_set_inside=True)
    assert flush.contact_mm == pytest.approx(number(row, "flush_contact_mm"), abs=0.005)
    assert inside.contact_mm == pytest.approx(number(row, "best_contact_mm"), abs=0.005)
    assert flush.line_mm == pytest.approx(number(row, "outer_edge_line_mm"), abs=0.005)


@pytest.mark.source("ContactVectors", "veneer.csv")
@pytest.mark.parametrize("row", rows("veneer.csv"), ids=case_name)
def test_a_side_veneer_touches_as_published(row):
    veneer = veneer_contact(
        face(row, "scion"),
        stock_diameter_mm=number(row, "stock_diameter_mm"),
        stock_bark_mm=number(row, "stock_bark_mm"),
        tolerance_mm=number(row, "tolerance_mm"),
    )
    for found, column in (
        (veneer.stock_half_width_mm, "stock_half_width_mm"),
        (veneer.stock_cut_depth_mm, "stock_cut_depth_mm"),
        (veneer.contact.contact_mm, "contact_mm"),
        (veneer.contact.line_mm, "scion_line_mm"),
        (veneer.contact.share_fraction, "share"),
    ):
        assert found == pytest.approx(number(row, column), abs=0.005)


@pytest.mark.source("JoinConventions", "chip.csv")
@pytest.mark.parametrize("row", rows("chip.csv"), ids=case_name)
def test_a_chip_bud_touches_as_published(row):
    chip = chip_contact(
        scion_diameter_mm=number(row, "scion_diameter_mm"),
        scion_bark_mm=number(row, "scion_bark_mm"),
        chip_depth_mm=number(row, "chip_depth_mm"),
        chip_length_mm=number(row, "chip_length_mm"),
        stock_diameter_mm=number(row, "stock_diameter_mm"),
        stock_bark_mm=number(row, "stock_bark_mm"),
        tolerance_mm=number(row, "tolerance_mm"),
    )
    for found, column in (
        (chip.chip_half_width_mm, "chip_half_width_mm"),
        (chip.stock_depth_for_two_sides_mm, "stock_depth_for_two_sides_mm"),
        (chip.two_sides_contact_mm, "contact_two_sides_mm"),
        (chip.stock_half_width_same_depth_mm, "stock_half_width_same_depth_mm"),
        (chip.same_depth_contact_mm, "contact_same_depth_mm"),
    ):
        expected = number_or_none(row, column)
        assert (found is None) == (expected is None)
        if expected is not None:
            assert found == pytest.approx(expected, abs=1e-6)


def test_a_scion_under_the_rind_touches_all_round_its_face():
    scion = cut_face(8.0, cut_length_mm=30.0)
    assert rind_contact(scion).share_fraction == 1.0
    assert rind_contact(scion).contact_mm == scion.cambium_line_mm


def test_a_strip_wider_than_the_stock_is_refused():
    with pytest.raises(OutOfRange, match="take a thicker stock"):
        veneer_contact(cut_face(9.0, cut_length_mm=30.0), stock_diameter_mm=6.0, stock_bark_mm=0.5)


def test_a_chip_thinner_than_the_bark_is_refused():
    with pytest.raises(OutOfRange, match="cut deeper"):
        chip_contact(
            scion_diameter_mm=8.0,
            scion_bark_mm=0.7,
            chip_depth_mm=0.5,
            chip_length_mm=30.0,
            stock_diameter_mm=10.0,
            stock_bark_mm=0.8,
        )
