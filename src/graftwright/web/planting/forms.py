"""The spot in six answers, and the plot with its trees."""

import re
from collections.abc import Mapping, Sequence
from datetime import date
from enum import StrEnum

from django import forms
from django.core.exceptions import ValidationError
from django.http import QueryDict

from graftwright.errors import GraftwrightError
from graftwright.notebook.entries import SpotDescribed
from graftwright.planting import Crop, Exposure, Ground, Soil, TreeForm, VarietyVigour, Wetness
from graftwright.season.planting_plan import Plot, TreeWanted
from graftwright.tongue import marked, told
from graftwright.web.planting.names import MOST_NAMES, names_in
from graftwright.web.trees.fields import LengthField, choice_field, words_field

UNNAMED = marked("this spot")
_CROPS = (Crop.APPLE, Crop.PEAR, Crop.PLUM, Crop.CHERRY, Crop.APRICOT, Crop.PEACH)
_TREES_LINE = re.compile(
    r"(?:(?P<count>\d{1,5})\s*[x×]?\s+)?(?P<variety>.+?)\s+on\s+(?P<stock>.+)", re.IGNORECASE
)


def _names_field(label: str, help_text: str) -> forms.CharField:
    return words_field(label, most=3000, rows=3, help_text=help_text)


def _chosen(label: str, kinds: Sequence[StrEnum]) -> forms.ChoiceField:
    field = choice_field(label, kinds)
    field.required = False
    field.initial = kinds[-1].value
    return field


def _optional(label: str, kinds: Sequence[StrEnum], *, initial: StrEnum) -> forms.ChoiceField:
    field = _chosen(label, kinds)
    field.initial = initial.value
    return field


def _form_field() -> forms.ChoiceField:
    return _optional(marked("Grown as"), tuple(TreeForm), initial=TreeForm.BUSH)


def _with_defaults(fields: Mapping[str, forms.Field], data: QueryDict | None) -> QueryDict | None:
    """Return the answers with what is taken for each choice left out, so that the page shows it."""
    if data is None:
        return None
    whole = data.copy()
    for name, field in fields.items():
        if isinstance(field, forms.ChoiceField) and name not in whole:
            whole[name] = str(field.initial)
    return whole


class SpotForm(forms.Form):
    """A spot in six answers, with the trees wanted there and those that stand about."""

    space = LengthField(
        label=marked("How wide a crown there is room for"),
        kept_in="m",
        least=0.3,
        most=30.0,
        help_text=marked("In metres, such as 3.5; or with another unit, such as 12 ft."),
    )
    height = LengthField(
        label=marked("How high it may grow"),
        kept_in="m",
        least=0.3,
        most=30.0,
        required=False,
        help_text=marked("In metres; leave it empty where the sky is free."),
    )
    soil = _chosen(marked("How the soil feeds a tree"), tuple(Soil))
    wetness = _chosen(marked("How water stands in it"), tuple(Wetness))
    exposure = _chosen(marked("How much wind it gets"), tuple(Exposure))
    ground = _chosen(marked("What grows under the tree"), tuple(Ground))
    stake = forms.ChoiceField(
        label=marked("A stake for life"),
        choices=[("yes", marked("May stand there")), ("no", marked("Is not wanted"))],
        required=False,
        initial="yes",
    )
    form = _form_field()
    pot = forms.FloatField(
        label=marked("In a pot of so many litres"),
        required=False,
        min_value=1.0,
        max_value=2000.0,
        help_text=marked("Leave it empty for open ground."),
        widget=forms.TextInput(attrs={"inputmode": "decimal"}),
        error_messages={
            "invalid": marked("Write litres, such as 60."),
            "min_value": marked("At least 1 litre."),
            "max_value": marked("At most 2000 litres; look at it again."),
        },
    )
    crop = _optional(marked("Kind of fruit"), _CROPS, initial=Crop.APPLE)
    wanted = _names_field(
        marked("Varieties wanted there"),
        marked("One a line, by any name; sizes and unions go by the first."),
    )
    vigour = _chosen(marked("How strongly the first one grows"), tuple(VarietyVigour))
    neighbours = _names_field(
        marked("Trees within a bee’s flight"),
        marked("Neighbours’ trees, one a line; their pollen counts."),
    )
    many_near = forms.BooleanField(
        label=marked("Many gardens with fruit trees lie about"), required=False
    )
    stocks = words_field(
        marked("Only these stocks"),
        most=400,
        help_text=marked("Such as M26, MM106; empty for every stock in the lists."),
    )
    full_flower = forms.DateField(
        label=marked("Day on which Golden Delicious is in full flower there"),
        required=False,
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        error_messages={"invalid": marked("Write the day as 2009-05-13, or choose it.")},
        help_text=marked("Empty: an average spring in England."),
    )

    def __init__(self, data: QueryDict | None = None) -> None:
        super().__init__(_with_defaults(self.base_fields, data))

    def clean_form(self) -> TreeForm:
        """Return the form; a bush where nothing is chosen."""
        return TreeForm(self.cleaned_data["form"] or TreeForm.BUSH)

    def clean_crop(self) -> Crop:
        """Return the kind of fruit; apple where nothing is chosen."""
        return Crop(self.cleaned_data["crop"] or Crop.APPLE)

    def clean_wanted(self) -> tuple[str, ...]:
        """Return the varieties wanted."""
        return names_in(self.cleaned_data["wanted"])

    def clean_neighbours(self) -> tuple[str, ...]:
        """Return the varieties that stand about."""
        return names_in(self.cleaned_data["neighbours"])

    def clean_stocks(self) -> tuple[str, ...]:
        """Return the stocks to choose from."""
        return names_in(self.cleaned_data["stocks"])

    def described(self, *, name: str, happened_on: date) -> SpotDescribed:
        """Return the spot as it is written down. The form must be valid."""
        data = self.cleaned_data
        return SpotDescribed(
            happened_on=happened_on,
            spot_name=name,
            space_m=data["space"],
            height_limit_m=data["height"],
            crop=data["crop"],
            soil=Soil(data["soil"] or Soil.NOT_KNOWN),
            wetness=Wetness(data["wetness"] or Wetness.NOT_KNOWN),
            exposure=Exposure(data["exposure"] or Exposure.NOT_KNOWN),
            ground=Ground(data["ground"] or Ground.NOT_KNOWN),
            is_stake_allowed=data["stake"] != "no",
            pot_litres=data["pot"],
            form=data["form"],
            wanted_varieties=data["wanted"],
            neighbours_varieties=data["neighbours"],
            has_many_trees_near=data["many_near"],
            variety_vigour=VarietyVigour(data["vigour"] or VarietyVigour.NOT_KNOWN),
        )


def answers_of(described: SpotDescribed) -> Mapping[str, str]:
    """Return a spot that was written down as the form's answers, empty ones left out."""
    answers = {
        "space": f"{described.space_m:g}",
        "height": f"{described.height_limit_m:g}" if described.height_limit_m else "",
        "soil": described.soil.value,
        "wetness": described.wetness.value,
        "exposure": described.exposure.value,
        "ground": described.ground.value,
        "stake": "yes" if described.is_stake_allowed else "no",
        "pot": f"{described.pot_litres:g}" if described.pot_litres else "",
        "form": described.form.value,
        "crop": described.crop.value,
        "wanted": "\n".join(described.wanted_varieties),
        "neighbours": "\n".join(described.neighbours_varieties),
        "vigour": described.variety_vigour.value,
        "many_near": "on" if described.has_many_trees_near else "",
    }
    return {name: answer for name, answer in answers.items() if answer}


class KeepSpotForm(forms.Form):
    """The name under which a spot is written down."""

    name = words_field(marked("Name of the spot"), required=True, most=60)


class PlotForm(forms.Form):
    """A plot and its trees; where its corner lies on the globe, for a map file."""

    width = LengthField(label=marked("From west to east"), kept_in="m", least=1.0, most=400.0)
    depth = LengthField(label=marked("From south to north"), kept_in="m", least=1.0, most=400.0)
    trees = words_field(
        marked("Trees"),
        required=True,
        most=3000,
        rows=5,
        help_text=marked("One kind a line, such as 4 Discovery on M26."),
    )
    form = _form_field()
    latitude = forms.FloatField(
        label=marked("Latitude of the south-west corner"),
        required=False,
        min_value=-85.0,
        max_value=85.0,
        help_text=marked("Degrees north, south with a minus; needed for the map file."),
        widget=forms.TextInput(attrs={"inputmode": "decimal"}),
    )
    longitude = forms.FloatField(
        label=marked("Longitude of the south-west corner"),
        required=False,
        min_value=-180.0,
        max_value=180.0,
        help_text=marked("Degrees east, west with a minus."),
        widget=forms.TextInput(attrs={"inputmode": "decimal"}),
    )

    def __init__(
        self, data: QueryDict | None = None, *, initial: Mapping[str, object] | None = None
    ) -> None:
        super().__init__(_with_defaults(self.base_fields, data), initial=dict(initial or {}))

    def clean_form(self) -> TreeForm:
        """Return the form; a bush where nothing is chosen."""
        return TreeForm(self.cleaned_data["form"] or TreeForm.BUSH)

    def clean_trees(self) -> tuple[TreeWanted, ...]:
        """Return the kinds of trees; say which line cannot be read."""
        lines = [" ".join(line.split()) for line in self.cleaned_data["trees"].splitlines()]
        lines = [line for line in lines if line]
        if len(lines) > MOST_NAMES:
            raise ValidationError(
                told(
                    "{count} lines; at most {MOST_NAMES} kinds on one plan.",
                    count=len(lines),
                    MOST_NAMES=MOST_NAMES,
                )
            )
        return tuple(_trees_of(line) for line in lines)

    def plot(self, nursery_latitude_deg: float | None) -> Plot:
        """Return the plot; where its latitude is not given, the nursery's says where the sun is."""
        data = self.cleaned_data
        latitude_deg = data["latitude"] if data["latitude"] is not None else nursery_latitude_deg
        return Plot(width_m=data["width"], depth_m=data["depth"], latitude_deg=latitude_deg)


def _trees_of(line: str) -> TreeWanted:
    found = _TREES_LINE.fullmatch(line)
    if found is None:
        raise ValidationError(told("“{line}”: write it as 4 Discovery on M26.", line=line))
    try:
        return TreeWanted(
            variety=found["variety"],
            stock=found["stock"],
            tree_count=int(found["count"] or 1),
        )
    except GraftwrightError as wrong:
        raise ValidationError(str(wrong)) from wrong
