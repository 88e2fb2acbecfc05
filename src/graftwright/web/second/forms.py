"""What is asked when stocks are budded, or carried over."""

from collections.abc import Mapping

from django import forms

from graftwright.notebook.entries import Binding, Method
from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import Bundle
from graftwright.web.trees.fields import (
    CodesField,
    DayField,
    LengthField,
    choice_field,
    words_field,
)

_BUD_METHODS = (Method.CHIP_BUD, Method.T_BUD)


class BudForm(forms.Form):
    """Which stocks were budded with which wood, how and by whom."""

    bundle = forms.ChoiceField(
        label="Budwood", error_messages={"required": "Choose the bundle the buds came from."}
    )
    method = choice_field("How", _BUD_METHODS)
    binding = choice_field("Binding", Binding)
    grafter = words_field("Initials of who budded", most=8)
    spoilt_count = forms.IntegerField(
        label="Buds spoilt",
        required=False,
        min_value=0,
        max_value=500,
        widget=forms.NumberInput(attrs={"inputmode": "numeric"}),
    )
    happened_on = DayField()
    codes = CodesField(label="Stocks budded")

    def __init__(
        self,
        data: Mapping[str, object] | None = None,
        *,
        bundles: tuple[Bundle, ...],
        notebook: Notebook,
        codes: tuple[str, ...] = (),
        prefix: str = "bud",
    ) -> None:
        super().__init__(data, prefix=prefix, initial={"codes": " ".join(codes)})
        field = self.fields["bundle"]
        assert isinstance(field, forms.ChoiceField)
        field.choices = [
            (b.code, f"{b.code}, {notebook.variety_of_bundle(b.code)}, cut {b.cut_on:%-d %B}")
            for b in bundles
        ]


class CarryOverForm(forms.Form):
    """Free stocks of one kind kept as one lot for the next winter."""

    codes = CodesField(label="Stocks kept")
    low_mm = LengthField(label="Thinnest where the cut will come", least=2, most=60)
    high_mm = LengthField(label="Thickest where the cut will come", least=2, most=60)
    place = forms.ChoiceField(label="They stand in", required=False)
    happened_on = DayField()

    def __init__(
        self,
        data: Mapping[str, object] | None = None,
        *,
        notebook: Notebook,
        codes: tuple[str, ...] = (),
    ) -> None:
        super().__init__(data, prefix="keep", initial={"codes": " ".join(codes)})
        field = self.fields["place"]
        assert isinstance(field, forms.ChoiceField)
        field.choices = [("", "Not written"), *((c, p.name) for c, p in notebook.places.items())]
