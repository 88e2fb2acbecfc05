"""The form of a promise, to make one or to change one."""

from datetime import date

from django import forms

from graftwright.errors import Ambiguous, GraftwrightError
from graftwright.intake.catalogue import shipped_catalogue
from graftwright.notebook.entries import PromiseChanged, PromiseMade
from graftwright.notebook.standing import Promise
from graftwright.planting import find_varieties, rootstock_named, variety_named
from graftwright.planting.naming import folded_name
from graftwright.tongue import marked, say, told
from graftwright.web.plan.asked import LEAST_PERCENT, MOST_PERCENT, USUAL_PERCENT

_MOST_TREES = 10_000
_PRIORITIES = (("1", marked("First")), ("2", marked("In its turn")), ("3", marked("Last")))


def _needed(words: str) -> dict[str, str]:
    return {"required": words}


class PromiseForm(forms.Form):
    """Who is promised how many of what, by when and how surely."""

    who = forms.CharField(
        max_length=120,
        label=marked("For whom"),
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
        error_messages=_needed(marked("Write who is to have the trees.")),
    )
    wanted_count = forms.IntegerField(
        min_value=1,
        max_value=_MOST_TREES,
        label=marked("How many trees"),
        widget=forms.NumberInput(attrs={"inputmode": "numeric"}),
        error_messages={
            **_needed(marked("Write how many trees; at least one.")),
            "invalid": marked("Write a whole number of trees, such as 6."),
            "min_value": marked("A promise is for at least one tree."),
            "max_value": marked("At most {most} trees a promise; split it.", most=_MOST_TREES),
        },
    )
    variety = forms.CharField(
        max_length=120,
        label=marked("Variety"),
        help_text=marked("Any name it goes by. A name not in the lists is kept as you write it."),
        widget=forms.TextInput(attrs={"list": "varieties", "autocomplete": "off"}),
        error_messages=_needed(marked("Write which variety is wanted.")),
    )
    stock = forms.CharField(
        max_length=60,
        label=marked("On which stock"),
        help_text=marked("Such as M26, MM106 or Quince C."),
        widget=forms.TextInput(attrs={"list": "stock-kinds", "autocomplete": "off"}),
        error_messages=_needed(
            marked("Write the kind of stock; it decides how tall the tree grows.")
        ),
    )
    due_on = forms.DateField(
        required=False,
        label=marked("Wanted by"),
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        error_messages={"invalid": marked("Write the day as 2009-11-25, or choose it.")},
    )
    sureness_percent = forms.IntegerField(
        min_value=LEAST_PERCENT,
        max_value=MOST_PERCENT,
        initial=USUAL_PERCENT,
        label=marked("How sure, in 100"),
        help_text=marked("90 means: in nine winters of ten there are enough trees."),
        widget=forms.NumberInput(attrs={"inputmode": "numeric"}),
        error_messages={
            **_needed(marked("Write a number such as 90.")),
            "invalid": marked("Write a whole number, such as 90."),
            "min_value": marked("At least {least}.", least=LEAST_PERCENT),
            "max_value": marked(
                "At most {most}: certainty cannot be had from trees.", most=MOST_PERCENT
            ),
        },
    )
    priority = forms.ChoiceField(
        choices=_PRIORITIES,
        initial="2",
        label=marked("When wood or stocks are short, this promise comes"),
    )
    second_choice = forms.CharField(
        max_length=120, required=False, label=marked("What would do instead")
    )
    spot = forms.CharField(
        max_length=500,
        required=False,
        label=marked("Where it will stand"),
        widget=forms.Textarea(attrs={"rows": 3}),
    )

    def clean_variety(self) -> str:
        """Refuse a name that several varieties bear; keep any other as it was written."""
        name = " ".join(self.cleaned_data["variety"].split())
        try:
            variety_named(name, catalogue=shipped_catalogue())
        except Ambiguous as several:
            raise forms.ValidationError(_which_variety(name)) from several
        except GraftwrightError:
            pass  # a name nobody listed is as good as any: farmhouse trees have them
        return name

    def clean_stock(self) -> str:
        """Refuse a name that several stocks bear; keep any other as it was written."""
        name = " ".join(self.cleaned_data["stock"].split())
        try:
            rootstock_named(name, catalogue=shipped_catalogue())
        except Ambiguous as several:
            raise forms.ValidationError(str(several)) from several
        except GraftwrightError:
            pass  # seedlings and stocks of one's own are stocks too
        return name

    def made(self, *, code: str, happened_on: date) -> PromiseMade:
        """Return the entry that makes this promise."""
        data = self.cleaned_data
        return PromiseMade(
            happened_on=happened_on,
            code=code,
            who=data["who"],
            variety=data["variety"],
            stock=data["stock"],
            wanted_count=data["wanted_count"],
            sureness_fraction=data["sureness_percent"] / 100,
            priority=int(data["priority"]),
            due_on=data["due_on"],
            second_choice=data["second_choice"],
            spot=data["spot"],
        )

    def changed(self, promise: Promise, *, happened_on: date) -> PromiseChanged | None:
        """Return the entry that says what is different now; None if nothing is."""
        made = self.made(code=promise.code, happened_on=happened_on)
        names = (
            *("who", "variety", "stock", "wanted_count", "sureness_fraction"),
            *("priority", "due_on", "second_choice", "spot"),
        )
        other = {
            name: value
            for name in names
            if (value := getattr(made, name)) is not None and value != getattr(promise, name)
        }
        return (
            PromiseChanged(happened_on=happened_on, code=promise.code, **other) if other else None
        )


class WithdrawForm(forms.Form):
    """Why a promise is given up."""

    reason = forms.CharField(max_length=200, required=False, label=marked("Why it is given up"))


def as_written(promise: Promise) -> dict[str, object]:
    """Return a promise as the form shows it."""
    return {
        "who": promise.who,
        "wanted_count": promise.wanted_count,
        "variety": promise.variety,
        "stock": promise.stock,
        "due_on": promise.due_on,
        "sureness_percent": round(promise.sureness_fraction * 100),
        "priority": str(promise.priority),
        "second_choice": promise.second_choice,
        "spot": promise.spot,
    }


def _which_variety(name: str) -> str:
    found = find_varieties(name, catalogue=shipped_catalogue())
    choices = sorted(
        {
            f"{variety.crop.value} {variety.preferred_name}"
            for variety in found
            if any(folded_name(given.text) == folded_name(name) for given in variety.names)
        }
    )
    return told(
        "More than one tree is called {name}. Write which: {listed}.",
        name=name,
        listed=say(" or ").join(choices),
    )
