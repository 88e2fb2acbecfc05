"""The nursery's own facts: one value in each row, read as its fact asks."""

import re
from dataclasses import replace

from graftwright.errors import NotUnderstood, OutOfRange
from graftwright.intake.choices import Fact
from graftwright.intake.numbers import Decimal, number_from_text, price_from_text
from graftwright.intake.rows import FactRow
from graftwright.intake.units import length_from_cell
from graftwright.tongue import told


def with_number(row: FactRow) -> FactRow:
    """Return the row with its number where its fact has one. Raises NotUnderstood, OutOfRange."""
    match row.fact:
        case Fact.LATITUDE:
            return replace(row, number=_latitude_deg(row.value))
        case Fact.ALTITUDE:
            return replace(row, number=_altitude_m(row.value))
        case Fact.HOUR_PRICE:
            return replace(row, number=price_from_text(row.value))
        case _:
            return row


def _latitude_deg(text: str) -> float:
    bare = re.sub(r"[°º]|\bdeg(?:rees)?\b", " ", text)
    side = re.search(r"\b(north|south|n|s)\b\.?\s*$", bare.strip(), re.IGNORECASE)
    digits = bare.strip()[: side.start()] if side else bare
    number = number_from_text(digits)
    if side and number < 0:
        raise NotUnderstood(
            told("{text!r} has a sign and a letter; expected one of them", text=text)
        )
    if side and side[1].lower().startswith("s"):
        number = -number
    if not -90.0 <= number <= 90.0:
        raise OutOfRange(told("latitude {text!r}; expected 90 S to 90 N", text=text))
    return number


def _altitude_m(text: str) -> float:
    metres = length_from_cell(text, kept_in="m", head_unit="m", decimal=Decimal.UNSAID)
    if not -500.0 <= metres <= 6000.0:
        raise OutOfRange(told("altitude {text!r}; expected -500 to 6000 m", text=text))
    return round(metres, 1)
