from math import hypot, pi

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from graftwright.errors import OutOfRange
from graftwright.wood.cut import (
    CutFace,
    Placement,
    axis_kink_deg,
    bark_flush_lateral_mm,
    best_contact,
    best_lateral_contact,
    cambium_flush_lateral_mm,
    contact_at,
    contact_share,
    cut_face,
    cut_length_from_face_mm,
    is_one_side_match,
)
from graftwright.wood.ellipse import ellipse_perimeter_mm
from tests.wood.vectors import case_name, face, number, rows


@pytest.mark.source("ContactVectors", "perimeter.csv")
@pytest.mark.parametrize("row", rows("perimeter.csv"))
def test_the_cambium_line_of_a_cut_has_the_length_of_a_fine_polygon(row):
    cut = CutFace(
        diameter_mm=number(row, "diameter_mm"),
        bark_mm=number(row, "bark_mm"),
        cut_length_mm=number(row, "cut_length_mm"),
    )
    assert cut.half_major_mm == pytest.approx(number(row, "half_major_mm"), abs=1e-6)
    assert cut.cambium_radius_mm == pytest.approx(number(row, "half_minor_mm"), abs=1e-6)
    assert cut.cambium_line_mm == pytest.approx(number(row, "cambium_line_mm"), abs=1e-6)


@pytest.mark.source("ContactVectors", "whip_at_position.csv")
@pytest.mark.parametrize("row", rows("whip_at_position.csv"), ids=case_name)
def test_contact_at_a_given_place_is_that_of_the_polygons(row):
    contact = contact_at(
        face(row, "scion"),
        face(row, "stock"),
        placement=Placement(
            lateral_mm=number(row, "lateral_mm"),
            lengthwise_mm=number(row, "lengthwise_mm"),
            turn_deg=number(row, "turn_deg"),
        ),
        tolerance_mm=number(row, "tolerance_mm"),
    )
    allowed_mm = number(row, "allowed_error_mm")
    assert contact.contact_mm == pytest.approx(number(row, "contact_mm"), abs=allowed_mm)
    allowed_share = allowed_mm / number(row, "scion_line_mm")
    assert contact.share_fraction == pytest.approx(number(row, "share"), abs=allowed_share)


@pytest.mark.source("ContactVectors", "whip_named.csv")
@pytest.mark.parametrize("row", rows("whip_named.csv"), ids=case_name)
def test_contact_at_the_named_places_is_that_of_the_polygons(row):
    scion, stock = face(row, "scion"), face(row, "stock")
    for column, lateral_mm in (
        ("centred_mm", 0.0),
        ("cambium_flush_mm", cambium_flush_lateral_mm(scion, stock)),
        ("bark_flush_mm", bark_flush_lateral_mm(scion, stock)),
    ):
        contact = contact_at(
            scion,
            stock,
            placement=Placement(lateral_mm=lateral_mm),
            tolerance_mm=number(row, "tolerance_mm"),
        )
        assert contact.contact_mm == pytest.approx(number(row, column), abs=0.1, rel=0.01)


@pytest.mark.source("ContactVectors", "whip_named.csv, best columns: lower bounds")
@pytest.mark.parametrize("row", rows("whip_named.csv"), ids=case_name)
def test_the_best_place_is_no_worse_than_the_best_known(row):
    scion, stock = face(row, "scion"), face(row, "stock")
    tolerance_mm = number(row, "tolerance_mm")
    level = best_lateral_contact(scion, stock, tolerance_mm=tolerance_mm)
    free = best_contact(scion, stock, tolerance_mm=tolerance_mm)
    assert level.contact_mm >= 0.995 * number(row, "best_lateral_mm")
    assert free.contact_mm >= 0.995 * number(row, "best_any_mm")
    assert level.contact_mm <= free.contact_mm <= scion.cambium_line_mm + 1e-6


def test_equal_stems_match_all_round_and_a_thin_scion_in_the_middle_hardly_at_all():
    stock = cut_face(9.0, cut_length_mm=36.0)
    assert contact_share(cut_face(9.0, cut_length_mm=36.0), stock) == pytest.approx(1.0)
    thin = cut_face(6.3, cut_length_mm=25.2)
    assert contact_share(thin, cut_face(9.0, cut_length_mm=25.2)) < 0.1


def test_aligning_the_bark_instead_of_the_cambium_costs_most_of_the_contact():
    scion, stock = cut_face(6.3, cut_length_mm=25.2), cut_face(9.0, cut_length_mm=25.2)
    cambium = Placement(lateral_mm=cambium_flush_lateral_mm(scion, stock))
    bark = Placement(lateral_mm=bark_flush_lateral_mm(scion, stock))
    by_cambium = contact_share(scion, stock, placement=cambium, tolerance_mm=0.2)
    assert contact_share(scion, stock, placement=bark, tolerance_mm=0.2) < by_cambium / 5


def test_a_round_cut_has_the_line_of_a_circle():
    assert ellipse_perimeter_mm(5.0, 5.0) == pytest.approx(10 * pi)


def test_a_face_measured_along_the_slope_is_turned_into_a_cut_along_the_stem():
    cut = cut_face(8.0, cut_length_mm=30.0)
    assert cut.face_length_mm == pytest.approx(hypot(8.0, 30.0))
    assert cut_length_from_face_mm(cut.face_length_mm, diameter_mm=8.0) == pytest.approx(30.0)


def test_equal_cuts_on_unequal_stems_bend_the_axis_by_the_difference_of_slopes():
    scion, stock = cut_face(7.0, cut_length_mm=28.0), cut_face(10.0, cut_length_mm=28.0)
    assert axis_kink_deg(scion, stock) == pytest.approx(5.6, abs=0.05)


def test_about_a_millimetre_of_difference_still_matches_on_both_sides():
    scion = cut_face(8.0, cut_length_mm=28.0)
    assert not is_one_side_match(scion, cut_face(8.9, cut_length_mm=28.0))
    assert is_one_side_match(scion, cut_face(9.1, cut_length_mm=28.0))


@given(
    stock_mm=st.floats(5.0, 14.0),
    ratio=st.floats(0.5, 1.0),
    lateral_mm=st.floats(-1.5, 1.5),
    slide_mm=st.floats(-1.0, 1.0),
    turn_deg=st.floats(-3.0, 3.0),
)
@settings(max_examples=60, deadline=None)
def test_mirrored_places_touch_alike_and_a_wider_tolerance_never_touches_less(
    stock_mm, ratio, lateral_mm, slide_mm, turn_deg
):
    scion = cut_face(ratio * stock_mm, cut_length_mm=3.5 * ratio * stock_mm)
    stock = cut_face(stock_mm, cut_length_mm=scion.cut_length_mm)
    place = Placement(lateral_mm=lateral_mm, lengthwise_mm=slide_mm, turn_deg=turn_deg)
    mirror = Placement(lateral_mm=-lateral_mm, lengthwise_mm=slide_mm, turn_deg=-turn_deg)
    here = contact_at(scion, stock, placement=place, tolerance_mm=0.3).contact_mm
    there = contact_at(scion, stock, placement=mirror, tolerance_mm=0.3).contact_mm
    wider = contact_at(scion, stock, placement=place, tolerance_mm=0.4).contact_mm
    assert here == pytest.approx(there, abs=1e-6)
    assert 0.0 <= here <= wider + 1e-9 <= scion.cambium_line_mm + 1e-6


def test_bark_thicker_than_the_stem_is_refused():
    with pytest.raises(OutOfRange, match="leaves no wood"):
        CutFace(diameter_mm=8.0, bark_mm=4.0, cut_length_mm=30.0)
    with pytest.raises(OutOfRange, match="tolerance is 0"):
        contact_at(
            cut_face(8.0, cut_length_mm=28.0), cut_face(9.0, cut_length_mm=28.0), tolerance_mm=0.0
        )
    with pytest.raises(OutOfRange, match="measure along the slope"):
        cut_length_from_face_mm(5.0, diameter_mm=8.0)
