"""The few things asked on the day's list."""

from collections.abc import Mapping

from django import forms

from graftwright.season.job import Job

_MOST_MINUTES = 24 * 60


class MinutesForm(forms.Form):
    """How much time there is."""

    minutes = forms.IntegerField(
        required=False,
        min_value=1,
        max_value=_MOST_MINUTES,
        label="I have",
        widget=forms.NumberInput(attrs={"inputmode": "numeric", "min": 1, "max": _MOST_MINUTES}),
        error_messages={
            "invalid": "Write whole minutes, such as 90.",
            "min_value": "Write at least one minute.",
            "max_value": "A day has 1440 minutes; write fewer.",
        },
    )


class LeftOutForm(forms.Form):
    """The codes a tick leaves out."""

    def __init__(self, job: Job, data: Mapping[str, object]) -> None:
        super().__init__(data)
        self.fields["but"] = forms.MultipleChoiceField(
            required=False,
            choices=[(code, code) for code in job.codes],
            error_messages={"invalid_choice": "%(value)s does not belong to this job."},
        )
