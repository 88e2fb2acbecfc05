"""An offer as a file: it comes back as it went, and a bad file is refused with the place."""

import json
from dataclasses import replace

import pytest

from graftwright.demo import demo_neighbours
from graftwright.errors import GraftwrightError, NotUnderstood, OutOfRange
from graftwright.exchange import MOST_OFFER_BYTES, offer_bytes, offer_from_bytes


@pytest.mark.parametrize("offer", demo_neighbours(), ids=lambda offer: offer.nursery)
def test_an_offer_comes_back_as_it_went(offer):
    assert offer_from_bytes(offer_bytes(offer)) == offer
    assert offer_from_bytes(offer_bytes(replace(offer, hands=None))).hands is None


def _plain():
    return json.loads(offer_bytes(demo_neighbours()[0]))


def _with(place, value):
    plain = _plain()
    *way, last = place
    held = plain
    for step in way:
        held = held[step]
    held[last] = value
    return json.dumps(plain).encode()


@pytest.mark.parametrize(
    ("place", "value", "words"),
    [
        (("version",), 2, "version 2; this program reads version 1"),
        (("version",), True, "version True"),
        (("format",), "orders", "no nursery's offer"),
        (("nursery",), "  ", "a nursery called"),
        (("nursery",), 7, "nursery: found 7; expected a text"),
        (("season",), "2009", "season: found '2009'; expected a whole number"),
        (("made_on",), "17/2/2009", "made_on: found '17/2/2009'; expected a day"),
        (("wants", 0, "trees_count"), 0, "wants 1: 0 trees wanted"),
        (("wants", 0, "trees_count"), 10**9, "wants 1: 1000000000 trees"),
        (("wants", 1, "priority"), 4, "wants 2: priority 4; expected 1, 2 or 3"),
        (("wants", 0, "sureness_fraction"), 1, "wants 1: sureness 1.0"),
        (("wants", 0, "who"), "Skelbeck School", "wants 1: who is nothing this version knows"),
        (("wood", 0, "health"), "fine", "wood 1: health 'fine'; expected one of clean"),
        (("wood", 0, "low_mm"), 9.5, "wood 1: thickness from 9.5 to 8.0 mm"),
        (("wood", 0, "low_mm"), float("nan"), "wood 1: thickness from nan"),
        (("wood", 0, "keeps_until"), "2008-01-01", "wood 1: .*the second day lies after"),
        (("stocks", 0, "may_be_sent"), "yes", "stocks 1: may_be_sent: found 'yes'"),
        (("stocks", 1), [], "stocks 2: expected names with values"),
        (("stocks",), {}, "stocks: expected a list"),
        (("hands", "grafts_count"), -1, "hands: -1 grafts"),
        (("least_people",), 1, "at least 10 grafts and 1 people"),
        (("counts", 0, "grafts_count"), 9, "counts 1"),
        (("counts", 0, "taken_count"), 42, "42 taken of 42 could tell one person's results"),
        (("counts", 0, "taken_count"), 0, "0 taken of 42 could tell one person's results"),
    ],
)
def test_a_bad_offer_is_refused_with_the_place(place, value, words):
    with pytest.raises((NotUnderstood, OutOfRange), match=words):
        offer_from_bytes(_with(place, value))


def test_a_count_too_small_to_hide_one_person_is_refused():
    plain = _plain()
    plain["counts"][0] |= {"grafts_count": 9, "taken_count": 5}
    with pytest.raises(OutOfRange, match="could tell one person's results"):
        offer_from_bytes(json.dumps(plain).encode())


def test_a_part_left_out_is_named():
    plain = _plain()
    del plain["wood"][0]["health"]
    with pytest.raises(NotUnderstood, match="wood 1: health is missing"):
        offer_from_bytes(json.dumps(plain).encode())


def test_every_way_to_cut_an_offer_off_is_refused_in_words():
    content = offer_bytes(demo_neighbours()[0])
    for end in range(0, len(content) - 2, 97):
        with pytest.raises(GraftwrightError):
            offer_from_bytes(content[:end])
    with pytest.raises(NotUnderstood, match="bytes"):
        offer_from_bytes(b" " * (MOST_OFFER_BYTES + 1))
    with pytest.raises(NotUnderstood, match="no JSON"):
        offer_from_bytes(b"[" * 200_000)
    with pytest.raises(NotUnderstood, match="no JSON"):
        offer_from_bytes(b"\xff\xfe\x00")
