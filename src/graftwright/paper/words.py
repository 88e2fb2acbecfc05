"""Days, spans of days, counts and money, as a grafter writes them."""

from collections.abc import Sequence
from datetime import date
from math import ceil

from graftwright.season.planned import DateBand
from graftwright.tongue import (
    ENGLISH,
    counted,
    full_day,
    language,
    number,
    say,
    short_day,
    told,
    weekday_name,
)

_CURRENCY_SIGNS = {"GBP": "£", "EUR": "€", "USD": "$"}


def day_words(day: date) -> str:
    """Return a day with its year: 11 March 2027."""
    return full_day(day)


def short_day_words(day: date) -> str:
    """Return a day without its year: 11 Mar."""
    return short_day(day)


def short_dated_words(day: date) -> str:
    """Return a day with its year, short enough for a column: 11 Mar 2027."""
    return f"{short_day_words(day)} {day.year}"


def weekday_words(day: date) -> str:
    """Return a day with its weekday: Thursday 11 March 2027."""
    return told("{weekday} {day}", weekday=weekday_name(day), day=day_words(day))


def band_words(band: DateBand) -> str:
    """Return the early, middle and late day of a band in one line, saying what was not reached."""
    if band.early_on is None and band.middle_on is None and band.late_on is None:
        return say("not reached")
    return " – ".join(
        say("not reached") if day is None else short_day_words(day)
        for day in (band.early_on, band.middle_on, band.late_on)
    )


def band_sentence(band: DateBand) -> str:
    """Return a band as a sentence that names its three days."""
    parts = (
        (say("early"), band.early_on, say("not reached even in an early year")),
        (say("middle"), band.middle_on, say("not reached in half of the years")),
        (say("late"), band.late_on, say("not reached in every late year")),
    )
    return (
        "; ".join(
            f"{name}: {missing}" if day is None else f"{name}: {day_words(day)}"
            for name, day, missing in parts
        )
        + "."
    )


def count_words(count: int, one: str, many: str) -> str:
    """Return a count with its noun: 1 graft, 12 grafts."""
    return counted(count, one, many)


def money(amount: float, *, currency: str) -> str:
    """Return an amount with the sign, or else the name, of its currency."""
    sign = _CURRENCY_SIGNS.get(currency)
    figures = number(amount, ",.2f")
    if language() != ENGLISH:
        return f"{figures} {sign or currency}".strip()
    return f"{sign}{figures}" if sign else f"{figures} {currency}".strip()


def number_words(value: float) -> str:
    """Return a number without a tail of noughts: 12, 2.5."""
    return number(value, ",.1f").removesuffix(".0").removesuffix(",0")


def percent(fraction: float) -> str:
    """Return a fraction as a whole percentage, never rounding a chance up to certainty.

    What is not nought or one is not printed as 0 % or 100 %.
    """
    if 0.0 < fraction < 0.005:
        return "<1 %"
    if 0.995 <= fraction < 1.0:
        return ">99 %"
    return f"{round(100 * fraction)} %"


def size_mm_words(low_mm: float, high_mm: float) -> str:
    """Return a span of thickness: 7–9 mm."""
    return told(
        "{number_words}–{number_words_2} mm",
        number_words=number_words(low_mm),
        number_words_2=number_words(high_mm),
    )


def number_span(numbers: Sequence[int]) -> str:
    """Return graft numbers with neighbours joined: 1–7, 9."""
    spans: list[list[int]] = []
    for one in sorted(numbers):
        if spans and one == spans[-1][1] + 1:
            spans[-1][1] = one
        else:
            spans.append([one, one])
    return ", ".join(str(low) if low == high else f"{low}–{high}" for low, high in spans)


def amount_words(amount: float, *, unit: str) -> str:
    """Return an amount of a material with its unit; pieces are whole, and rounded up."""
    if unit == "piece":
        return count_words(ceil(amount - 1e-9), "piece", "pieces")
    return (
        f"{number(amount, ',.0f')} {unit}" if amount >= 100.0 else f"{number_words(amount)} {unit}"
    )
