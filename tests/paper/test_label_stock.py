"""Labels of every kind of stock: rolls, strips to tie on, bundle tags, blank tags, pairs."""

from datetime import date

import numpy as np
import pytest

from graftwright.errors import OutOfRange, UnknownCode
from graftwright.paper import (
    OFFICE_GRID,
    ROLL_GRID,
    SMALL_GRID,
    STRIP_GRID,
    BundleTag,
    Label,
    LabelGrid,
    SpareTag,
    label_sheets,
    label_test_page,
    print_scale_words,
    roll_grid,
)
from graftwright.paper.code_square import symbol_of
from graftwright.paper.labels import square_corner_mm
from graftwright.tagcode import code_from_number
from tests.paper import reading
from tests.paper.test_labels import dark_edges_mm, labels

ADDRESS = "https://lantern.example:8017"
GRIDS = pytest.mark.parametrize("grid", [ROLL_GRID, STRIP_GRID], ids=["roll", "strips"])


@GRIDS
def test_every_square_reads_even_blurred_and_tilted(grid: LabelGrid) -> None:
    wanted = labels(24)
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
        inside = [
            letter
            for letter, box in found
            if left_mm + 1.0 <= box.left_mm
            and box.right_mm <= left_mm + grid.label_width_mm - 1.0
            and top_mm + 1.0 <= box.top_mm
            and box.foot_mm <= top_mm + grid.label_height_mm - 1.0
        ]
        said = (label.variety, "on", label.stock, label.code, label.line, ",11March2027")
        assert sorted(inside) == sorted("".join("".join((*said, label.certainty)).split()))


@GRIDS
def test_the_corners_of_the_squares_lie_within_a_fifth_of_a_millimetre(grid: LabelGrid) -> None:
    dots = 300
    mm = 25.4 / dots
    page = np.asarray(next(reading.images(label_sheets(labels(12), grid=grid), dots_per_inch=dots)))
    for position in range(1, min(grid.position_count, 12) + 1):
        left_mm, top_mm, side_mm = square_corner_mm(grid, position)
        quiet_mm = side_mm / 21.0 * 1.5
        x0, y0 = round((left_mm - quiet_mm) / mm), round((top_mm - quiet_mm) / mm)
        size = round((side_mm + 2 * quiet_mm) / mm)
        area = page[y0 : y0 + size, x0 : x0 + size]
        across = dark_edges_mm(area.min(axis=0), mm=mm)
        down = dark_edges_mm(area.min(axis=1), mm=mm)
        assert x0 * mm + across[0] == pytest.approx(left_mm, abs=0.2)
        assert x0 * mm + across[1] == pytest.approx(left_mm + side_mm, abs=0.2)
        assert y0 * mm + down[0] == pytest.approx(top_mm, abs=0.2)
        assert y0 * mm + down[1] == pytest.approx(top_mm + side_mm, abs=0.2)


@GRIDS
def test_the_code_is_tall_enough_for_arms_length(grid: LabelGrid) -> None:
    # 3.5 mm at 0.7 m is seventeen minutes of arc; common practice for signs, no source.
    label = Label(code="K4T76", variety="Discovery", stock="M9", day=date(2027, 3, 11))
    tall = [
        box.foot_mm - box.top_mm
        for letter, box in reading.letters(label_sheets([label], grid=grid))
        if letter in "K4T76"
    ]
    assert max(tall) >= 3.5


def test_on_a_roll_every_label_is_a_page_of_its_own_size() -> None:
    content = label_sheets(labels(3), grid=roll_grid(label_width_mm=62.0, label_height_mm=29.0))
    sizes = [image.size for image in reading.images(content, dots_per_inch=254)]
    assert len(sizes) == 3
    assert all(abs(wide - 620) <= 1 and abs(high - 290) <= 1 for wide, high in sizes)


def test_pairs_on_a_roll_follow_one_another() -> None:
    content = label_sheets(labels(2), grid=ROLL_GRID, second_copy=True)
    read = [
        found.text
        for page in reading.images(content, dots_per_inch=200)
        for found in reading.symbols(page, dots_per_inch=200)
    ]
    codes = [label.code for label in labels(2)]
    assert read == [codes[0], codes[0], codes[1], codes[1]]


@pytest.mark.parametrize("grid", [OFFICE_GRID, STRIP_GRID, ROLL_GRID])
def test_a_square_may_open_the_page_of_its_code(grid: LabelGrid) -> None:
    content = label_sheets(labels(1), grid=grid, address=ADDRESS + "/")
    page = next(reading.images(content, dots_per_inch=300))
    (found,) = reading.symbols(page, dots_per_inch=300)
    assert found.text == f"{ADDRESS}/code/{labels(1)[0].code}"


def test_labels_too_small_for_an_address_are_refused_with_the_way_out() -> None:
    with pytest.raises(OutOfRange, match="larger labels, a shorter address, or the plain code"):
        label_sheets(labels(1), grid=SMALL_GRID, address=ADDRESS)


@pytest.mark.parametrize("address", ["lantern.example", "ftp://x", "https://" + "x" * 60, "http:"])
def test_an_address_that_is_none_is_refused(address: str) -> None:
    with pytest.raises(OutOfRange, match="expected http"):
        symbol_of("K4T76", address=address)


def test_a_bundle_s_tag_says_what_it_is_where_from_when_and_how_sure() -> None:
    tag = BundleTag(
        code="K4T76",
        variety="Gellyg Ŵy",
        origin="the chapel yard",
        certainty="name: label only",
        cut_on=date(2027, 1, 9),
        stick_count=12,
    )
    words = reading.words_of(label_sheets([tag]))
    for said in ("Gellyg Ŵy", "wood from the chapel yard", "K4T76", "cut 9 January 2027",
                 "12 sticks", "name: label only"):  # fmt: skip
        assert said in words


def test_a_blank_tag_has_a_code_of_its_own_and_a_line_for_a_pencil() -> None:
    content = label_sheets([SpareTag(code="K4T76")])
    assert "K4T76" in reading.words_of(content)
    long = [b for b in reading.shapes(content) if b.right_mm - b.left_mm > 40.0]
    assert long
    with pytest.raises(UnknownCode):
        SpareTag(code="K4T77")


def test_strips_have_lines_to_cut_along_and_a_hole_clear_of_every_letter() -> None:
    content = label_sheets(labels(1), grid=STRIP_GRID)
    left_mm, top_mm = STRIP_GRID.corner_mm(1)
    outlines = [b for b in reading.shapes(content) if b.right_mm - b.left_mm > 180.0]
    assert any(abs(b.left_mm - left_mm) < 0.2 and abs(b.top_mm - top_mm) < 0.2 for b in outlines)
    hole = [b for b in reading.shapes(content) if 3.5 < b.right_mm - b.left_mm < 4.5]
    assert hole
    assert all(box.left_mm > hole[0].right_mm + 0.5 for _, box in reading.letters(content))


def test_everything_moves_by_what_the_printer_misses() -> None:
    moved = LabelGrid(
        row_count=7,
        column_count=3,
        label_width_mm=63.5,
        label_height_mm=38.1,
        left_margin_mm=7.25,
        top_margin_mm=15.15,
        column_gap_mm=2.5,
        shift_right_mm=1.5,
        shift_down_mm=-0.8,
    )
    before, after = square_corner_mm(OFFICE_GRID, 5), square_corner_mm(moved, 5)
    assert after[0] - before[0] == pytest.approx(1.5)
    assert after[1] - before[1] == pytest.approx(-0.8)


def test_a_move_of_more_than_ten_millimetres_is_refused() -> None:
    with pytest.raises(OutOfRange, match="change the margins"):
        LabelGrid(
            row_count=1,
            column_count=1,
            label_width_mm=60.0,
            label_height_mm=30.0,
            left_margin_mm=5.0,
            top_margin_mm=5.0,
            shift_right_mm=12.0,
        )


@pytest.mark.parametrize(("grid", "long_mm"), [(OFFICE_GRID, 100.0), (ROLL_GRID, 50.0)])
def test_the_ruler_of_the_test_page_is_as_long_as_it_says(grid: LabelGrid, long_mm: float) -> None:
    assert grid.ruler_mm == long_mm
    dots = 600
    mm = 25.4 / dots
    page = np.asarray(next(reading.images(label_test_page(grid), dots_per_inch=dots)))
    left_mm, top_mm = grid.corner_mm(1)
    base = round((top_mm + 0.55 * grid.label_height_mm) / mm)
    dark = np.flatnonzero(page[base, round((left_mm + 2.0) / mm) :] < 128)
    ends = dark[np.flatnonzero(np.diff(dark, append=dark[-1] + 2) > 1)[0]]
    assert 2.0 + (ends + 1) * mm == pytest.approx(long_mm, abs=0.2)


@pytest.mark.parametrize(
    ("measured_mm", "words"),
    [
        (100.0, "keeps to size"),
        (100.4, "keeps to size"),
        (97.0, "3.0% smaller"),
        (102.0, "2.0% larger"),
    ],
)
def test_a_measured_ruler_says_whether_the_printer_scales(measured_mm: float, words: str) -> None:
    assert words in print_scale_words(measured_mm)


def test_what_cannot_be_the_ruler_is_refused() -> None:
    with pytest.raises(OutOfRange, match="expected about 100"):
        print_scale_words(10.0)
    assert "smaller" in print_scale_words(48.0, ruler_mm=50.0)


def test_thirty_kinds_of_names_keep_their_letters_on_the_smallest_strip() -> None:
    grid = roll_grid(label_width_mm=120.0, label_height_mm=15.0, has_hole=True)
    made = [
        Label(code=code_from_number(n), variety="Łódź ő ŵ " * (n % 6 + 1), stock=f"stock {n}")
        for n in range(30)
    ]
    for number, label in enumerate(made):
        found = reading.letters(label_sheets([label], grid=grid))
        assert len(found) == len("".join(f"{label.variety}on{label.stock}{label.code}".split()))
        assert all(box.right_mm <= 119.0 and box.foot_mm <= 14.5 for _, box in found), number
