"""Days, spans of days, counts and money, as a grafter writes them."""

from collections.abc import Sequence
from datetime import date
from math import ceil

from graftwright.season.planned import DateBand

MONTHS = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)
WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
_CURRENCY_SIGNS = {"GBP": "£", "EUR": "€", "USD": "$"}


def day_words(day: date) -> str:
    """Return a day with its year: 11 March 2027."""
    return f"{day.day} {MONTHS[day.month - 1]} {day.year}"


def short_day_words(day: date) -> str:
    """Return a day without its year: 11 Mar."""
    return f"{day.day} {MONTHS[day.month - 1][:3]}"


def short_dated_words(day: date) -> str:
    """Return a day with its year, short enough for a column: 11 Mar 2027."""
    return f"{short_day_words(day)} {day.year}"


def weekday_words(day: date) -> str:
    """Return a day with its weekday: Thursday 11 March 2027."""
    return f"{WEEKDAYS[day.weekday()]} {day_words(day)}"


def band_words(band: DateBand) -> str:
    """Return the early, middle and late day of a band in one line, saying what was not reached."""
    if band.early_on is None and band.middle_on is None and band.late_on is None:
        return "not reached"
    return " – ".join(
        "not reached" if day is None else short_day_words(day)
        for day in (band.early_on, band.middle_on, band.late_on)
    )


def band_sentence(band: DateBand) -> str:
    """Return a band as a sentence that names its three days."""
    parts = (
        ("early", band.early_on, "not reached even in an early year"),
        ("middle", band.middle_on, "not reached in half of the years"),
        ("late", band.late_on, "not reached in every late year"),
    )
    return (
        "; ".join(
            f"{name}: {missing}" if day is None else f"{name}: {day_words(day)}"
            for name, day, missing in parts
        )
        + "."
    )


def count_words(count: int, one: str, many: str | None = None) -> str:
    """Return a count with its noun: 1 graft, 12 grafts."""
    return f"{count:,} {one if count == 1 else many or one + 's'}"


def money(amount: float, *, currency: str) -> str:
    """Return an amount with the sign, or else the name, of its currency."""
    sign = _CURRENCY_SIGNS.get(currency)
    return f"{sign}{amount:,.2f}" if sign else f"{amount:,.2f} {currency}".strip()


def number_words(value: float) -> str:
    """Return a number without a tail of noughts: 12, 2.5."""
    return f"{value:,.1f}".removesuffix(".0")


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
    return f"{number_words(low_mm)}–{number_words(high_mm)} mm"


def number_span(numbers: Sequence[int]) -> str:
    """Return graft numbers with neighbours joined: 1–7, 9."""
    spans: list[list[int]] = []
    for number in sorted(numbers):
        if spans and number == spans[-1][1] + 1:
            spans[-1][1] = number
        else:
            spans.append([number, number])
    return ", ".join(str(low) if low == high else f"{low}–{high}" for low, high in spans)


def amount_words(amount: float, *, unit: str) -> str:
    """Return an amount of a material with its unit; pieces are whole, and rounded up."""
    if unit == "piece":
        return count_words(ceil(amount - 1e-9), "piece")
    return f"{amount:,.0f} {unit}" if amount >= 100.0 else f"{number_words(amount)} {unit}"
