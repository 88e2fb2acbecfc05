"""Lengths and temperatures as people write them, turned to mm, m and °C once, here.

An inch is 25.4 mm and 32 °F is 0 °C, both exactly, by definition.
"""

import re
from datetime import date
from typing import Final

from graftwright.errors import Ambiguous, NotUnderstood
from graftwright.intake.numbers import Decimal, number_from_text, plain_signs
from graftwright.intake.tables import Cell, shown
from graftwright.tongue import told

MM_PER_UNIT: Final = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": 25.4, "ft": 304.8}
TEMPERATURE_UNITS: Final = ("°C", "°F")
ASK: Final = "?"
"""A column whose unit must be asked."""

_UNIT_WORDS: Final = {
    "mm": "mm", "millimetre": "mm", "millimetres": "mm", "millimeter": "mm", "millimeters": "mm",
    "cm": "cm", "centimetre": "cm", "centimetres": "cm", "centimeter": "cm", "centimeters": "cm",
    "m": "m", "metre": "m", "metres": "m", "meter": "m", "meters": "m",
    "in": "in", "inch": "in", "inches": "in", "ins": "in",
    "ft": "ft", "foot": "ft", "feet": "ft",
    "°c": "°C", "c": "°C", "degc": "°C", "celsius": "°C", "centigrade": "°C",
    "°f": "°F", "f": "°F", "degf": "°F", "fahrenheit": "°F",
}  # fmt: skip
_BARE: Final = re.compile(r"-?[0-9]+(?:[.,][0-9]+)?")
_FEET_AND_INCHES: Final = re.compile(r"([0-9]{1,3}) ?(?:ft|feet|') ?(.+?) ?(?:in|inch|inches)\.?")
_WITH_UNIT: Final = re.compile(r"(.*?[0-9/.]) ?([a-z°]+)\.?")


def unit_called(word: str) -> str:
    """Return the unit a word stands for, empty if it is none."""
    return _UNIT_WORDS.get(word.casefold().rstrip("."), "")


def unit_signs_spelt(text: str) -> str:
    """Return text with inch and foot marks and degree signs spelt as units."""
    if _BARE.fullmatch(text):
        return text
    text = re.sub(r"''|[\"″”“]", " in ", plain_signs(text))
    text = re.sub(r"(?<=[0-9])\s*[′’'](?![a-z])", " ft ", text)
    text = re.sub(r"(?:º|°|\bdeg(?:rees?)?\.?)\s*([cCfF])(?:elsius|ahrenheit)?\b", r" °\1 ", text)
    return " ".join(text.split())


def unit_of_text(text: str) -> str:
    """Return the unit written at the end of a value, empty if there is none."""
    match = _WITH_UNIT.fullmatch(unit_signs_spelt(text).casefold())
    return unit_called(match[2]) if match else ""


def length_from_cell(cell: Cell, *, kept_in: str, head_unit: str, decimal: Decimal) -> float:
    """Return a length in the unit it is kept in ("mm" or "m").

    `head_unit` is the unit at the head of the column; ASK if it is not known. Raises NotUnderstood,
    or Ambiguous where the unit must be asked first.
    """
    unit, number = _unit_and_number(cell, head_unit, decimal)
    if unit == ASK:
        raise Ambiguous(told("{shown} has no unit; say which the column is in", shown=shown(cell)))
    if unit not in MM_PER_UNIT:
        raise NotUnderstood(
            told("{shown} is no length; expected such as 9.5 mm or 3/8 in", shown=shown(cell))
        )
    return number * MM_PER_UNIT[unit] / MM_PER_UNIT[kept_in]


def temperature_from_cell(cell: Cell, *, head_unit: str, decimal: Decimal) -> float:
    """Return a temperature [°C]; `head_unit` as for lengths. Raises NotUnderstood or Ambiguous."""
    unit, number = _unit_and_number(cell, head_unit, decimal)
    if unit == ASK:
        raise Ambiguous(
            told("{shown} has no unit; say whether the column is in °C or °F", shown=shown(cell))
        )
    if unit not in TEMPERATURE_UNITS:
        raise NotUnderstood(
            told("{shown} is no temperature; expected such as 4.5 or 40 °F", shown=shown(cell))
        )
    return (number - 32.0) / 1.8 if unit == "°F" else number


def _unit_and_number(cell: Cell, head_unit: str, decimal: Decimal) -> tuple[str, float]:
    if isinstance(cell, float):
        return head_unit, cell
    if isinstance(cell, bool):
        raise NotUnderstood(
            told("{shown} is no measure; expected a number with its unit", shown=shown(cell))
        )
    if isinstance(cell, date):
        raise NotUnderstood(
            told(
                "{shown} is a date; expected a measure. Spreadsheets turn 3/8 or 6-8 "
                "into a date: set the cell to text and write it again",
                shown=shown(cell),
            )
        )
    return _read_text(cell or "", head_unit, decimal)


def _read_text(text: str, head_unit: str, decimal: Decimal) -> tuple[str, float]:
    spelt = unit_signs_spelt(text).casefold()
    if feet := _FEET_AND_INCHES.fullmatch(spelt):
        return "in", 12.0 * int(feet[1]) + number_from_text(feet[2], decimal=decimal)
    match = _WITH_UNIT.fullmatch(spelt)
    if match is None:
        number = number_from_text(spelt, decimal=decimal)
        if "/" in spelt and head_unit in ("mm", "cm", "m"):
            raise NotUnderstood(
                told(
                    "{text} is a fraction in a column of {head_unit}; write {text} in if "
                    "inches are meant, or {number:g}",
                    text=text,
                    head_unit=head_unit,
                    number=number,
                )
            )
        return head_unit, number
    unit = unit_called(match[2])
    if not unit:
        raise NotUnderstood(
            told("{text!r} ends in no unit known here; expected mm, cm, m, in, ft", text=text[:80])
        )
    return unit, number_from_text(match[1], decimal=decimal)
