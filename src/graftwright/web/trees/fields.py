"""Fields of the trade's forms: days, lengths in any unit, codes, closed choices."""

from collections.abc import Iterable, Sequence
from datetime import date
from enum import StrEnum

from django import forms
from django.core.exceptions import ValidationError

from graftwright.errors import GraftwrightError, UnknownCode
from graftwright.intake.numbers import Decimal
from graftwright.intake.units import length_from_cell
from graftwright.tagcode import read_code
from graftwright.tongue import headed, marked, say, told
from graftwright.web.standing_on import today

_FIRST_DAY = date(1950, 1, 1)
_MOST_CODES = 2000


class DayField(forms.DateField):
    """The day on which something happened: today unless another is chosen, never a later one."""

    def __init__(self, *, label: str = marked("When"), may_lie_ahead: bool = False) -> None:
        super().__init__(
            label=label,
            initial=today,
            widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
            error_messages={
                "required": marked("Choose the day."),
                "invalid": marked("Write the day as 2009-05-20, or choose it."),
            },
        )
        self._may_lie_ahead = may_lie_ahead

    def clean(self, value: object) -> date:
        """Return the day; refuse one that has not come yet."""
        day: date = super().clean(value)
        if day < _FIRST_DAY:
            raise ValidationError(
                told("The year {year} lies too far back; look at it again.", year=day.year)
            )
        if day > today() and not self._may_lie_ahead:
            raise ValidationError(say("That day has not come yet; write what has happened."))
        return day


class LengthField(forms.CharField):
    """A length in any unit, kept in mm or m; a bare number is in the unit it is kept in."""

    def __init__(
        self,
        *,
        label: str,
        most: float,
        kept_in: str = "mm",
        least: float = 0.0,
        required: bool = True,
        help_text: str = "",
    ) -> None:
        name = marked("millimetres") if kept_in == "mm" else marked("metres")
        super().__init__(
            label=label,
            required=required,
            max_length=30,
            help_text=help_text
            or marked("In {name}; another unit if you write it (in, ft).", name=name),
            widget=forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"}),
            error_messages={"required": marked("Write the length.")},
        )
        self._kept_in, self._least, self._most = kept_in, least, most

    def clean(self, value: str | None) -> float | None:
        """Return the length in its unit; None where it may be left empty and is."""
        text = super().clean(value or "")
        if not text:
            return None
        try:
            length = length_from_cell(
                text, kept_in=self._kept_in, head_unit=self._kept_in, decimal=Decimal.UNSAID
            )
        except GraftwrightError as wrong:
            raise ValidationError(str(wrong)) from wrong
        if not self._least <= length <= self._most:
            raise ValidationError(
                told(
                    "{length:g} {kept_in} is not likely; expected {least:g} to {most:g}. "
                    "Look at the unit.",
                    length=length,
                    kept_in=self._kept_in,
                    least=self._least,
                    most=self._most,
                )
            )
        return length


def count_field(
    label: str, *, least: int = 0, most: int = 100_000, required: bool = True, help_text: str = ""
) -> forms.IntegerField:
    """Return a field for a count of things."""
    return forms.IntegerField(
        label=label,
        required=required,
        min_value=least,
        max_value=most,
        help_text=help_text,
        widget=forms.NumberInput(attrs={"inputmode": "numeric"}),
        error_messages={
            "required": marked("Write how many."),
            "invalid": marked("Write a whole number, such as 12."),
            "min_value": marked("At least {least}.", least=least),
            "max_value": marked("At most {most}; look at the number again.", most=most),
        },
    )


def choice_field(
    label: str, kinds: Iterable[StrEnum], *, required: bool = True, empty_words: str = ""
) -> forms.ChoiceField:
    """Return a field for one of the words the notebook keeps."""
    choices: list[tuple[str, str]] = [] if required and not empty_words else [("", empty_words)]
    choices += [(kind.value, headed(kind.value)) for kind in kinds]
    return forms.ChoiceField(
        label=label,
        choices=choices,
        required=required,
        error_messages={
            "required": marked("Choose one of these."),
            "invalid_choice": marked("%(value)s is none of these; choose again."),
        },
    )


def goes_with_another(field: forms.Field) -> None:
    """Let a field's label not call it free: whether it is asked for hangs on another."""
    field.goes_with_another = True  # type: ignore[attr-defined]


def words_field(
    label: str, *, required: bool = False, most: int = 500, rows: int = 0, help_text: str = ""
) -> forms.CharField:
    """Return a field for free words."""
    widget = (
        forms.Textarea(attrs={"rows": rows})
        if rows
        else forms.TextInput(attrs={"autocomplete": "off"})
    )
    return forms.CharField(
        label=label,
        required=required,
        max_length=most,
        widget=widget,
        help_text=help_text,
        error_messages={"required": marked("Write a few words.")},
    )


class CodesField(forms.CharField):
    """Codes as they are typed or scanned, apart by spaces, commas or lines."""

    def __init__(
        self, *, label: str = marked("Codes"), required: bool = True, help_text: str = ""
    ) -> None:
        super().__init__(
            label=label,
            required=required,
            max_length=_MOST_CODES * 8,
            help_text=help_text or marked("Typed or scanned, apart by spaces, commas or lines."),
            widget=forms.Textarea(attrs={"rows": 3, "autocapitalize": "characters"}),
            error_messages={"required": marked("Give at least one code.")},
        )

    def clean(self, value: str | None) -> tuple[str, ...]:
        """Return the codes in the order given, each once."""
        text = super().clean(value or "")
        codes, wrong = codes_in(text)
        if wrong:
            raise ValidationError(wrong)
        return codes


def codes_in(text: str) -> tuple[tuple[str, ...], list[str]]:
    """Return the codes a text holds, each once, and what was wrong with the rest."""
    codes: dict[str, None] = {}
    wrong: list[str] = []
    for part in text.replace(",", " ").replace(";", " ").split():
        try:
            codes[read_code(part)] = None
        except UnknownCode as unread:
            wrong.append(str(unread))
    return tuple(codes), wrong[:10]


def place_choices(named: Sequence[tuple[str, str]]) -> list[tuple[str, str]]:
    """Return places as a field offers them, the first choice being none."""
    return [("", say("Choose a place")), *named]
