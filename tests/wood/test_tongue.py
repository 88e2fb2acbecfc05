import pytest

from graftwright.errors import OutOfRange
from graftwright.wood.cut import CutFace, cut_face
from graftwright.wood.tongue import longest_tongue_mm, tongue_contact
from tests.wood.vectors import case_name, face, number, rows


@pytest.mark.source("JoinConventions", "tongue.csv")
@pytest.mark.parametrize("row", rows("tongue.csv"), ids=case_name)
def test_an_engaged_tongue_adds_the_published_contact(row):
    contact = tongue_contact(
        face(row, "scion", cut_length_mm=40.0),
        face(row, "stock", cut_length_mm=40.0),
        engaged_mm=number(row, "engaged_mm"),
        lateral_mm=number(row, "lateral_mm"),
        tolerance_mm=number(row, "tolerance_mm"),
    )
    assert contact.scion_half_width_mm == pytest.approx(
        number(row, "scion_half_width_mm"), abs=1e-6
    )
    assert contact.stock_half_width_mm == pytest.approx(
        number(row, "stock_half_width_mm"), abs=1e-6
    )
    assert contact.added_contact_mm == pytest.approx(number(row, "added_contact_mm"), abs=1e-6)
    assert contact.added_line_mm == pytest.approx(number(row, "added_line_mm"), abs=1e-6)


def test_a_tongue_may_take_a_third_of_the_cut():
    assert longest_tongue_mm(cut_face(8.0, cut_length_mm=30.0)) == pytest.approx(10.0)


def test_a_stem_that_is_mostly_bark_has_no_tongue():
    barky = CutFace(diameter_mm=6.0, bark_mm=2.1, cut_length_mm=20.0)
    with pytest.raises(OutOfRange, match="use a simple whip"):
        tongue_contact(barky, barky, engaged_mm=5.0)


def test_a_tongue_of_negative_length_is_refused():
    cut = cut_face(8.0, cut_length_mm=30.0)
    with pytest.raises(OutOfRange, match="expected 0 or more"):
        tongue_contact(cut, cut, engaged_mm=-1.0)
