"""What a column's cells say together: its unit, its commas, the order of its dates, its clock.

What they leave open becomes a question; an answer given settles it.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import UTC, tzinfo
from statistics import fmean, median
from typing import Final
from zoneinfo import ZoneInfo

from graftwright.errors import GraftwrightError, NotUnderstood
from graftwright.intake.column import Column, Kind
from graftwright.intake.dates import Order, has_two_orders, names_zone, order_evidence
from graftwright.intake.headers import Head, key_of
from graftwright.intake.lists import parts_of
from graftwright.intake.numbers import (
    Decimal,
    decimal_evidence,
    has_two_readings,
    number_from_text,
)
from graftwright.intake.reading import Answers, Question, Remark, checked
from graftwright.intake.tables import Cell
from graftwright.intake.units import ASK, MM_PER_UNIT, TEMPERATURE_UNITS, unit_of_text
from graftwright.tongue import say, told

_LENGTHS: Final = (Kind.LENGTH, Kind.LENGTHS, Kind.RANGE)
_NUMBERS: Final = (*_LENGTHS, Kind.COUNT, Kind.NUMBER, Kind.MONEY, Kind.FRACTION, Kind.TEMPERATURE)
_ZONES: Final = ("UTC", "Europe/London", "Europe/Berlin", "America/New_York")
_MEAN_FROM_WHICH_ASKED, _TOP_FROM_WHICH_ASKED = 20.0, 45.0
"""A file of air temperatures in °C seldom has such a mean or top; one in °F nearly always has
(common practice, no source)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Context:
    """All that is needed to read a cell of one column."""

    column: Column
    head: str
    unit: str = ""
    decimal: Decimal = Decimal.UNSAID
    order: Order | None = None
    zone: tzinfo | None = None
    questions: tuple[Question, ...] = ()
    remarks: tuple[Remark, ...] = ()

    def question_for(self, cell: Cell) -> str:
        """Return the id of the open question that this cell waits for, empty if there is none."""
        text = cell if isinstance(cell, str) else ""
        for question in self.questions:
            if question.question_id.endswith("/decimal") and not has_two_readings(text):
                continue
            return question.question_id
        return ""


def context_of(
    table: str, head: Head, column: Column, cells: Sequence[Cell], *, answers: Answers, warmth: str
) -> Context:
    """Return what is known of a column; `warmth` is the unit of the sheet's temperatures."""
    place = (table, head.text)
    filled = [cell for cell in cells if cell is not None]
    texts = [cell for cell in filled if isinstance(cell, str)]
    context = Context(column=column, head=head.text, unit=head.unit or column.unit)
    if column.kind in _NUMBERS:
        context = _with_decimal(context, place, texts, answers)
    if column.kind in _LENGTHS and not head.unit:
        context = _with_length_unit(context, place, filled, answers)
    if column.kind is Kind.TEMPERATURE and not head.unit:
        context = replace(context, unit=warmth)
        if warmth != ASK and _bare_numbers(column, filled, context.decimal):
            context = _saying(
                context,
                place,
                told(
                    "column {head!r} names no unit; read as {warmth}", head=head.text, warmth=warmth
                ),
            )
    if column.kind in (Kind.DATE, Kind.INSTANT):
        context = _with_order(context, place, filled, answers)
    if column.kind is Kind.INSTANT:
        context = _with_zone(context, place, filled, answers)
    return context


def _asking(context: Context, question: Question) -> Context:
    return replace(context, questions=(*context.questions, question))


def _saying(context: Context, place: tuple[str, str], words: str) -> Context:
    remark = Remark(sheet=place[0], row_number=0, words=words)
    return replace(context, remarks=(*context.remarks, remark))


def _question(place: tuple[str, str], about: str, words: str, choices: Sequence[str]) -> Question:
    table, head = place
    return Question(
        question_id=f"{table}/{head}/{about}",
        sheet=table,
        column=head,
        words=words,
        choices=tuple(str(choice) for choice in choices),
    )


def _with_decimal(
    context: Context, place: tuple[str, str], texts: Sequence[str], answers: Answers
) -> Context:
    evidence = decimal_evidence(texts)
    unclear = next((text for text in texts if has_two_readings(text)), None)
    if evidence is not Decimal.UNSAID or unclear is None:
        return replace(context, decimal=evidence)
    question = _question(
        place,
        "decimal",
        told(
            "{unclear!r} in column {place!r}: does the comma part off decimals or thousands?",
            unclear=unclear,
            place=place[1],
        ),
        (Decimal.COMMA, Decimal.POINT),
    )
    if answer := checked(question, answers):
        return replace(context, decimal=Decimal(answer))
    return _asking(context, question)


def _bare_numbers(column: Column, cells: Sequence[Cell], decimal: Decimal) -> list[float]:
    numbers = [cell for cell in cells if isinstance(cell, float)]
    for text in (cell for cell in cells if isinstance(cell, str)):
        for part in parts_of(text, column.kind) if not unit_of_text(text) else ():
            try:
                numbers.append(number_from_text(part, decimal=decimal))
            except GraftwrightError:
                continue  # a bad cell says nothing of the unit; it is listed when it is read
    return numbers


def _with_length_unit(
    context: Context, place: tuple[str, str], cells: Sequence[Cell], answers: Answers
) -> Context:
    column = context.column
    numbers = _bare_numbers(column, cells, context.decimal)
    if not numbers:
        return context
    units = _fitting_units(column, median(numbers))
    bare = (cell for cell in cells if isinstance(cell, str) and not unit_of_text(cell))
    if column.kind is Kind.LENGTH and any("/" in cell for cell in bare):
        units = [*units, "in"]
    if not units or set(units) == {column.unit}:
        words = told(
            "column {place!r} names no unit; read as {unit}, as no other fits",
            place=place[1],
            unit=column.unit,
        )
        return _saying(context, place, words)
    choices = tuple(dict.fromkeys((column.unit, *units)))
    question = _question(
        place,
        "unit",
        told(
            "column {place!r} names no unit and its usual value is {median:g}: what is it in?",
            place=place[1],
            median=median(numbers),
        ),
        choices,
    )
    if answer := checked(question, answers):
        return replace(context, unit=answer)
    return _asking(replace(context, unit=ASK), question)


def _fitting_units(column: Column, usual: float) -> list[str]:
    if column.plausible is None:
        return ["mm", "cm", "in"]
    low, high = column.plausible
    factor = MM_PER_UNIT[column.unit]
    return [unit for unit, mm in MM_PER_UNIT.items() if low <= usual * mm / factor <= high]


def _with_order(
    context: Context, place: tuple[str, str], cells: Sequence[Cell], answers: Answers
) -> Context:
    unclear = next((cell for cell in cells if has_two_orders(cell)), None)
    if unclear is None:
        return context
    evidence, example = order_evidence(cells)
    if evidence is not None:
        words = told(
            "column {place!r}: {unclear} and dates like it were read {evidence}, "
            "because {example} can only be read so",
            place=place[1],
            unclear=unclear,
            evidence=evidence,
            example=example,
        )
        return _saying(replace(context, order=evidence), place, words)
    question = _question(
        place,
        say("date order"),
        told(
            "{unclear} in column {place!r}: which comes first, the day or the month?",
            unclear=unclear,
            place=place[1],
        ),
        tuple(Order),
    )
    if answer := checked(question, answers):
        return replace(context, order=Order(answer))
    return _asking(context, question)


def _with_zone(
    context: Context, place: tuple[str, str], cells: Sequence[Cell], answers: Answers
) -> Context:
    said = {"utc", "gmt", "z"} & set(key_of(place[1]).split())
    if said or all(names_zone(cell) for cell in cells):
        return replace(context, zone=UTC)
    question = _question(
        place,
        "clock",
        told(
            "by which clock are the times in column {place!r}? Any name such as "
            "Europe/Paris will do; UTC if the logger was never changed to summer "
            "time in Britain",
            place=place[1],
        ),
        _ZONES,
    )
    answer = answers.to(question.question_id)
    if not answer:
        return _asking(context, question)
    try:
        return replace(context, zone=ZoneInfo(answer))
    except (ValueError, OSError, KeyError) as wrong:
        raise NotUnderstood(
            told(
                "{answer!r} is the name of no clock; expected such as {listed}",
                answer=answer,
                listed=", ".join(_ZONES),
            )
        ) from wrong


def warmth_unit(
    table: str, columns: Sequence[tuple[Head, Sequence[Cell]]], answers: Answers
) -> tuple[str, Question | None]:
    """Return the unit of a sheet's temperatures where no head says it, ASK with the question.

    All such columns share one unit: a sheet in which only the highest look warm is not in two.
    """
    numbers: list[float] = []
    for head, cells in columns:
        if head.column is not None and head.column.kind is Kind.TEMPERATURE and not head.unit:
            texts = [cell for cell in cells if isinstance(cell, str)]
            numbers += _bare_numbers(head.column, cells, decimal_evidence(texts))
    cool = not numbers or (
        fmean(numbers) <= _MEAN_FROM_WHICH_ASKED and max(numbers) <= _TOP_FROM_WHICH_ASKED
    )
    if cool:
        return "°C", None
    question = Question(
        question_id=f"{table}/temperature/unit",
        sheet=table,
        column="temperature",
        words=told(
            "temperatures up to {numbers:g} with no unit named: °C or °F?", numbers=max(numbers)
        ),
        choices=TEMPERATURE_UNITS,
    )
    answer = checked(question, answers)
    return (answer, None) if answer else (ASK, question)
