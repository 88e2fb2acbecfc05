"""How the trade's figures read on a page: days, lengths, counts, chances, money.

Every filter takes a plain value of the core and gives words; none of them decides anything.
"""

from collections.abc import Sequence
from datetime import date
from math import ceil, floor

from django import template
from django.template import Context
from django.utils.html import format_html
from django.utils.safestring import SafeString

from graftwright import tongue
from graftwright.notebook.doubts import doubt_words, signs_words
from graftwright.season.planned import DateBand
from graftwright.tongue import ENGLISH, capital, day_and_month, language, number, say, told
from graftwright.web.standing_on import LengthUnit

register = template.Library()

_MM_PER_INCH = 25.4
_FINE_INCHES = 2.0
_CURRENCY_SIGNS = {"GBP": "£", "EUR": "€", "USD": "$", "NZD": "NZ$", "AUD": "A$", "CAD": "C$"}
_HARD_SPACE = "\u00a0"
_NUMBER_WORDS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")


@register.filter
def day(value: date | None) -> str:
    """Return a day as 17 February 2009; words where there is none."""
    return tongue.full_day(value) if value else say("no day set")


@register.filter
def day_of_year(value: date | None) -> str:
    """Return a day without its year, as 17 February."""
    return day_and_month(value) if value else say("no day set")


@register.filter
def band(value: DateBand) -> str:
    """Return a date with its width, as 5 April (25 March to 22 April)."""
    if value.middle_on is None:
        return (
            told("not before {day_of_year}", day_of_year=day_of_year(value.early_on))
            if value.early_on
            else say("not to be told")
        )
    early_on = value.early_on or value.middle_on
    same_month = value.late_on is not None and early_on.month == value.late_on.month
    early = _day_alone(early_on) if same_month else day_of_year(early_on)
    late = day_of_year(value.late_on) if value.late_on else say("later still in cold years")
    return told(
        "{day_of_year} ({early} to {late})",
        day_of_year=day_of_year(value.middle_on),
        early=early,
        late=late,
    )


def _day_alone(on: date) -> str:
    return say("{day} of the month").format(day=on.day) if language() != ENGLISH else str(on.day)


@register.filter
def percent(fraction: float) -> str:
    """Return a chance as a percentage; certainty is never claimed."""
    if 0.995 <= fraction < 1.0:
        return say("over 99%")
    if 0.0 < fraction < 0.005:
        return say("under 1%")
    return told("{hundredths:.0f}%", hundredths=fraction * 100)


@register.filter
def in_ten(fraction: float) -> str:
    """Return a chance in everyday words, as 9 in 10."""
    tenths = floor(fraction * 10 + 0.5)
    if fraction >= 0.95:
        return say("nearly certain")
    if fraction < 0.05:
        return say("hardly any chance")
    return told("about {tenths} in 10", tenths=tenths)


@register.simple_tag
def chance_words(chance_fraction: float, wanted_fraction: float) -> str:
    """Return a chance beside the sureness wanted, so that a hair short never reads as enough."""
    chance, wanted = percent(chance_fraction), percent(wanted_fraction)
    if chance_fraction < wanted_fraction and chance == wanted:
        return told("just short of the {wanted} wanted", wanted=wanted)
    return told("{chance}, {wanted} wanted", chance=chance, wanted=wanted)


@register.simple_tag
def of_ten(low_fraction: float, high_fraction: float) -> str:
    """Return a range as between 6 and 9 of 10."""
    low, high = (floor(f * 10 + 0.5) for f in (low_fraction, high_fraction))
    return (
        told("about {low} of 10", low=low)
        if low == high
        else told("between {low} and {high} of 10", low=low, high=high)
    )


@register.filter
def counted(count: int, words: str) -> str:
    """Return a count with its word: `3|counted:"graft,grafts"` gives 3 grafts."""
    one, many = words.split(",")
    return tongue.counted(count, one, many)


@register.filter
def in_words(count: int) -> str:
    """Return a small count as a word, a large one as figures."""
    spelt = language() == ENGLISH and 0 <= count < len(_NUMBER_WORDS)
    return _NUMBER_WORDS[count] if spelt else str(count)


@register.simple_tag(takes_context=True)
def length(context: Context, value_mm: float) -> str:
    """Return a length in the unit the reader chose, with its unit."""
    return length_words(value_mm, _unit(context))


@register.simple_tag(takes_context=True)
def length_range(context: Context, low_mm: float, high_mm: float) -> str:
    """Return a range of lengths in the unit the reader chose."""
    unit = _unit(context)
    low, high = length_words(low_mm, unit), length_words(high_mm, unit)
    low_figure, sign = low.rsplit(_HARD_SPACE, 1)
    return (
        told("{low_figure} to {high}", low_figure=low_figure, high=high)
        if high.endswith(sign)
        else told("{low} to {high}", low=low, high=high)
    )


def _unit(context: Context) -> LengthUnit:
    unit: object = context.get("unit")
    return unit if isinstance(unit, LengthUnit) else LengthUnit.MM


@register.filter
def unit_words(unit: LengthUnit) -> str:
    """Return the name of a unit as a sentence uses it."""
    return say("millimetres") if unit is LengthUnit.MM else say("inches")


def length_words(value_mm: float, unit: LengthUnit) -> str:
    """Return a length as 9.5 mm, 120 mm, 3/8 in or 4 3/4 in."""
    if unit is LengthUnit.MM:
        figure = number(value_mm, ".0f" if value_mm >= 30 else ".1f")
        return f"{figure}{_HARD_SPACE}mm"
    return f"{_inches(value_mm / _MM_PER_INCH)}{_HARD_SPACE}in"


def _inches(inches: float) -> str:
    parts = 64 if inches < _FINE_INCHES else 8
    whole, rest = divmod(floor(inches * parts + 0.5), parts)
    while rest and rest % 2 == 0:
        rest, parts = rest // 2, parts // 2
    fraction = f"{rest}/{parts}" if rest else ""
    return f"{whole} {fraction}".strip() if whole else fraction or "0"


@register.filter
def money(amount: float, currency: str) -> str:
    """Return an amount in its currency, as £12.40."""
    sign = _CURRENCY_SIGNS.get(currency)
    figures = number(amount, ",.2f")
    if language() != ENGLISH:
        return f"{figures}{_HARD_SPACE}{sign or currency}"
    return f"{sign}{figures}" if sign else f"{figures}{_HARD_SPACE}{currency}"


@register.filter
def time_taken(minutes: float) -> str:
    """Return a stretch of time as 1 h 35 min."""
    hours, rest = divmod(floor(minutes + 0.5), 60)
    parts = [f"{hours}{_HARD_SPACE}h"] if hours else []
    parts += [f"{rest}{_HARD_SPACE}min"] if rest or not hours else []
    return " ".join(parts)


@register.filter
def hours(value_h: float) -> str:
    """Return hours as 4 h 46 min."""
    return time_taken(value_h * 60)


@register.filter
def amount(value: float, unit: str) -> str:
    """Return what is needed of a material, rounded up to what can be counted or weighed out."""
    rounded = ceil(value) if value >= 10 or unit.startswith("piece") else ceil(value * 10) / 10
    return (
        number(rounded, ",.0f")
        if unit.startswith("piece")
        else f"{figure(rounded)}{_HARD_SPACE}{unit}"
    )


@register.filter
def figure(value: float) -> str:
    """Return a number without needless decimals."""
    if abs(value - round(value)) < 0.005:
        return number(value, ",.0f")
    return number(value, ",.2f").rstrip("0")


@register.filter
def listed(words: Sequence[str]) -> str:
    """Return words as a list in a sentence: a, b and c."""
    heard = [say(one) for one in words]
    if len(heard) < 2:
        return tongue.joined(heard)
    return told("{listed} and {words}", listed=tongue.joined(heard[:-1]), words=heard[-1])


@register.filter
def doubt(words: str) -> str:
    """Return a doubt as the reader hears it; it is kept in English."""
    return doubt_words(words)


@register.filter
def signs(words: str) -> str:
    """Return what an opened graft showed as the reader hears it."""
    return signs_words(words)


@register.filter
def said(words: str) -> str:
    """Return words of a closed list in the language spoken now."""
    return say(str(words))


@register.filter
def tree(name: str) -> SafeString:
    """Return the name of a tree in the face kept for names of trees."""
    return format_html('<span class="tree">{}</span>', name)


@register.filter
def sentence(words: str) -> str:
    """Return words with a capital at their head and a full stop at their end."""
    text = str(words).strip()
    if not text:
        return ""
    return text[0].upper() + text[1:] + ("" if text[-1] in ".!?:" else ".")


@register.filter
def share(fraction: float) -> str:
    """Return a fraction as SVG takes a place along a line."""
    return f"{min(1.0, max(0.0, fraction)) * 100:.2f}%"


@register.filter
def sentence_head(words: str) -> str:
    """Return words with a capital at their head."""
    return capital(words)


@register.filter
def table_name(file_name: str) -> str:
    """Return a table's file name as words: bench-days.csv gives Bench days."""
    return say(sentence_head(file_name.rsplit(".", 1)[0].replace("-", " ")))


@register.filter
def question_place(question_id: str) -> str:
    """Return where a question stood and what it was about, as words."""
    return sentence_head(question_id.replace("/", ", "))
