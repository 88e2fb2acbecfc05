"""One cell turned into the value its column keeps, or refused with the reason."""

from collections.abc import Mapping
from datetime import date
from functools import cache
from typing import Final

from graftwright.errors import NotUnderstood, OutOfRange
from graftwright.intake.column import Column, Kind
from graftwright.intake.contexts import Context
from graftwright.intake.dates import date_from_cell, instant_from_cell
from graftwright.intake.headers import key_of
from graftwright.intake.lists import codes_of, parts_of
from graftwright.intake.numbers import (
    count_from_number,
    hours_from_text,
    number_from_text,
    price_from_text,
    share_from_number,
    share_from_text,
)
from graftwright.intake.tables import Cell, shown
from graftwright.intake.units import length_from_cell, temperature_from_cell, unit_of_text
from graftwright.notebook.written import Plain
from graftwright.tagcode import read_code
from graftwright.tongue import told

_YES: Final = frozenset(["yes", "y", "true", "1", "x", "✓", "✔", "ja", "oui", "si"])
_NO: Final = frozenset(["no", "n", "false", "0", "-", "–", "✗", "nein", "non"])
_ERRORS: Final = ("#REF!", "#N/A", "#VALUE!", "#DIV/0!", "#NAME?", "#NULL!", "#NUM!")


def value_from_cell(cell: Cell, context: Context) -> Plain:
    """Return the value as plain data. Raises NotUnderstood, OutOfRange, UnknownCode, Ambiguous."""
    if isinstance(cell, str) and cell.upper() in _ERRORS:
        raise NotUnderstood(
            told("{cell} is a spreadsheet's error; mend the formula or type the value", cell=cell)
        )
    match context.column.kind:
        case Kind.TEXT:
            return shown(cell)
        case Kind.CHOICE:
            return _choice(cell, context.column)
        case Kind.YES_NO:
            return _yes_or_no(cell)
        case Kind.CODE:
            return read_code(shown(cell))
        case Kind.CODES:
            return [*codes_of(shown(cell))]
        case Kind.DATE:
            return date_from_cell(cell, order=context.order).isoformat()
        case Kind.INSTANT:
            return instant_from_cell(cell, order=context.order, zone=context.zone).isoformat()
        case Kind.LENGTHS | Kind.RANGE:
            return [*_lengths(cell, context)]
        case _:
            return _number(cell, context)


def expected_of(column: Column) -> str:
    """Return in words what may stand in a column."""
    said = f"{column.name}: {column.kind}"
    if column.choices:
        said += f" ({', '.join(choice.word for choice in column.choices)})"
    if column.unit:
        said += told(" in {unit}", unit=column.unit)
    if column.allowed:
        said += told(
            " from {allowed:.12g} to {allowed_2:.12g}",
            allowed=column.allowed[0],
            allowed_2=column.allowed[1],
        )
    return told("{said}, such as {example}", said=said, example=column.example)


@cache
def _words(column: Column) -> Mapping[str, str]:
    by_key = {}
    for choice in column.choices:
        for word in (*choice.also, choice.word):
            by_key[_choice_key(word)] = choice.word
    return by_key


def _choice_key(text: str) -> str:
    return key_of(text) or text.strip()


def _choice(cell: Cell, column: Column) -> str:
    word = _words(column).get(_choice_key(shown(cell)))
    if word is None:
        raise NotUnderstood(
            told(
                "{shown!r} is none of: {listed}",
                shown=shown(cell)[:80],
                listed=", ".join(c.word for c in column.choices),
            )
        )
    return word


def _yes_or_no(cell: Cell) -> bool:
    if isinstance(cell, bool):
        return cell
    word = shown(cell).casefold().strip(". ")
    if word in _YES or word in _NO:
        return word in _YES
    raise NotUnderstood(told("{shown!r} is neither yes nor no", shown=shown(cell)[:80]))


def _number(cell: Cell, context: Context) -> Plain:
    column = context.column
    if column.kind is Kind.LENGTH:
        number = length_from_cell(
            cell, kept_in=column.unit, head_unit=context.unit, decimal=context.decimal
        )
    elif column.kind is Kind.TEMPERATURE:
        number = temperature_from_cell(cell, head_unit=context.unit, decimal=context.decimal)
    else:
        number = _plain_number(cell, context)
    number = round(number, 6)  # 3/8 in is 9.525 mm, not 9.524999999999999
    _check_allowed(number, column, cell)
    return count_from_number(number) if column.kind is Kind.COUNT else number


def _plain_number(cell: Cell, context: Context) -> float:
    kind, decimal = context.column.kind, context.decimal
    if isinstance(cell, float):
        return share_from_number(cell) if kind is Kind.FRACTION else cell
    if isinstance(cell, bool | date):
        raise NotUnderstood(
            told("{shown} is no number; set the cell to number, type it again", shown=shown(cell))
        )
    text = cell or ""
    if kind is Kind.FRACTION:
        return share_from_text(text, decimal=decimal)
    if kind is Kind.MONEY:
        return price_from_text(text, decimal=decimal)
    if context.column.unit == "h":
        return hours_from_text(text, decimal=decimal)
    return number_from_text(text, decimal=decimal)


def _check_allowed(number: float, column: Column, cell: Cell) -> None:
    if column.allowed is None:
        return
    low, high = column.allowed
    if not low <= number <= high:
        unit = f" {column.unit}" if column.unit else ""
        read_as = "" if shown(cell) == f"{number:g}" else f" ({number:g}{unit})"
        raise OutOfRange(
            told(
                "{shown}{read_as} is not from {low:.12g} to {high:.12g}{unit}",
                shown=shown(cell)[:80],
                read_as=read_as,
                low=low,
                high=high,
                unit=unit,
            )
        )


def _lengths(cell: Cell, context: Context) -> tuple[float, ...]:
    column = context.column
    if not isinstance(cell, str):
        cells: tuple[Cell, ...] = (cell,)
        unit = context.unit
    else:
        text, unit = _with_unit_taken_off(cell, context.unit)
        cells = parts_of(text, column.kind)
    if column.kind is Kind.RANGE and len(cells) != 2:
        raise NotUnderstood(
            told("{shown!r} is no from-to; expected such as 6-8 mm", shown=shown(cell)[:80])
        )
    lengths = tuple(
        round(
            length_from_cell(one, kept_in=column.unit, head_unit=unit, decimal=context.decimal), 6
        )
        for one in cells
    )
    for length in lengths:
        _check_allowed(length, column, cell)
    if column.kind is Kind.RANGE and lengths[0] > lengths[1]:
        raise OutOfRange(
            told(
                "{shown!r} runs from thick to thin; put the thin end first", shown=shown(cell)[:80]
            )
        )
    return lengths


def _with_unit_taken_off(text: str, unit: str) -> tuple[str, str]:
    """Return a list without the unit at its end: in 6-8 mm or 6; 7; 8 mm it counts for all."""
    last = unit_of_text(text)
    if not last:
        return text, unit
    bare = text.rstrip(" .\"'”″").rstrip("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ")
    return bare.strip(), last
