"""The gauge card as it comes out of a printer, measured on its pixels."""

from itertools import pairwise

import numpy as np
import pytest

from graftwright.paper import gauge_card
from graftwright.paper.gauge_card import (
    INCH_RULER_BASE_MM,
    MM_RULER_BASE_MM,
    RULER_LEFT_MM,
    Slot,
    gauge_slots,
)
from tests.paper import reading

DOTS = 600
MM = 25.4 / DOTS
# An inch is 25.4 mm by definition (international yard and pound agreement, 1959).
THIRTY_SECONDS = {"5/32": 3.96875, "1/4": 6.35, "3/8": 9.525, "1/2": 12.7, "17/32": 13.49375}


@pytest.fixture(scope="module")
def page() -> reading.Grey:
    return np.asarray(next(reading.images(gauge_card(), dots_per_inch=DOTS)))


def _lines_mm(row: reading.Grey) -> list[float]:
    """The middles of the dark runs of one row of pixels, from the left of the page."""
    dark = np.flatnonzero(row < 160)
    runs = np.split(dark, np.flatnonzero(np.diff(dark) > 1) + 1)
    return [(run.mean() + 0.5) * MM for run in runs]


def _slots(words: str) -> list[Slot]:
    return [slot for slot in gauge_slots() if slot.words == words]


def _printed_mm(page: reading.Grey, slot: Slot) -> float:
    """The gap between the two lines that stand nearest to the slot's middle."""
    middle_mm = slot.left_mm + slot.width_mm / 2.0
    lines = _lines_mm(page[round((slot.top_mm + 9.0) / MM)])
    gaps = [b - a for a, b in pairwise(lines) if a < middle_mm < b]
    assert len(gaps) == 1
    return gaps[0]


@pytest.mark.parametrize("half", range(8, 29))
def test_every_millimetre_slot_is_as_wide_as_it_says(page: reading.Grey, half: int) -> None:
    (slot,) = _slots(f"{half / 2:g}")
    assert _printed_mm(page, slot) == pytest.approx(half / 2, abs=0.1)


@pytest.mark.parametrize(("words", "width_mm"), THIRTY_SECONDS.items())
def test_every_inch_slot_is_as_wide_as_it_says(
    page: reading.Grey, words: str, width_mm: float
) -> None:
    (slot,) = _slots(words)
    assert _printed_mm(page, slot) == pytest.approx(width_mm, abs=0.1)


def test_the_words_under_a_slot_stand_under_it() -> None:
    found = reading.letters(gauge_card())
    for slot in gauge_slots():
        under = [
            letter
            for letter, box in found
            if slot.left_mm - 1.0 <= box.left_mm
            and box.right_mm <= slot.left_mm + slot.width_mm + 1.0
            and slot.foot_mm < box.top_mm < slot.foot_mm + 6.0
        ]
        assert "".join(under) == slot.words


def test_slots_run_from_four_to_fourteen_millimetres_without_touching() -> None:
    widths = [slot.width_mm for slot in gauge_slots()]
    assert min(widths) <= 4.0
    assert max(widths) >= 14.0
    for one, next_one in pairwise(gauge_slots()):
        if one.top_mm == next_one.top_mm:
            assert next_one.left_mm - (one.left_mm + one.width_mm) >= 4.0
    assert max(slot.left_mm + slot.width_mm for slot in gauge_slots()) < 195.0


def test_the_millimetre_ruler_has_every_tick_of_a_hundred(page: reading.Grey) -> None:
    ticks = _lines_mm(page[round((MM_RULER_BASE_MM - 1.0) / MM)])
    wanted = [RULER_LEFT_MM + tick for tick in range(101)]
    assert len(ticks) == len(wanted)
    assert ticks == pytest.approx(wanted, abs=0.1)


def test_the_inch_ruler_has_sixteenths_over_four_inches(page: reading.Grey) -> None:
    ticks = _lines_mm(page[round((INCH_RULER_BASE_MM - 1.0) / MM)])
    wanted = [RULER_LEFT_MM + tick * 25.4 / 16 for tick in range(65)]
    assert len(ticks) == len(wanted)
    assert ticks == pytest.approx(wanted, abs=0.1)


def test_the_page_says_how_to_print_and_check_it() -> None:
    words = reading.words_of(gauge_card())
    assert "actual size" in words
    assert "100 mm and 4 inches" in words
    assert reading.are_faces_embedded(gauge_card())


def test_the_card_is_one_page_and_always_the_same_file() -> None:
    assert len(reading.page_texts(gauge_card())) == 1
    assert gauge_card() == gauge_card()
