"""The one seam through which texts reach a reader in the reader's language.

The English text is the message. What speaks another language is set at an edge with `speaking`,
for one page, one command or one paper; without it English is spoken and nothing is looked up.
What is stored, compared, parsed or exported never passes through here.
"""

import re
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from datetime import date
from enum import StrEnum
from functools import cache
from string import Formatter
from typing import Any, Protocol, Self

ENGLISH = "en"
_DECIMAL_COMMA = frozenset({"de"})
_DAY_WITH_POINT = frozenset({"de"})
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
    return _form_of(one, many, count)


def _form_of(one: str, many: str, count: int) -> str:
    catalogue = _CATALOGUE.get()
    if catalogue is not None:
        return catalogue.ngettext(one, many, count)
    return one if count == 1 else many


class _Marked(str):
    """A message that stays English in memory and speaks the reader's language when printed.

    Compared, sorted, hashed, stored and joined it is the English text.
    """

    __slots__ = ("_fields", "_message")
    _message: str
    _fields: dict[str, object]

    def __new__(cls, message: str, fields: dict[str, object]) -> "_Marked":
        new = super().__new__(cls, message.format_map(fields) if fields else message)
        new._message, new._fields = message, fields
        return new

    def __reduce__(self) -> tuple[type["_Marked"], tuple[str, dict[str, object]]]:
        return (_Marked, (self._message, self._fields))

    def __str__(self) -> str:
        return told(self._message, **self._fields) if self._fields else say(self._message)

    def __format__(self, form: str) -> str:
        return format(str(self), form)

    def __mod__(self, values: Any) -> str:
        filled: str = str(self) % values
        return filled


def marked(message: str, /, **fields: object) -> str:
    """Return a message that says itself when it is printed: in a page, a field or an f-string."""
    return _Marked(message, fields)


class Choice(StrEnum):
    """A closed list of words: stored and compared in English, said when printed.

    Each value is a message. What is stored or handed to programs takes `value`, never `str`.
    """

    def __new__(cls, word: str) -> Self:
        """Keep the English word, whatever is spoken while the module is read."""
        member = str.__new__(cls, english(word))
        member._value_ = english(word)
        return member

    def __str__(self) -> str:
        return say(self._value_)

    def __format__(self, format_spec: str) -> str:
        return format(say(self._value_), format_spec)


class _Teller(Formatter):
    """Fills in the fields of a message as the language has them."""

    def format_field(self, value: Any, format_spec: str) -> str:
        if isinstance(value, float) or (format_spec and isinstance(value, int)):
            return number(value, format_spec)
        if isinstance(value, date) and format_spec:
            return _dated(value, format_spec)
        return format(value, format_spec)


_TELLER = _Teller()


def english(message: str) -> str:
    """Return a message as it is kept, for a field that the program reads back."""
    return str.__str__(message)


def told(message: str, /, **fields: object) -> str:
    """Return a message in the language spoken now with its named fields filled in.

    Choices and marked texts among the fields are said too; numbers and days are written as the
    language writes them.
    """
    if _CATALOGUE.get() is None:
        return message.format_map(fields)
    return _TELLER.vformat(say(message), (), fields)


@cache
def _pattern_of(message: str) -> re.Pattern[str]:
    parts = re.split(r"\{(\w+)\}", message)
    found = (f"(?P<{one}>.*)" if at % 2 else re.escape(one) for at, one in enumerate(parts))
    return re.compile("".join(found), re.S)


def retold(words: str, messages: Iterable[str]) -> str:
    """Say words that were filled in and kept in English: by the first message they follow."""
    if _CATALOGUE.get() is None:
        return words
    for message in messages:
        match = _pattern_of(str.__str__(message)).fullmatch(words)
        if match is not None:
            return told(message, **{name: say(one) for name, one in match.groupdict().items()})
    return say(words)


def number(value: float, form: str = "") -> str:
    """Return a number with the decimal sign of the language; `form` as for `format`."""
    text = format(value, form)
    return text.translate(_SWAPPED) if language() in _DECIMAL_COMMA else text


class _Headed(_Marked):
    """A message whose first letter is a capital when printed."""

    __slots__ = ()

    def __str__(self) -> str:
        return capital(super().__str__())


def headed(message: str) -> str:
    """Return a message that says itself with a capital at its head, as a label does."""
    return _Headed(str.__str__(message), {})


def counted(count: int, one: str, many: str) -> str:
    """Return a count with its noun, as 3 grafts: `counted(count, "graft", "grafts")`.

    The catalogue holds the two forms as "{count} graft" and "{count} grafts".
    """
    figures = "no" if count == 0 and language() == ENGLISH else number(count, ",")
    return _form_of(f"{{count}} {one}", f"{{count}} {many}", count).replace("{count}", figures)


def capital(words: str) -> str:
    """Return words, said, with a capital at their head."""
    said = str(words)
    return said[:1].upper() + said[1:]


def inside(words: str) -> str:
    """Return words as they stand inside a sentence: English puts its headings small there."""
    said = str(words)
    return said.lower() if language() == ENGLISH else said


def joined(words: Iterable[str], between: str = ", ") -> str:
    """Return texts, each said, with `between` between them."""
    return between.join(map(str, words))


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

_SHORT_WEEKDAYS = (
    *(marked("Mon"), marked("Tue"), marked("Wed"), marked("Thu"), marked("Fri")),
    *(marked("Sat"), marked("Sun")),
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


def short_day(on: date) -> str:
    """Return a day without its year, as 17 Feb."""
    return say("{day} {month}").format(day=on.day, month=short_month_name(on.month))


def full_day(on: date) -> str:
    """Return a day with its year, as 17 February 2009."""
    return say("{day} {month} {year}").format(
        day=on.day, month=month_name(on.month), year=f"{on.year:04d}"
    )


def _dated(on: date, form: str) -> str:
    """Return a day by a format of strftime, its month and weekday in the language spoken."""
    words = {
        "%B": month_name(on.month),
        "%b": short_month_name(on.month),
        "%A": weekday_name(on),
        "%a": say(_SHORT_WEEKDAYS[on.weekday()]),
    }
    if language() in _DAY_WITH_POINT:
        form = form.replace("%-d %B", "%-d. %B").replace("%-d %b", "%-d. %b")
    for sign, word in words.items():
        form = form.replace(sign, word.replace("%", "%%"))
    return format(on, form)
