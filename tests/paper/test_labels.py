"""Labels lie where the sheet has them, say both names, and are read by any phone."""

from datetime import date

import numpy as np
import pytest

from graftwright.errors import OutOfRange, UnknownCode
from graftwright.paper import (
    OFFICE_GRID,
    SMALL_GRID,
    Label,
    LabelGrid,
    label_sheets,
    label_test_page,
    labels_of,
)
from graftwright.paper.labels import square_corner_mm
from graftwright.tagcode import code_from_number
from tests.paper import reading
from tests.paper.winter import winter

TOLERANCE_MM = 0.2
GRIDS = pytest.mark.parametrize("grid", [OFFICE_GRID, SMALL_GRID], ids=["3 x 7", "5 x 13"])
LONG_NAME = "the unknown farmhouse tree behind the chapel at Upper Skelbeck, with red cheeks"
LONG_STOCK = "St Julien A (own seedlings, mixed, from the hedge at the bottom of the yard)"
NAMES = (
    ("Ashmead’s Kernel", "M26"),
    ("Gellyg Ŵy Łódź Kőszegi", "St Julien A"),
    (LONG_NAME, LONG_STOCK),
    ("Rheinischerkrummstielhimbeerapfelsorte", "M116"),
)


def labels(count: int) -> list[Label]:
    return [
        Label(
            code=code_from_number(number * 1_373),
            variety=NAMES[number % 4][0],
            stock=NAMES[number % 4][1],
            line=f"graft {number + 1}, bundle {code_from_number(900)}",
            certainty="name likely, not yet fruited here",
            day=date(2027, 3, 11),
        )
        for number in range(count)
    ]


def dark_edges_mm(strip: np.ndarray, *, mm: float) -> tuple[float, float]:
    """First and last dark pixel of a strip, in mm from its start."""
    dark = np.flatnonzero(strip < 128)
    return dark[0] * mm, (dark[-1] + 1) * mm


@GRIDS
def test_every_outline_of_the_test_page_lies_on_its_label(grid: LabelGrid) -> None:
    dots = 600
    mm = 25.4 / dots
    page = np.asarray(next(reading.images(label_test_page(grid), dots_per_inch=dots)))
    reach = round(0.6 / mm)
    for position in range(1, grid.position_count + 1):
        left_mm, top_mm = grid.corner_mm(position)
        middle_y = round((top_mm + 0.9 * grid.label_height_mm) / mm)
        middle_x = round((left_mm + 0.93 * grid.label_width_mm) / mm)
        for edge_mm in (left_mm, left_mm + grid.label_width_mm):
            at = round(edge_mm / mm)
            first, last = dark_edges_mm(page[middle_y, at - reach : at + reach], mm=mm)
            line_mm = (at - reach) * mm + (first + last) / 2
            assert abs(line_mm - edge_mm) <= TOLERANCE_MM
        for edge_mm in (top_mm, top_mm + grid.label_height_mm):
            at = round(edge_mm / mm)
            first, last = dark_edges_mm(page[at - reach : at + reach, middle_x], mm=mm)
            line_mm = (at - reach) * mm + (first + last) / 2
            assert abs(line_mm - edge_mm) <= TOLERANCE_MM


def test_the_ruler_of_the_test_page_is_a_hundred_millimetres_long() -> None:
    dots = 600
    mm = 25.4 / dots
    page = np.asarray(next(reading.images(label_test_page(), dots_per_inch=dots)))
    left_mm, top_mm = OFFICE_GRID.corner_mm(1)
    through_ticks = page[round((top_mm + 0.55 * OFFICE_GRID.label_height_mm - 1.0) / mm)]
    dark = np.flatnonzero(through_ticks < 128)
    ticks_mm = np.array(
        [run.mean() * mm for run in np.split(dark, np.flatnonzero(np.diff(dark) > 1) + 1)]
    )
    for tick in range(1, 101):
        assert np.abs(ticks_mm - left_mm - tick).min() <= 0.1
    assert ticks_mm[0] == pytest.approx(left_mm, abs=0.1)


@GRIDS
def test_the_corners_of_every_square_lie_within_a_fifth_of_a_millimetre(grid: LabelGrid) -> None:
    dots = 300
    mm = 25.4 / dots
    content = label_sheets(labels(grid.position_count), grid=grid)
    page = np.asarray(next(reading.images(content, dots_per_inch=dots)))
    for position in range(1, grid.position_count + 1):
        left_mm, top_mm, side_mm = square_corner_mm(grid, position)
        quiet_mm = side_mm / 21.0 * 1.5
        x0, y0 = round((left_mm - quiet_mm) / mm), round((top_mm - quiet_mm) / mm)
        size = round((side_mm + 2 * quiet_mm) / mm)
        area = page[y0 : y0 + size, x0 : x0 + size]
        across = dark_edges_mm(area.min(axis=0), mm=mm)
        down = dark_edges_mm(area.min(axis=1), mm=mm)
        assert x0 * mm + across[0] == pytest.approx(left_mm, abs=TOLERANCE_MM)
        assert x0 * mm + across[1] == pytest.approx(left_mm + side_mm, abs=TOLERANCE_MM)
        assert y0 * mm + down[0] == pytest.approx(top_mm, abs=TOLERANCE_MM)
        assert y0 * mm + down[1] == pytest.approx(top_mm + side_mm, abs=TOLERANCE_MM)


@GRIDS
def test_every_square_reads_as_the_code_of_the_label_it_stands_on(grid: LabelGrid) -> None:
    wanted = labels(189 if grid is OFFICE_GRID else 65)
    read = [
        found.text
        for page in reading.images(label_sheets(wanted, grid=grid), dots_per_inch=300)
        for found in reading.symbols(page, dots_per_inch=300)
    ]
    assert read == [label.code for label in wanted]


@GRIDS
def test_every_square_reads_when_the_page_is_coarse_blurred_and_tilted(grid: LabelGrid) -> None:
    wanted = labels(2 * grid.position_count)
    read = [
        found.text
        for page in reading.images(label_sheets(wanted, grid=grid), dots_per_inch=200)
        for found in reading.symbols(reading.spoilt(page), dots_per_inch=200)
    ]
    assert sorted(read) == sorted(label.code for label in wanted)


@GRIDS
def test_no_letter_of_a_long_name_leaves_its_label_or_is_lost(grid: LabelGrid) -> None:
    wanted = labels(grid.position_count)
    found = reading.letters(label_sheets(wanted, grid=grid))
    for position, label in enumerate(wanted, 1):
        left_mm, top_mm = grid.corner_mm(position)
        edge_mm = 1.0
        inside = [
            letter
            for letter, box in found
            if left_mm + edge_mm <= box.left_mm
            and box.right_mm <= left_mm + grid.label_width_mm - edge_mm
            and top_mm + edge_mm <= box.top_mm
            and box.foot_mm <= top_mm + grid.label_height_mm - edge_mm
        ]
        said = (label.variety, "on", label.stock, label.code, label.line, ",11March2027")
        wanted_letters = "".join("".join((*said, label.certainty)).split())
        assert sorted(inside) == sorted(wanted_letters)


@GRIDS
def test_no_letter_stands_in_the_quiet_margin_of_a_square(grid: LabelGrid) -> None:
    found = reading.letters(label_sheets(labels(grid.position_count), grid=grid))
    for position in range(1, grid.position_count + 1):
        left_mm, top_mm, side_mm = square_corner_mm(grid, position)
        quiet_mm = 4.0 * side_mm / 21.0 - 0.05
        for letter, box in found:
            clear = (
                box.right_mm < left_mm - quiet_mm
                or box.left_mm > left_mm + side_mm + 1.0
                or box.foot_mm < top_mm - quiet_mm
                or box.top_mm > top_mm + side_mm + 1.0
            )
            assert clear, f"{letter} at {box} on label {position}"


def test_the_code_on_an_office_label_is_tall_enough_for_arms_length() -> None:
    # 3.5 mm at 0.7 m is seventeen minutes of arc; common practice for signs, no source.
    label = Label(code="K4T76", variety="Discovery", stock="M9", day=date(2027, 3, 11))
    tall = [
        box.foot_mm - box.top_mm
        for letter, box in reading.letters(label_sheets([label]))
        if letter in "K4T76"
    ]
    assert max(tall) >= 3.5


def test_all_faces_travel_with_the_file_and_no_other_is_named() -> None:
    content = label_sheets(labels(4))
    assert reading.are_faces_embedded(content)
    assert all("+Graftwright" in name for name in reading.font_names(content))


def test_accented_names_can_be_copied_from_the_page() -> None:
    assert "Gellyg Ŵy Łódź Kőszegi" in reading.words_of(label_sheets(labels(2)))


def test_letters_and_loose_accents_are_joined() -> None:
    loose = Label(code="K4T76", variety="Gellygen W\u0302y", stock="M9")
    assert "Gellygen Ŵy" in reading.words_of(label_sheets([loose]))


def test_a_part_used_sheet_is_begun_at_the_named_label() -> None:
    wanted = labels(3)
    content = label_sheets(wanted, start_position=20)
    pages = [
        reading.symbols(page, dots_per_inch=200)
        for page in reading.images(content, dots_per_inch=200)
    ]
    assert [[found.text for found in page] for page in pages] == [
        [wanted[0].code, wanted[1].code],
        [wanted[2].code],
    ]
    left_mm, top_mm, side_mm = square_corner_mm(OFFICE_GRID, 20)
    assert pages[0][0].x_mm == pytest.approx(left_mm + side_mm / 2, abs=0.5)
    assert pages[0][0].y_mm == pytest.approx(top_mm + side_mm / 2, abs=0.5)


def test_a_second_copy_stands_beside_the_first() -> None:
    wanted = labels(2)
    page = next(reading.images(label_sheets(wanted, second_copy=True), dots_per_inch=200))
    read = [found.text for found in reading.symbols(page, dots_per_inch=200)]
    assert read == [wanted[0].code, wanted[0].code, wanted[1].code, wanted[1].code]


def test_the_same_labels_give_the_same_file() -> None:
    assert label_sheets(labels(3)) == label_sheets(labels(3))


def test_labels_of_a_plan_follow_its_working_order() -> None:
    plan = winter()
    codes = [code_from_number(number) for number in range(len(plan.joins) + 5)]
    made = labels_of(plan, codes=codes, certainty_of=lambda code: f"sure of {code}")
    assert [label.code for label in made] == codes[: len(plan.joins)]
    assert [label.variety for label in made] == [join.variety for join in plan.joins]
    assert made[0].certainty == f"sure of {plan.joins[0].bundle_code}"
    assert made[0].day == plan.runs[0].bench_on


def test_too_few_codes_are_refused_with_both_counts() -> None:
    with pytest.raises(OutOfRange, match="1 codes for 73 grafts"):
        labels_of(winter(), codes=["K4T76"], certainty_of=lambda _: "")


def test_a_label_without_a_name_is_refused() -> None:
    with pytest.raises(OutOfRange, match="carries both names"):
        Label(code="K4T76", variety="Discovery", stock=" ")


def test_a_label_with_a_misread_code_is_refused() -> None:
    with pytest.raises(UnknownCode, match="does not check"):
        Label(code="K4T77", variety="Discovery", stock="M9")


def test_a_start_beyond_the_sheet_is_refused() -> None:
    with pytest.raises(OutOfRange, match="positions 1 to 21"):
        label_sheets(labels(1), start_position=22)


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"column_count": 4}, "page's width"),
        ({"row_count": 8}, "page's height"),
        ({"row_count": 0}, "one at least"),
        ({"label_width_mm": 12.0}, "too small"),
        ({"column_gap_mm": -1.0}, "none may be negative"),
    ],
)
def test_a_grid_that_cannot_be_is_refused(changes: dict[str, float], words: str) -> None:
    measures: dict[str, float] = {
        "row_count": 7,
        "column_count": 3,
        "label_width_mm": 63.5,
        "label_height_mm": 38.1,
        "left_margin_mm": 7.25,
        "top_margin_mm": 15.15,
    }
    with pytest.raises(OutOfRange, match=words):
        LabelGrid(**{**measures, **changes})  # type: ignore[arg-type]
