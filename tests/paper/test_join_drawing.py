"""The drawing of a join, measured on its own lines against published contacts."""

import csv
import re
from itertools import pairwise
from math import hypot
from pathlib import Path
from xml.etree import ElementTree

import pytest
from shapely import LineString, Polygon

from graftwright.errors import OutOfRange
from graftwright.paper import DRAWN_METHODS, JoinFigure, join_figure, join_svg
from graftwright.paper.side_join_shape import cleft_figure
from graftwright.wood import GraftMethod

WOOD = Path(__file__).parents[1] / "published" / "wood"
SVG = "{http://www.w3.org/2000/svg}"
PAIRS = ((6.0, 6.0), (6.5, 7.0), (7.0, 8.0), (5.0, 9.0), (11.0, 12.0))
WHIP = GraftMethod.WHIP_AND_TONGUE


def _long_mm(lines: list[list[tuple[float, float]]]) -> float:
    return sum(hypot(b[0] - a[0], b[1] - a[1]) for line in lines for a, b in pairwise(line))


def _drawn(svg: str, name: str) -> list[list[tuple[float, float]]]:
    """The points of every line of a class, read back from the drawing."""
    return [
        [(float(x), float(y)) for x, y in (at.split(",") for at in one.attrib["points"].split())]
        for one in ElementTree.fromstring(svg).iter(f"{SVG}polyline")
        if one.attrib["class"] == name
    ]


def _with_shapely_mm(figure: JoinFigure) -> float:
    """The scion's line within the tolerance of the stock's, by polygons."""
    shift = figure.scion_shift_mm
    scion = LineString([(x, y + shift) for x, y in figure.scion_cambium])
    stock = Polygon(figure.stock_cambium[0]).exterior
    return float(scion.intersection(stock.buffer(figure.tolerance_mm, quad_segs=64)).length)


@pytest.mark.parametrize("pair", PAIRS, ids=str)
def test_the_bold_part_is_what_a_geometry_library_finds_in_contact(
    pair: tuple[float, float],
) -> None:
    figure = join_figure(*pair, method=WHIP)
    bold = _long_mm(_drawn(join_svg(figure), "join-meets"))
    assert bold == pytest.approx(_with_shapely_mm(figure), rel=0.02)
    assert bold == pytest.approx(figure.contact_mm, rel=0.02)


@pytest.mark.parametrize("pair", PAIRS, ids=str)
def test_both_faces_are_drawn_as_long_and_as_wide_as_they_are(pair: tuple[float, float]) -> None:
    svg = join_svg(join_figure(*pair, method=WHIP))
    sizes = {
        (
            round(max(x for x, _ in line) - min(x for x, _ in line), 1),
            round(max(y for _, y in line) - min(y for _, y in line), 1),
        )
        for line in _drawn(svg, "join-bark")
    }
    assert sizes == {(round(hypot(mm, 3.5 * mm), 1), mm) for mm in pair}


@pytest.mark.source("ContactVectors", "veneer.csv")
def test_a_veneer_s_bold_part_agrees_with_the_published_contacts() -> None:
    with (WOOD / "veneer.csv").open(encoding="utf-8") as rows:
        for row in csv.DictReader(rows):
            scion, stock = float(row["scion_diameter_mm"]), float(row["stock_diameter_mm"])
            tolerance = float(row["tolerance_mm"])
            ratio = float(row["scion_cut_mm"]) / scion
            figure = join_figure(
                scion,
                stock,
                method=GraftMethod.SIDE_VENEER,
                cut_length_ratio=ratio,
                tolerance_mm=tolerance,
            )
            # The published bark is rounded to 0.01 mm, which is what the margin is for.
            bold = _long_mm(_drawn(join_svg(figure), "join-meets"))
            assert bold == pytest.approx(float(row["contact_mm"]), rel=0.02)


def test_equal_pairs_meet_all_round_in_the_middle() -> None:
    figure = join_figure(7.0, 7.0, method=WHIP)
    assert figure.share_fraction == pytest.approx(1.0)
    assert figure.scion_shift_mm == 0.0
    assert "Set it in the middle" in figure.words


def test_a_thin_scion_goes_to_one_side_inside_the_stock_s_bark() -> None:
    figure = join_figure(6.0, 9.0, method=WHIP)
    top_mm = max(y for _, y in figure.scion_bark) + figure.scion_shift_mm
    assert figure.scion_shift_mm > 0.0
    assert top_mm < 4.5 + 0.4
    assert figure.share_fraction < 0.5


def test_the_words_give_both_measures_and_say_cambium_not_bark() -> None:
    figure = join_figure(7.0, 8.0, method=WHIP)
    svg = join_svg(figure)
    title, desc = re.search(r"<title[^>]*>(.*)</title><desc[^>]*>(.*)</desc>", svg).groups()  # type: ignore[union-attr]
    assert "7.0 mm scion" in title
    assert f"{figure.contact_mm:.1f} mm" in desc
    assert f"{figure.share_fraction:.0%}" in desc
    assert "not the outside of the bark" in desc
    assert "Line up the cambium, not the bark." in svg


def test_looks_are_presentation_attributes_only_and_ids_can_be_told_apart() -> None:
    svg = join_svg(join_figure(7.0, 8.0, method=WHIP), name="join-2")
    assert "style=" not in svg
    assert "<script" not in svg
    assert 'aria-labelledby="join-2-title join-2-desc"' in svg


@pytest.mark.source("ContactVectors", "cleft_one_side.csv, best_contact_mm")
def test_a_wedge_s_bold_part_counted_on_both_faces_agrees_with_the_published_contacts() -> None:
    with (WOOD / "cleft_one_side.csv").open(encoding="utf-8") as rows:
        for row in csv.DictReader(rows):
            scion = float(row["scion_diameter_mm"])
            figure = cleft_figure(
                scion,
                2.0 * scion,
                tolerance_mm=float(row["tolerance_mm"]),
                wedge_ratio=float(row["wedge_mm"]) / scion,
            )
            bold = 2.0 * _long_mm(_drawn(join_svg(figure), "join-meets"))
            # The published bark is rounded to 0.01 mm, which is what the margin is for.
            assert bold == pytest.approx(float(row["best_contact_mm"]), rel=0.02)


@pytest.mark.parametrize(("stock", "side_count"), [(8.0, 2), (14.0, 2), (5.0, 1)])
def test_a_chip_meets_on_both_sides_unless_the_stock_is_too_thin_for_it(
    stock: float, side_count: int
) -> None:
    figure = join_figure(8.0, stock, method=GraftMethod.CHIP_BUD)
    bold = _drawn(join_svg(figure), "join-meets")
    assert len(bold) == side_count
    assert _long_mm(bold) == pytest.approx(figure.contact_mm, rel=1e-6)


def test_under_lifted_bark_the_whole_line_of_the_scion_is_bold() -> None:
    figure = join_figure(7.0, 28.0, method=GraftMethod.RIND)
    svg = join_svg(figure)
    bold, scion = (_long_mm(_drawn(svg, name)) for name in ("join-meets", "join-scion"))
    assert bold == pytest.approx(figure.contact_mm, rel=0.01)
    assert bold <= scion
    assert figure.share_fraction == 1.0


@pytest.mark.parametrize("method", [GraftMethod.CLEFT, GraftMethod.RIND])
def test_a_scion_thicker_than_its_stock_is_not_drawn(method: GraftMethod) -> None:
    with pytest.raises(OutOfRange, match="thinner"):
        join_figure(9.0, 6.0, method=method)


def test_every_way_of_joining_can_be_drawn() -> None:
    assert set(DRAWN_METHODS) == set(GraftMethod)
    for method in DRAWN_METHODS:
        assert "<polyline" in join_svg(join_figure(6.0, 12.0, method=method))


def test_a_strip_wider_than_the_stock_is_refused() -> None:
    with pytest.raises(OutOfRange, match="room for it"):
        join_figure(9.0, 5.0, method=GraftMethod.SIDE_VENEER)
