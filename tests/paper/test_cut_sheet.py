"""The cut sheet and the drawing of a stick are true to scale and leave nothing out."""

import re
from dataclasses import replace
from xml.etree import ElementTree

import pytest

from graftwright.paper import cut_sheet, stick_svg
from graftwright.season.planned import StickCut
from tests.paper import reading
from tests.paper.winter import empty_winter, winter

SVG = "{http://www.w3.org/2000/svg}"
PLAN = winter()
CONTENT = cut_sheet(PLAN)


def drawn(stick: StickCut) -> ElementTree.Element:
    return ElementTree.fromstring(stick_svg(stick))


def points(figure: ElementTree.Element) -> list[tuple[float, float]]:
    pairs = (pair.split(",") for pair in figure.attrib["points"].split())
    return [(float(x), float(y)) for x, y in pairs]


def of_class(picture: ElementTree.Element, name: str) -> list[ElementTree.Element]:
    return [part for part in picture.iter() if part.attrib.get("class") == name]


def test_every_piece_and_every_cut_of_every_stick_is_printed() -> None:
    said = reading.words_of(CONTENT).split()
    for stick in PLAN.sticks:
        for piece in stick.pieces:
            assert str(piece.join_number) in said
            assert piece.goes_to.split()[-1] in said
            assert f"{piece.base_cut_mm:.0f}" in said
            assert f"{piece.top_cut_mm:.0f}" in said


def test_every_bundle_is_printed_in_working_order() -> None:
    said = reading.words_of(CONTENT)
    places = [said.index(code) for code in dict.fromkeys(run.bundle_code for run in PLAN.runs)]
    assert places == sorted(places)
    assert len(places) == 10


def test_sticks_on_paper_have_their_length_at_the_printed_scale() -> None:
    scale = float(re.search(r"Drawn at 1 : ([\d.]+)", reading.words_of(CONTENT)).group(1))
    long_mm = [
        shape.right_mm - shape.left_mm
        for page_index in range(len(reading.page_texts(CONTENT)))
        for shape in reading.shapes(CONTENT, page_index=page_index)
    ]
    for stick in PLAN.sticks:
        wanted_mm = stick.length_mm / scale
        assert any(abs(found_mm - wanted_mm) <= 0.4 for found_mm in long_mm)


def test_the_longest_stick_stays_on_the_page() -> None:
    long_stick = replace(PLAN.sticks[0], length_mm=1_190.0)
    content = cut_sheet(replace(PLAN, sticks=(long_stick, *PLAN.sticks[1:])))
    for page_index in range(len(reading.page_texts(content))):
        for shape in reading.shapes(content, page_index=page_index):
            assert shape.left_mm >= -0.1
            assert shape.right_mm <= 297.1


def test_the_sheet_says_which_way_is_up_and_that_knives_cut() -> None:
    said = reading.words_of(CONTENT)
    assert "Base at the left, tip at the right" in said
    assert "cut hands" in said
    # every drawing names both ends, the key a third time
    assert said.split().count("tip") >= len(PLAN.sticks)
    assert said.split().count("base") >= len(PLAN.sticks)


def test_a_winter_without_sticks_says_so() -> None:
    assert "No stick is to be cut" in reading.words_of(cut_sheet(empty_winter()))


@pytest.mark.parametrize(
    "stick", PLAN.sticks[::5], ids=lambda s: f"{s.bundle_code}-{s.stick_number}"
)
def test_the_drawing_holds_one_figure_for_each_bud_piece_and_cut(stick: StickCut) -> None:
    picture = drawn(stick)
    buds = of_class(picture, "stick-bud-assumed" if stick.buds_assumed else "stick-bud")
    assert len(buds) == len(stick.buds_mm)
    assert len(of_class(picture, "stick-piece")) == len(stick.pieces)
    numbers = [part.text for part in of_class(picture, "stick-number")]
    assert numbers == [str(piece.join_number) for piece in stick.pieces]
    places = {piece.base_cut_mm for piece in stick.pieces}
    places |= {piece.top_cut_mm for piece in stick.pieces}
    assert len(of_class(picture, "stick-cut")) == len(places)


def test_the_drawing_is_as_long_and_as_thick_as_the_stick() -> None:
    stick = PLAN.sticks[0]
    outline = points(of_class(drawn(stick), "stick-wood")[0])
    across = [x for x, _ in outline]
    assert max(across) - min(across) == pytest.approx(stick.length_mm)
    at_base = [y for x, y in outline if x == 0.0]
    at_tip = [y for x, y in outline if x == stick.length_mm]
    assert max(at_base) - min(at_base) == pytest.approx(stick.base_mm, abs=0.11)
    assert max(at_tip) - min(at_tip) == pytest.approx(stick.tip_mm, abs=0.11)


def test_a_piece_ends_in_a_slant_and_the_first_begins_square() -> None:
    first = points(of_class(drawn(PLAN.sticks[0]), "stick-piece")[0])
    low_side, high_side = first[1][0], first[2][0]
    assert first[0][0] == first[3][0]
    assert high_side > low_side
    assert (high_side + low_side) / 2 == pytest.approx(
        PLAN.sticks[0].pieces[0].top_cut_mm, abs=0.11
    )


def test_the_drawing_can_be_heard() -> None:
    picture = drawn(PLAN.sticks[0])
    title, desc = picture.find(f"{SVG}title"), picture.find(f"{SVG}desc")
    assert picture.attrib["role"] == "img"
    assert picture.attrib["aria-labelledby"].split() == [title.attrib["id"], desc.attrib["id"]]
    assert title.text.startswith("Stick 1 of bundle")
    for piece in PLAN.sticks[0].pieces:
        assert f"makes graft {piece.join_number} on {piece.goes_to}" in desc.text


def test_the_drawing_has_no_inline_style_and_escapes_what_people_wrote() -> None:
    odd = replace(PLAN.sticks[0], variety='<b onload="x">&')
    text = stick_svg(odd)
    assert "style=" not in text
    assert "<b" not in text
    assert "&lt;b onload" in ElementTree.tostring(drawn(odd), encoding="unicode")


def test_two_sticks_shown_together_can_share_one_scale() -> None:
    one, other = (
        ElementTree.fromstring(stick_svg(stick, longest_mm=600.0)) for stick in PLAN.sticks[:2]
    )
    assert one.attrib["viewBox"] == other.attrib["viewBox"]
