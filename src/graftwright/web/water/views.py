"""The watering sheet: one line for each place, to be left with whoever waters."""

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST, require_safe

from graftwright.notebook.entries import RainMeasured
from graftwright.season.counted_trees import here_count
from graftwright.season.watering import Days, water_by_place
from graftwright.store.append import write
from graftwright.store.read import read_notebook
from graftwright.tongue import marked, say, told
from graftwright.web.standing_on import today
from graftwright.web.today.kept import ground_kept
from graftwright.web.trees.fields import DayField


def _number(label: str, *, least: float, most: float, required: bool = False) -> forms.FloatField:
    return forms.FloatField(
        label=label,
        required=required,
        min_value=least,
        max_value=most,
        widget=forms.NumberInput(attrs={"inputmode": "decimal", "step": "any"}),
        error_messages={
            "required": marked("Write the figure."),
            "invalid": marked("Write a figure, such as 12."),
            "min_value": marked("At least {least:g}.", least=least),
            "max_value": marked("At most {most:g}; look at the unit.", most=most),
        },
    )


class DaysForm(forms.Form):
    """The days the sheet is for."""

    high_c = _number(marked("Highest by day, °C"), least=-10, most=50)
    low_c = _number(marked("Lowest by night, °C"), least=-20, most=40)
    rain_mm = _number(marked("Rain a day, mm"), least=0, most=200)

    def clean(self) -> dict[str, object]:
        """Refuse a night warmer than the day."""
        data: dict[str, object] = super().clean() or self.cleaned_data
        low, high = self.cleaned_data.get("low_c"), self.cleaned_data.get("high_c")
        if low is not None and high is not None and low > high:
            self.add_error("low_c", say("The night is warmer than the day; look at both again."))
        return data


class RainForm(forms.Form):
    """Rain that fell."""

    rain_mm = _number(marked("Rain that fell, mm"), least=0, most=500, required=True)
    happened_on = DayField()


@require_safe
def water_page(request: HttpRequest) -> HttpResponse:
    """Show litres by place, for the weather as it is or as it is asked for."""
    return _show(request, DaysForm(request.GET), RainForm(), status=200)


@require_POST
def write_rain(request: HttpRequest) -> HttpResponse:
    """Write down how much rain fell on a day."""
    form = RainForm(request.POST)
    if not form.is_valid():
        return _show(request, DaysForm({}), form, status=422)
    rain_mm = form.cleaned_data["rain_mm"]
    write(
        RainMeasured(happened_on=form.cleaned_data["happened_on"], rain_mm=rain_mm), device="desk"
    )
    messages.success(request, told("Written down: {rain_mm:g} mm of rain.", rain_mm=rain_mm))
    return redirect("water")


def _show(request: HttpRequest, form: DaysForm, rain: RainForm, *, status: int) -> HttpResponse:
    notebook, days = read_notebook(), Days()
    if form.is_valid():
        data = form.cleaned_data
        days = Days(
            expected_low_c=data["low_c"],
            expected_high_c=data["high_c"],
            rain_mm_per_day=data["rain_mm"],
        )
    elif form.is_bound and status == 200:
        status = 422
    places = water_by_place(ground_kept(notebook, day=today()), days=days)
    context = {
        "form": form,
        "rain_form": rain,
        "places": places,
        "whole_litres": sum(one.litres_per_day for one in places),
        "is_asked": days != Days(),
        "has_trees": here_count(notebook.trees) > 0,
    }
    return render(request, "water/page.html", context, status=status)
