import pytest

from graftwright.errors import OutOfRange
from graftwright.wood import Order, Stick, StockGrade, warn_before_order


def twigs(count: int, base_mm: float) -> list[Stick]:
    return [
        Stick(
            name=f"twig {number}",
            variety="Discovery",
            length_mm=600.0,
            base_mm=base_mm,
            tip_mm=base_mm - 2.0,
            buds_mm=tuple(20.0 + 34.0 * bud for bud in range(17)),
        )
        for number in range(count)
    ]


ORDERS = [Order(name="o", variety="Discovery", stock_kind="M26", wanted_count=10)]
GRADES = [
    StockGrade(name="5-7", kind="M26", low_mm=5.0, high_mm=7.0),
    StockGrade(name="7-9", kind="M26", low_mm=7.0, high_mm=9.0),
    StockGrade(name="12-16", kind="M26", low_mm=12.0, high_mm=16.0),
]


def test_thin_wood_asks_for_the_thin_grade_and_warns_of_the_thick_one():
    mix = warn_before_order(twigs(6, 6.0), ORDERS, GRADES)
    counts = {advice.grade_name: advice.advised_count for advice in mix.grades}
    assert counts == {"5-7": 10, "7-9": 0, "12-16": 0}
    assert "no piece fits grade 12-16" in mix.grades[2].warning
    assert mix.grades[0].warning == ""


def test_stout_wood_asks_for_the_middle_grade():
    mix = warn_before_order(twigs(6, 8.5), ORDERS, GRADES)
    counts = {advice.grade_name: advice.advised_count for advice in mix.grades}
    assert counts["7-9"] == 10


def test_very_thin_wood_fits_no_offered_grade_and_every_graft_is_named_unserved():
    mix = warn_before_order(twigs(6, 3.5), ORDERS, GRADES[1:])
    assert mix.served_count == 0
    assert mix.unserved_count == 10
    assert all(advice.warning for advice in mix.grades)


def test_without_wood_the_warning_says_to_look_at_it_first():
    mix = warn_before_order([], ORDERS, GRADES[:1])
    assert "look at the wood before ordering" in mix.grades[0].warning
    assert mix.unserved_count == 10


def test_a_grade_from_thick_to_thin_is_refused():
    with pytest.raises(OutOfRange, match="correct the grade"):
        StockGrade(name="x", kind="M26", low_mm=9.0, high_mm=7.0)
