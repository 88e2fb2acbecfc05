"""A stick of scion wood or a rootstock: its length, its diameters and its buds."""

from dataclasses import dataclass
from math import isfinite

import numpy as np

from graftwright.errors import OutOfRange
from graftwright.tongue import say, told

# Common practice, no source: the thick base carries blind buds, the tip is soft.
_USABLE_FROM_FRACTION = 0.06
_USABLE_TO_FRACTION = 0.88
# From memory of vigorous shoots, no survey found; used only to guess a count nobody gave.
_TYPICAL_INTERNODE_MM = 34.0
# Ovality and two readings can turn an even shoot round by this much.
_TIP_OVER_BASE_MM = 0.5
_LARGEST_DIAMETER_MM = 400.0
_LONGEST_STICK_MM = 4000.0


@dataclass(frozen=True, slots=True, kw_only=True)
class DiameterReading:
    """One calliper reading on a stick, at a distance from its base."""

    position_mm: float
    diameter_mm: float

    def __post_init__(self) -> None:
        _check_between(say("position of a reading"), self.position_mm, 0.0, _LONGEST_STICK_MM)
        _check_diameter("reading", self.diameter_mm)


@dataclass(frozen=True, slots=True, kw_only=True)
class Stick:
    """One stick of scion wood; all positions are counted from its base. [mm]

    Give the buds either as `buds_mm` or, when nobody measured them, as `bud_count`; they are then
    placed evenly and every piece says that its buds are assumed. A diameter known only as a class
    is given as the middle of the class with its full `class_width_mm`. `urgency` 0 to 3 says how
    much the bundle wants to be used first. Raises OutOfRange for a stick that cannot exist.
    """

    name: str
    variety: str
    length_mm: float
    base_mm: float
    tip_mm: float
    buds_mm: tuple[float, ...] = ()
    bud_count: int | None = None
    usable_from_mm: float | None = None
    usable_to_mm: float | None = None
    readings: tuple[DiameterReading, ...] = ()
    class_width_mm: float = 0.0
    urgency: int = 0

    def __post_init__(self) -> None:
        _check_between(
            told("length of stick {name}", name=self.name), self.length_mm, 1.0, _LONGEST_STICK_MM
        )
        _check_diameter(told("base of stick {name}", name=self.name), self.base_mm)
        _check_diameter(told("tip of stick {name}", name=self.name), self.tip_mm)
        _check_between(
            told("class width of stick {name}", name=self.name), self.class_width_mm, 0.0, 20.0
        )
        _check_between(told("urgency of stick {name}", name=self.name), self.urgency, 0, 3)
        _check_way_up(self)
        _check_buds(self)
        _check_usable_zone(self)
        _check_readings(self)


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock:
    """One rootstock: its kind and its diameter where the cut will be made. [mm]

    A diameter known only as a class is given as the middle of the class with its full
    `class_width_mm`. Raises OutOfRange for a diameter no stock has.
    """

    name: str
    kind: str
    diameter_mm: float
    class_width_mm: float = 0.0

    def __post_init__(self) -> None:
        _check_diameter(told("stock {name}", name=self.name), self.diameter_mm)
        _check_between(
            told("class width of stock {name}", name=self.name), self.class_width_mm, 0.0, 20.0
        )


def diameter_at_mm(stick: Stick, position_mm: float) -> float:
    """Return the diameter at a distance from the base. [mm]

    Straight taper from base to tip unless readings lie between; then straight from reading to
    reading. Raises OutOfRange if the position is not on the stick.
    """
    _check_between(
        told("position on stick {stick_name}", stick_name=stick.name),
        position_mm,
        0.0,
        stick.length_mm,
    )
    if not stick.readings:
        taper_mm = stick.tip_mm - stick.base_mm
        return stick.base_mm + taper_mm * position_mm / stick.length_mm
    positions, diameters = diameter_profile(stick)
    return float(np.interp(position_mm, positions, diameters))


def diameter_profile(stick: Stick) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Return positions and diameters between which the stick tapers straight. [mm], [mm]"""
    knots = {0.0: stick.base_mm, stick.length_mm: stick.tip_mm}
    knots.update((reading.position_mm, reading.diameter_mm) for reading in stick.readings)
    positions = tuple(sorted(knots))
    return positions, tuple(knots[position] for position in positions)


def usable_zone_mm(stick: Stick) -> tuple[float, float]:
    """Return where the usable wood begins and ends, from the base. [mm]

    Unless told, the lowest 6 % and the highest 12 % are left out (common practice, no source).
    """
    begin, end = stick.usable_from_mm, stick.usable_to_mm
    return (
        _USABLE_FROM_FRACTION * stick.length_mm if begin is None else begin,
        _USABLE_TO_FRACTION * stick.length_mm if end is None else end,
    )


def bud_positions_mm(stick: Stick) -> tuple[float, ...]:
    """Return the buds from the base up, placed evenly if only their count is known. [mm]"""
    if stick.buds_mm or not stick.bud_count:
        return stick.buds_mm
    spacing_mm = stick.length_mm / stick.bud_count
    return tuple((number + 0.5) * spacing_mm for number in range(stick.bud_count))


def are_buds_assumed(stick: Stick) -> bool:
    """Say whether the buds were placed by rule instead of measured."""
    return not stick.buds_mm and bool(stick.bud_count)


def typical_bud_count(length_mm: float) -> int:
    """Guess how many buds a vigorous shoot of this length carries.

    One bud every 34 mm, from memory, no survey found. Only for a bundle nobody counted: the
    sticks made from it are flagged as assumed.
    """
    _check_between(say("length of a stick"), length_mm, 1.0, _LONGEST_STICK_MM)
    return max(1, round(length_mm / _TYPICAL_INTERNODE_MM))


def _check_between(what: str, value: float, lowest: float, highest: float) -> None:
    if not (isfinite(value) and lowest <= value <= highest):
        raise OutOfRange(
            told(
                "{what} is {value}; expected a number from {lowest:g} to {highest:g}; "
                "measure again",
                what=what,
                value=value,
                lowest=lowest,
                highest=highest,
            )
        )


def _check_diameter(what: str, diameter_mm: float) -> None:
    if not (isfinite(diameter_mm) and 0.5 <= diameter_mm <= _LARGEST_DIAMETER_MM):
        raise OutOfRange(
            told(
                "{what} has a diameter of {diameter_mm} mm; expected 0.5 to "
                "{LARGEST_DIAMETER_MM:g} mm; measure again",
                what=what,
                diameter_mm=diameter_mm,
                LARGEST_DIAMETER_MM=_LARGEST_DIAMETER_MM,
            )
        )


def _check_way_up(stick: Stick) -> None:
    if stick.tip_mm > stick.base_mm + _TIP_OVER_BASE_MM:
        raise OutOfRange(
            told(
                "stick {stick_name} measures {base_mm} mm at its base and {tip_mm} mm "
                "at its tip; a shoot is thicker below; turn it round or measure again",
                stick_name=stick.name,
                base_mm=stick.base_mm,
                tip_mm=stick.tip_mm,
            )
        )


def _check_buds(stick: Stick) -> None:
    if stick.bud_count is not None and stick.buds_mm:
        raise OutOfRange(
            told(
                "stick {stick_name} has {count} placed buds and a bud count of "
                "{bud_count}; expected one or the other; leave out the count",
                stick_name=stick.name,
                count=len(stick.buds_mm),
                bud_count=stick.bud_count,
            )
        )
    if stick.bud_count is not None and not 0 <= stick.bud_count <= 400:
        raise OutOfRange(
            told(
                "stick {stick_name} has {bud_count} buds; expected 0 to 400; count again",
                stick_name=stick.name,
                bud_count=stick.bud_count,
            )
        )
    below = (0.0, *stick.buds_mm[:-1]) if stick.buds_mm else ()
    for lower_mm, bud_mm in zip(below, stick.buds_mm, strict=True):
        if not (isfinite(bud_mm) and lower_mm <= bud_mm <= stick.length_mm):
            raise OutOfRange(
                told(
                    "stick {stick_name} has a bud at {bud_mm} mm after one at {lower_mm} "
                    "mm on {length_mm} mm; expected buds from base to tip; sort or measure "
                    "them again",
                    stick_name=stick.name,
                    bud_mm=bud_mm,
                    lower_mm=lower_mm,
                    length_mm=stick.length_mm,
                )
            )


def _check_usable_zone(stick: Stick) -> None:
    begin_mm, end_mm = usable_zone_mm(stick)
    if not 0.0 <= begin_mm <= end_mm <= stick.length_mm:
        raise OutOfRange(
            told(
                "stick {stick_name} is usable from {begin_mm} to {end_mm} mm of "
                "{length_mm} mm; expected both on the stick, the lower one first; "
                "correct the zone",
                stick_name=stick.name,
                begin_mm=begin_mm,
                end_mm=end_mm,
                length_mm=stick.length_mm,
            )
        )


def _check_readings(stick: Stick) -> None:
    for reading in stick.readings:
        if reading.position_mm > stick.length_mm:
            raise OutOfRange(
                told(
                    "stick {stick_name} has a reading at {position_mm} mm but is "
                    "{length_mm} mm long; expected readings on the stick; measure again",
                    stick_name=stick.name,
                    position_mm=reading.position_mm,
                    length_mm=stick.length_mm,
                )
            )
