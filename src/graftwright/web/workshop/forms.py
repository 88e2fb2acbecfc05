"""Who comes to the workshop, how they cut, and what lies there already."""

from django import forms

from graftwright.season.workshop_plan import (
    MOST_PEOPLE_COUNT,
    MOST_TREES_EACH_COUNT,
    Hands,
    WorkshopWish,
)
from graftwright.tongue import headed, marked, say
from graftwright.web.plan.asked import LEAST_PERCENT, MOST_PERCENT

USUAL_PEOPLE_COUNT = 12
USUAL_PERCENT = 95
_NUMBER = {"inputmode": "numeric"}


class WorkshopForm(forms.Form):
    """A workshop day; empty counts of wood and stocks mean as many as it takes."""

    people = forms.IntegerField(
        min_value=1,
        max_value=MOST_PEOPLE_COUNT,
        label=marked("People"),
        widget=forms.NumberInput(attrs=_NUMBER),
        error_messages={
            "required": marked("Write how many people come."),
            "min_value": marked("A workshop is for at least one."),
            "max_value": marked("At most {most} people; hold two days.", most=MOST_PEOPLE_COUNT),
        },
    )
    trees = forms.IntegerField(
        min_value=1,
        max_value=MOST_TREES_EACH_COUNT,
        label=marked("Trees each"),
        widget=forms.NumberInput(attrs=_NUMBER),
        error_messages={
            "required": marked("Write how many trees each takes home."),
            "max_value": marked("At most {most} trees each.", most=MOST_TREES_EACH_COUNT),
        },
    )
    hands = forms.ChoiceField(
        choices=[(hands.value, headed(hands.value)) for hands in Hands],
        label=marked("How well they cut"),
    )
    wood = forms.IntegerField(
        required=False,
        min_value=0,
        max_value=9_999,
        label=marked("Wood laid out"),
        help_text=marked("In pieces. Empty: as many as it takes."),
        widget=forms.NumberInput(attrs=_NUMBER),
    )
    stocks = forms.IntegerField(
        required=False,
        min_value=0,
        max_value=9_999,
        label=marked("Stocks laid out"),
        help_text=marked("Empty: as many as it takes."),
        widget=forms.NumberInput(attrs=_NUMBER),
    )
    variety = forms.ChoiceField(required=False, label=marked("Variety"))
    stock = forms.ChoiceField(required=False, label=marked("Stock"))
    sureness = forms.IntegerField(
        required=False, min_value=LEAST_PERCENT, max_value=MOST_PERCENT, label=marked("Sureness")
    )
    exactly = forms.IntegerField(
        required=False,
        min_value=LEAST_PERCENT,
        max_value=MOST_PERCENT,
        label=marked("In figures"),
        error_messages={
            "min_value": marked("At least {least} in 100.", least=LEAST_PERCENT),
            "max_value": marked(
                "At most {most}: certainty cannot be had from knives.", most=MOST_PERCENT
            ),
        },
    )
    was = forms.IntegerField(required=False)

    def offer(self, varieties: tuple[str, ...], stocks: tuple[str, ...]) -> None:
        """Offer what the notebook holds, so that the store can be looked into."""
        for name, known in (("variety", varieties), ("stock", stocks)):
            field = self.fields[name]
            if isinstance(field, forms.ChoiceField):
                field.choices = [("", say("any")), *((one, one) for one in known)]

    def percent(self) -> int:
        """Return the sureness asked for: the figure if it was touched, else the slider."""
        slider: int | None = self.cleaned_data["sureness"]
        figure: int | None = self.cleaned_data["exactly"]
        if figure is not None and figure != self.cleaned_data["was"]:
            return figure
        return slider or figure or USUAL_PERCENT

    def wish(self) -> WorkshopWish:
        """Return what was asked."""
        asked = self.cleaned_data
        return WorkshopWish(
            people_count=asked["people"],
            trees_each_count=asked["trees"],
            hands=Hands(asked["hands"]),
            service_fraction=self.percent() / 100,
            variety=asked["variety"],
            stock=asked["stock"],
            wood_laid_out_count=asked["wood"],
            stocks_laid_out_count=asked["stocks"],
        )
