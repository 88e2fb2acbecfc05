"""The marker sheet as it comes out of a printer, measured on its pixels."""

from itertools import pairwise

import cv2
import numpy as np
import pytest

from graftwright.paper.marker_sheet import marker_sheet
from graftwright.wood.marker_sheet import (
    MARKER_MM,
    MODULE_COUNT,
    MarkerSheet,
    SheetSize,
    marker_sheet_of,
)
from tests.paper import reading

DOTS = 600
MM = 25.4 / DOTS
# ISO 216 for A4; ANSI/ASME Y14.1 letter: 11 by 8.5 inches.
PAPERS = {SheetSize.A4: (297.0, 210.0), SheetSize.LETTER: (279.4, 215.9)}


@pytest.fixture(scope="module", params=list(SheetSize), ids=lambda size: size.name)
def sheet(request: pytest.FixtureRequest) -> MarkerSheet:
    return marker_sheet_of(request.param)


@pytest.fixture(scope="module")
def page(sheet: MarkerSheet) -> reading.Grey:
    return np.asarray(next(reading.images(marker_sheet(sheet.size), dots_per_inch=DOTS)))


def _lines_mm(strip: reading.Grey) -> list[float]:
    """The middles of the dark runs of one line of pixels, from its start."""
    dark = np.flatnonzero(strip < 160)
    runs = np.split(dark, np.flatnonzero(np.diff(dark) > 1) + 1)
    return [(run.mean() + 0.5) * MM for run in runs]


def test_the_page_is_the_paper_it_says_lying(sheet: MarkerSheet, page: reading.Grey) -> None:
    wide_mm, high_mm = PAPERS[sheet.size]
    assert page.shape[1] * MM == pytest.approx(wide_mm, abs=0.1)
    assert page.shape[0] * MM == pytest.approx(high_mm, abs=0.1)


def test_the_dictionary_s_own_reader_finds_every_marker_in_its_place(
    sheet: MarkerSheet, page: reading.Grey
) -> None:
    dictionary = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_5X5_50)
    corners, numbers, _ = cv2.aruco.ArucoDetector(dictionary).detectMarkers(page)
    found = dict(zip(np.ravel(numbers).tolist(), corners, strict=True))
    assert set(found) == {marker.number for marker in sheet.markers}
    for marker in sheet.markers:
        seen = (found[marker.number].reshape(4, 2) + 0.5) * MM
        assert seen == pytest.approx(np.array(marker.corners_mm), abs=0.12)


def test_the_signs_are_those_of_the_dictionary() -> None:
    dictionary = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_5X5_50)
    for size in SheetSize:
        for marker in marker_sheet_of(size).markers:
            drawn = cv2.aruco.generateImageMarker(dictionary, marker.number, MODULE_COUNT)
            assert np.array_equal(np.array(marker.is_dark), drawn == 0)


def test_no_marker_stands_on_both_papers() -> None:
    numbers = [one.number for size in SheetSize for one in marker_sheet_of(size).markers]
    assert len(numbers) == len(set(numbers))


def test_markers_are_black_squares_of_their_size(sheet: MarkerSheet, page: reading.Grey) -> None:
    for marker in sheet.markers:
        row = page[round((marker.top_mm + 1.0) / MM)]
        around = row[round((marker.left_mm - 3.0) / MM) : round((marker.left_mm + 17.0) / MM)]
        dark = np.flatnonzero(around < 160)
        assert (dark[-1] - dark[0] + 1) * MM == pytest.approx(MARKER_MM, abs=0.09)


def test_both_rulers_have_every_tick_of_a_hundred(sheet: MarkerSheet, page: reading.Grey) -> None:
    along, across = sheet.along_ruler, sheet.across_ruler
    row = page[round((along.foot_mm - 1.0) / MM), round((along.left_mm - 2.0) / MM) :]
    ticks = [one + along.left_mm - 2.0 for one in _lines_mm(row)]
    assert ticks == pytest.approx([along.left_mm + step for step in range(101)], abs=0.1)
    column = page[:, round((across.left_mm + 1.0) / MM)]
    first, last = round((across.top_mm - 2.0) / MM), round((across.foot_mm + 1.0) / MM)
    ticks = [one + across.top_mm - 2.0 for one in _lines_mm(column[first:last])]
    assert ticks == pytest.approx([across.top_mm + step for step in range(101)], abs=0.1)


def test_the_field_is_white_but_for_its_corners(sheet: MarkerSheet, page: reading.Grey) -> None:
    field = sheet.field
    inner = page[
        round((field.top_mm + 8.0) / MM) : round((field.foot_mm - 8.0) / MM),
        round((field.left_mm + 1.0) / MM) : round((field.right_mm - 1.0) / MM),
    ]
    assert inner.min() == 255


def test_nothing_stands_nearer_to_the_edge_than_a_printer_reaches(sheet: MarkerSheet) -> None:
    for box in reading.shapes(marker_sheet(sheet.size)):
        assert min(box.left_mm, box.top_mm) >= 8.0
        assert box.right_mm <= sheet.width_mm - 8.0
        assert box.foot_mm <= sheet.height_mm - 8.0


def test_words_do_not_run_into_the_ruler(sheet: MarkerSheet) -> None:
    words = [box for _, box in reading.letters(marker_sheet(sheet.size))]
    ruler = sheet.along_ruler
    in_ruler = [
        box for box in words
        if box.right_mm > ruler.left_mm + 1.0 and box.top_mm < ruler.foot_mm
        and box.foot_mm > ruler.top_mm
    ]  # fmt: skip
    assert words
    assert in_ruler == []


def test_markers_of_a_row_do_not_touch(sheet: MarkerSheet) -> None:
    for one, other in pairwise(sheet.markers):
        if one.top_mm == other.top_mm:
            assert other.left_mm - one.left_mm >= MARKER_MM + 8.0


def test_the_sheet_says_how_to_print_it_and_is_always_the_same_file(sheet: MarkerSheet) -> None:
    words = reading.words_of(marker_sheet(sheet.size))
    assert "actual size" in words
    assert sheet.size.value in words
    assert reading.are_faces_embedded(marker_sheet(sheet.size))
    assert marker_sheet(sheet.size) == marker_sheet(sheet.size)
