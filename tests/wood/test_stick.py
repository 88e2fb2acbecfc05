import pytest

from graftwright.errors import OutOfRange
from graftwright.wood import (
    DiameterReading,
    Stick,
    Stock,
    are_buds_assumed,
    bud_positions_mm,
    diameter_at_mm,
    typical_bud_count,
    usable_zone_mm,
)


def stick(**changes) -> Stick:
    values = {
        "name": "a",
        "variety": "Discovery",
        "length_mm": 500.0,
        "base_mm": 9.0,
        "tip_mm": 4.0,
        "buds_mm": (20.0, 60.0, 100.0),
    }
    return Stick(**(values | changes))


def test_a_stick_tapers_straight_from_base_to_tip():
    assert diameter_at_mm(stick(), 0.0) == 9.0
    assert diameter_at_mm(stick(), 250.0) == pytest.approx(6.5)
    assert diameter_at_mm(stick(), 500.0) == 4.0


def test_readings_replace_the_straight_taper_between_the_ends():
    bulged = stick(readings=(DiameterReading(position_mm=250.0, diameter_mm=8.0),))
    assert diameter_at_mm(bulged, 250.0) == 8.0
    assert diameter_at_mm(bulged, 125.0) == pytest.approx(8.5)
    assert diameter_at_mm(bulged, 375.0) == pytest.approx(6.0)


def test_a_place_beyond_the_tip_has_no_diameter():
    with pytest.raises(OutOfRange, match=r"position on stick a is 501.*measure again"):
        diameter_at_mm(stick(), 501.0)


def test_counted_buds_are_spread_evenly_and_said_to_be_assumed():
    counted = stick(buds_mm=(), bud_count=5)
    assert bud_positions_mm(counted) == pytest.approx((50.0, 150.0, 250.0, 350.0, 450.0))
    assert are_buds_assumed(counted)
    assert not are_buds_assumed(stick())


def test_the_thick_base_and_the_soft_tip_are_left_out_unless_told():
    assert usable_zone_mm(stick()) == pytest.approx((30.0, 440.0))
    assert usable_zone_mm(stick(usable_from_mm=0.0, usable_to_mm=500.0)) == (0.0, 500.0)


def test_a_longer_shoot_is_guessed_to_carry_more_buds():
    assert typical_bud_count(20.0) == 1
    assert typical_bud_count(340.0) == 10


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"tip_mm": 9.6}, "turn it round"),
        ({"base_mm": float("nan")}, "measure again"),
        ({"length_mm": -1.0}, "measure again"),
        ({"buds_mm": (60.0, 20.0)}, "sort or measure"),
        ({"buds_mm": (20.0, 501.0)}, "sort or measure"),
        ({"bud_count": 3}, "one or the other"),
        ({"usable_from_mm": 450.0}, "correct the zone"),
        ({"urgency": 4}, "from 0 to 3"),
        ({"readings": (DiameterReading(position_mm=600.0, diameter_mm=5.0),)}, "on the stick"),
    ],
)
def test_a_stick_that_cannot_exist_is_refused_with_a_way_out(changes, words):
    with pytest.raises(OutOfRange, match=words):
        stick(**changes)


def test_a_stock_without_a_diameter_is_refused():
    with pytest.raises(OutOfRange, match="stock s1 has a diameter of 0"):
        Stock(name="s1", kind="M26", diameter_mm=0.0)
