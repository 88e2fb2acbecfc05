"""The few things asked on the day's list."""

from collections.abc import Mapping
from datetime import date, timedelta

from django import forms

from graftwright.season.job import Job
from graftwright.tongue import marked, say, told
from graftwright.web.standing_on import today
from graftwright.web.trees.fields import DayField, codes_in, words_field

_MOST_MINUTES = 24 * 60
_MOST_INITIALS = 8


class MinutesForm(forms.Form):
    """How much time there is, and for whom the list is."""

    minutes = forms.IntegerField(
        required=False,
        min_value=1,
        max_value=_MOST_MINUTES,
        label=marked("I have"),
        widget=forms.NumberInput(attrs={"inputmode": "numeric", "min": 1, "max": _MOST_MINUTES}),
        error_messages={
            "invalid": marked("Write whole minutes, such as 90."),
            "min_value": marked("Write at least one minute."),
            "max_value": marked("A day has 1440 minutes; write fewer."),
        },
    )
    who = forms.CharField(
        required=False,
        max_length=_MOST_INITIALS,
        label=marked("My initials"),
        widget=forms.TextInput(
            attrs={"autocomplete": "off", "autocapitalize": "characters", "size": 4}
        ),
    )

    def clean_who(self) -> str:
        """Return the initials in capitals."""
        return initials_in(self.cleaned_data["who"])


def initials_in(text: object) -> str:
    """Return initials in capitals, without spaces."""
    return "".join(str(text or "").split()).upper()[:_MOST_INITIALS]


class PutOffForm(forms.Form):
    """Until when a job is put off, and why."""

    until_on = DayField(label=marked("Not before"), may_lie_ahead=True)
    reason = words_field(marked("Why"), most=200)

    def __init__(self, data: Mapping[str, object] | None = None, *, prefix: str = "") -> None:
        super().__init__(data, prefix=prefix or None)
        self.fields["until_on"].initial = tomorrow

    def clean_until_on(self) -> date:
        """Return the day; it must lie ahead."""
        day: date = self.cleaned_data["until_on"]
        if day <= today():
            raise forms.ValidationError(say("Choose a later day than today."))
        return day


def tomorrow() -> date:
    """Return the day after the one the pages stand on."""
    return today() + timedelta(days=1)


class WindForm(forms.Form):
    """The strongest wind expected."""

    wind_km_h = forms.FloatField(
        min_value=0,
        max_value=400,
        label=marked("Strongest wind expected until tomorrow, in km/h"),
        widget=forms.NumberInput(attrs={"inputmode": "decimal", "step": "any"}),
        error_messages={
            "required": marked("Write the wind in km/h."),
            "invalid": marked("Write the wind in km/h, such as 65."),
            "max_value": marked("No wind blows so hard; write it in km/h."),
            "min_value": marked("Write the wind in km/h, such as 65."),
        },
    )


class LeftOutForm(forms.Form):
    """The codes a tick leaves out: those marked, and those written that the list does not show."""

    unlisted = forms.CharField(required=False, max_length=20_000)

    def __init__(self, job: Job, data: Mapping[str, object]) -> None:
        super().__init__(data)
        self._codes = frozenset(job.codes)
        self.fields["but"] = forms.MultipleChoiceField(
            required=False,
            choices=[(code, code) for code in job.codes],
            error_messages={"invalid_choice": say("%(value)s does not belong to this job.")},
        )

    def clean_unlisted(self) -> tuple[str, ...]:
        """Return the codes written, each of which must be one of the job's."""
        codes, wrong = codes_in(self.cleaned_data["unlisted"])
        wrong += [
            told("{code} does not belong to this job.", code=code)
            for code in codes
            if code not in self._codes
        ]
        if wrong:
            raise forms.ValidationError(wrong)
        return codes

    def left_out(self) -> list[str]:
        """Return every code left out, once."""
        return list(dict.fromkeys((*self.cleaned_data["but"], *self.cleaned_data["unlisted"])))
