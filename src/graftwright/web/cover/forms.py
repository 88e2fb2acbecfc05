"""What is typed in under cover: a change to try, a day's temperatures, the coming night."""

from collections.abc import Iterable, Sequence
from datetime import date
from typing import cast

from django import forms

from graftwright.season.cover import Cover
from graftwright.season.cover_batches import CoverBatch
from graftwright.season.what_if import COLDEST_KEPT_C, HOTTEST_KEPT_C
from graftwright.tongue import day_and_month, marked, say, told

_ONE_DAY = marked("Write it as a day, such as 2009-04-18.")
_A_NUMBER = marked("Write a number in °C.")


def _celsius(label: str, *, low: float = -40.0, high: float = 50.0, hint: str = "") -> forms.Field:
    limits = marked("Between {low:g} and {high:g} °C is expected.", low=low, high=high)
    return forms.FloatField(
        label=label,
        required=False,
        min_value=low,
        max_value=high,
        help_text=hint,
        error_messages={"invalid": _A_NUMBER, "min_value": limits, "max_value": limits},
        widget=forms.NumberInput(attrs={"step": "any"}),
    )


def _day(label: str) -> forms.Field:
    return forms.DateField(
        label=label,
        error_messages={"required": marked("Choose a day."), "invalid": _ONE_DAY},
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
    )


def _choices(field: forms.Field, choices: Iterable[tuple[str, str]]) -> None:
    cast("forms.ChoiceField", field).choices = list(choices)


class WhatIfForm(forms.Form):
    """Heat or a move, from a day on."""

    batch = forms.ChoiceField(label=marked("Which batch"), required=False)
    kept_at = _celsius(
        marked("Kept at no less than (°C)"),
        low=COLDEST_KEPT_C,
        high=HOTTEST_KEPT_C,
        hint=marked("Callus of apple is said to like 13 to 18 °C."),
    )
    reach = forms.ChoiceField(
        label=marked("The heat reaches"),
        required=False,
        choices=(
            ("union", marked("the unions alone: a heated bench")),
            ("place", marked("the whole place")),
        ),
    )
    place = forms.ChoiceField(label=marked("Or stood in"), required=False)
    from_on = _day(marked("From"))

    def __init__(self, *args: object, cover: Cover, batches: Sequence[CoverBatch]) -> None:
        """Offer some batches; one that was asked for is taken though it is not among them."""
        super().__init__(*args, prefix="if")  # type: ignore[arg-type,misc]
        asked = cover.batch(self.data.get("if-batch", ""))
        batches = [*batches, *([asked] if asked and asked not in batches else [])]
        every = ("", say("every batch"))
        _choices(
            self.fields["batch"],
            (
                every,
                *(
                    (one.key, f"{day_and_month(one.grafted_on)}, {one.place_name}")
                    for one in batches
                ),
            ),
        )
        places = [(one.place.code, one.place.name) for one in cover.places]
        _choices(self.fields["place"], (("", say("where they stand")), *places))

    def clean(self) -> dict[str, object]:
        """Refuse a change that changes nothing."""
        given = super().clean() or {}
        if not self.errors and given.get("kept_at") is None and not given.get("place"):
            self.add_error("kept_at", say("Write a temperature, or choose another place."))
        return given


class DayForm(forms.Form):
    """Lowest and highest of one day in a place."""

    place = forms.ChoiceField(
        label=marked("Place"), error_messages={"required": marked("Choose the place.")}
    )
    on = _day(marked("Day"))
    low = _celsius(marked("Lowest (°C)"))
    high = _celsius(marked("Highest (°C)"))

    def __init__(self, *args: object, cover: Cover) -> None:
        super().__init__(*args, prefix="day")  # type: ignore[arg-type,misc]
        self.today: date = cover.ground.today
        _choices(self.fields["place"], ((one.place.code, one.place.name) for one in cover.places))

    def clean(self) -> dict[str, object]:
        """Refuse days to come, an empty pair, and a lowest above its highest."""
        given = super().clean() or {}
        on, low, high = given.get("on"), given.get("low"), given.get("high")
        if isinstance(on, date) and on > self.today:
            self.add_error("on", say("That day has not come yet; an expected night goes above."))
        if not self.errors and low is None and high is None:
            self.add_error("low", say("Write the lowest, the highest, or both."))
        if isinstance(low, float) and isinstance(high, float) and low > high:
            self.add_error(
                "low",
                told(
                    "{low:g} °C lies above the highest, {high:g} °C: swapped?", low=low, high=high
                ),
            )
        return given


class NightForm(forms.Form):
    """What is expected of tonight and tomorrow, and what mistakes cost."""

    low = _celsius(marked("Lowest expected outdoors tonight (°C)"))
    high = _celsius(marked("Highest expected outdoors tomorrow (°C)"))
    false_alarm = forms.FloatField(
        label=marked("Cost of a false alarm"),
        min_value=0.01,
        max_value=1e6,
        help_text=marked("An evening’s carrying for nothing, in any unit."),
        error_messages={
            "required": marked("Write a figure above 0."),
            "invalid": marked("Write a number."),
        },
    )
    miss = forms.FloatField(
        label=marked("Cost of a frost missed"),
        min_value=0.01,
        max_value=1e6,
        help_text=marked("The same trees lost, in the same unit."),
        error_messages={
            "required": marked("Write a figure above 0."),
            "invalid": marked("Write a number."),
        },
    )
