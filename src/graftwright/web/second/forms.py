"""What is asked when stocks are budded, or carried over."""

from collections.abc import Mapping

from django import forms

from graftwright.notebook.entries import Binding, Method
from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import Bundle
from graftwright.tongue import marked, say, told
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
        label=marked("Budwood"),
        error_messages={"required": marked("Choose the bundle the buds came from.")},
    )
    method = choice_field(marked("How"), _BUD_METHODS)
    binding = choice_field(marked("Binding"), Binding)
    grafter = words_field(marked("Initials of who budded"), most=8)
    spoilt_count = forms.IntegerField(
        label=marked("Buds spoilt"),
        required=False,
        min_value=0,
        max_value=500,
        widget=forms.NumberInput(attrs={"inputmode": "numeric"}),
    )
    happened_on = DayField()
    codes = CodesField(label=marked("Stocks budded"))

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
            (
                b.code,
                told(
                    "{b_code}, {variety_of_bundle}, cut {cut_on:%-d %B}",
                    b_code=b.code,
                    variety_of_bundle=notebook.variety_of_bundle(b.code),
                    cut_on=b.cut_on,
                ),
            )
            for b in bundles
        ]


class CarryOverForm(forms.Form):
    """Free stocks of one kind kept as one lot for the next winter."""

    codes = CodesField(label=marked("Stocks kept"))
    low_mm = LengthField(label=marked("Thinnest where the cut will come"), least=2, most=60)
    high_mm = LengthField(label=marked("Thickest where the cut will come"), least=2, most=60)
    place = forms.ChoiceField(label=marked("They stand in"), required=False)
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
        field.choices = [
            ("", say("Not written")),
            *((c, p.name) for c, p in notebook.places.items()),
        ]
