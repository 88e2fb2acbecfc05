"""The one seam through which texts reach a reader in the reader's language.

The English text is the message. What speaks another language is set at an edge with `speaking`,
for one page, one command or one paper; without it English is spoken and nothing is looked up.
What is stored, compared, parsed or exported never passes through here.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from datetime import date
from typing import Protocol

ENGLISH = "en"
_DECIMAL_COMMA = frozenset({"de"})
_SWAPPED = str.maketrans(".,", ",.")


class Catalogue(Protocol):
    """The messages of one language, as the standard library's gettext has them."""

    def gettext(self, message: str, /) -> str:
        """Return a message in this language, or itself where it is not known."""
        ...

    def ngettext(self, one: str, many: str, count: int, /) -> str:
        """Return the form of a message that goes with a count."""
        ...


_CATALOGUE: ContextVar[Catalogue | None] = ContextVar("catalogue", default=None)
_LANGUAGE: ContextVar[str] = ContextVar("language", default=ENGLISH)


@contextmanager
def speaking(catalogue: Catalogue | None, *, language: str) -> Iterator[None]:
    """Speak one language within the block; `None` is English. Threads start in English."""
    before = _CATALOGUE.set(catalogue)
    named_before = _LANGUAGE.set(language)
    try:
        yield
    finally:
        _CATALOGUE.reset(before)
        _LANGUAGE.reset(named_before)


def language() -> str:
    """Return the language spoken now, as en or de: the key of whatever keeps texts."""
    return _LANGUAGE.get()


def say(message: str) -> str:
    """Return a message in the language spoken now; named fields are filled in afterwards."""
    catalogue = _CATALOGUE.get()
    # gettext keeps its own heading under the empty message
    return catalogue.gettext(message) if catalogue is not None and message else message


def says(one: str, many: str, count: int) -> str:
    """Return the form of a message that goes with a count, in the language spoken now."""
    catalogue = _CATALOGUE.get()
    if catalogue is not None:
        return catalogue.ngettext(one, many, count)
    return one if count == 1 else many


def marked(message: str) -> str:
    """Return a message as it is: it is said later, where it is shown."""
    return message


def number(value: float, form: str = "") -> str:
    """Return a number with the decimal sign of the language; `form` as for `format`."""
    text = format(value, form)
    return text.translate(_SWAPPED) if language() in _DECIMAL_COMMA else text


_MONTHS = (
    *(marked("January"), marked("February"), marked("March"), marked("April")),
    *(marked("May"), marked("June"), marked("July"), marked("August")),
    *(marked("September"), marked("October"), marked("November"), marked("December")),
)
_SHORT_MONTHS = (
    *(marked("Jan"), marked("Feb"), marked("Mar"), marked("Apr"), marked("May"), marked("Jun")),
    *(marked("Jul"), marked("Aug"), marked("Sep"), marked("Oct"), marked("Nov"), marked("Dec")),
)
_WEEKDAYS = (
    *(marked("Monday"), marked("Tuesday"), marked("Wednesday"), marked("Thursday")),
    *(marked("Friday"), marked("Saturday"), marked("Sunday")),
)


def month_name(month: int) -> str:
    """Return the name of a month, 1 to 12."""
    return say(_MONTHS[month - 1])


def short_month_name(month: int) -> str:
    """Return the name of a month, 1 to 12, in three letters or so."""
    return say(_SHORT_MONTHS[month - 1])


def weekday_name(on: date) -> str:
    """Return the name of the day of the week."""
    return say(_WEEKDAYS[on.weekday()])


def day_and_month(on: date) -> str:
    """Return a day without its year, as 17 February."""
    return say("{day} {month}").format(day=on.day, month=month_name(on.month))


def full_day(on: date) -> str:
    """Return a day with its year, as 17 February 2009."""
    return say("{day} {month} {year}").format(
        day=on.day, month=month_name(on.month), year=f"{on.year:04d}"
    )
