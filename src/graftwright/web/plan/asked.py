"""How sure the reader wants to be, as the plan page's form says it."""

from django import forms
from django.http import QueryDict

from graftwright.tongue import marked

LEAST_PERCENT, MOST_PERCENT, USUAL_PERCENT = 50, 99, 90


class SurenessForm(forms.Form):
    """One sureness for every promise, in percent; empty means each promise's own.

    The slider and the figure say the same thing twice: `was` tells which of them was touched, so
    that the page works without a script that keeps them together.
    """

    sureness = forms.IntegerField(
        required=False, min_value=LEAST_PERCENT, max_value=MOST_PERCENT, label=marked("Sureness")
    )
    exactly = forms.IntegerField(
        required=False,
        min_value=LEAST_PERCENT,
        max_value=MOST_PERCENT,
        label=marked("In figures"),
        error_messages={
            "invalid": marked(
                "Write a whole number from {least} to {most}.",
                least=LEAST_PERCENT,
                most=MOST_PERCENT,
            ),
            "min_value": marked(
                "At least {least}: below that, tossing a coin would do.", least=LEAST_PERCENT
            ),
            "max_value": marked(
                "At most {most}: certainty cannot be had from trees.", most=MOST_PERCENT
            ),
        },
        widget=forms.NumberInput(attrs={"id": "id_exactly"}),
    )
    was = forms.IntegerField(required=False)

    def chosen_percent(self) -> int | None:
        """Return the sureness asked for; None for each promise's own."""
        slider: int | None = self.cleaned_data["sureness"]
        figure: int | None = self.cleaned_data["exactly"]
        if figure is not None and figure != self.cleaned_data["was"]:
            return figure
        return slider if slider is not None else figure


def read_sureness(query: QueryDict) -> tuple[int | None, tuple[str, ...]]:
    """Return the percentage asked for and what was wrong with it, in words."""
    form = SurenessForm(query)
    if form.is_valid():
        return form.chosen_percent(), ()
    return None, tuple(str(words) for errors in form.errors.values() for words in errors)
