"""Forms at the bench: a run, a line of the paper run sheet, a count of labels, closing the day."""

from collections.abc import Iterable, Mapping
from datetime import date

from django import forms

from graftwright.errors import UnknownCode
from graftwright.notebook.entries import Binding, Method, RunGrafted
from graftwright.notebook.notebook import Notebook
from graftwright.season.planned import Run
from graftwright.tagcode import read_code
from graftwright.tongue import marked, say, told
from graftwright.web.trees.fields import (
    CodesField,
    DayField,
    choice_field,
    count_field,
    words_field,
)

MOST_GRAFTS_A_RUN = 200


class CodeField(forms.CharField):
    """One code as typed or scanned."""

    def __init__(self, *, label: str, required: bool, listed_as: str) -> None:
        super().__init__(
            label=label,
            required=required,
            max_length=20,
            widget=forms.TextInput(
                attrs={
                    "list": listed_as,
                    "autocomplete": "off",
                    "autocapitalize": "characters",
                    "size": 6,
                }
            ),
            error_messages={"required": marked("Type or scan the code.")},
        )

    def clean(self, value: str | None) -> str:
        """Return the code in its written form, empty where it may be."""
        text = super().clean(value or "")
        if not text:
            return ""
        try:
            return read_code(text)
        except UnknownCode as wrong:
            raise forms.ValidationError(str(wrong)) from wrong


class RunForm(forms.Form):
    """A run: this bundle on that lot, so many grafts."""

    bundle = CodeField(label=marked("Bundle"), required=True, listed_as="bundles")
    lot = CodeField(label=marked("Stock lot"), required=True, listed_as="lots")
    promise = CodeField(label=marked("Promise"), required=False, listed_as="promises")
    how_many = count_field(marked("Grafts"), least=1, most=MOST_GRAFTS_A_RUN)
    spoilt = count_field(marked("Spoilt"), most=500, required=False)
    method = choice_field(marked("Method"), Method)
    binding = choice_field(marked("Binding"), Binding)
    who = words_field(marked("Who"), most=40)
    place = forms.ChoiceField(label=marked("They go to"), required=False)
    codes = CodesField(
        label=marked("Codes, if other labels were used"),
        required=False,
        help_text=marked("Empty: the labels shown are used."),
    )
    interstem = CodeField(label=marked("Interstem"), required=False, listed_as="bundles")
    open_anyway = forms.BooleanField(required=False, label=marked("Open it all the same"))

    def __init__(
        self,
        data: Mapping[str, object] | None = None,
        *,
        notebook: Notebook,
        initial: dict[str, object] | None = None,
    ) -> None:
        super().__init__(data, initial=initial)
        self.notebook = notebook
        place = self.fields["place"]
        assert isinstance(place, forms.ChoiceField)
        place.choices = [("", say("No place yet")), *_places(notebook)]
        between = self.fields["interstem"]
        between.label = say("Interstem")
        between.help_text = say(
            "Only for a graft of three parts: the bundle of the piece between stock and variety."
        )

    def clean_bundle(self) -> str:
        """Return the bundle's code, if it names one."""
        return _named(self.cleaned_data["bundle"], self.notebook.bundles, say("bundle"))

    def clean_lot(self) -> str:
        """Return the lot's code, if it names one."""
        return _named(self.cleaned_data["lot"], self.notebook.lots, say("stock lot"))

    def clean_promise(self) -> str:
        """Return the promise's code, if it names one; it may be left empty."""
        code = self.cleaned_data["promise"]
        return _named(code, self.notebook.promises, say("promise")) if code else ""

    def clean_interstem(self) -> str:
        """Return the code of the bundle between, if there is one: not the variety's own."""
        code = self.cleaned_data["interstem"]
        if code and code == self.cleaned_data.get("bundle"):
            raise forms.ValidationError(
                say("The piece between is of another bundle than the variety; leave it empty.")
            )
        return _named(code, self.notebook.bundles, say("bundle")) if code else ""

    def clean(self) -> dict[str, object]:
        """Ask for as many codes as grafts where other labels were used."""
        data: dict[str, object] = super().clean() or self.cleaned_data
        codes, count = data.get("codes") or (), data.get("how_many")
        assert isinstance(codes, tuple)
        if codes and isinstance(count, int) and len(codes) != count:
            self.add_error(
                "codes",
                told(
                    "{count} codes for {count_2} grafts; each has its own.",
                    count=len(codes),
                    count_2=count,
                ),
            )
        return data

    def entry(self, codes: tuple[str, ...], *, run: Run | None, happened_on: date) -> RunGrafted:
        """Return the run with the codes of its labels."""
        data = self.cleaned_data
        return RunGrafted(
            happened_on=happened_on,
            tree_codes=codes,
            bundle_code=data["bundle"],
            lot_code=data["lot"],
            promise_code=data["promise"] or (run.promise_code if run else ""),
            place_code=data["place"] or (run.place_code if run else ""),
            method=Method(data["method"]),
            binding=Binding(data["binding"]),
            grafter=data["who"],
            spoilt_count=data["spoilt"] or 0,
            run_number=run.number if run else 0,
            interstem_bundle_code=data["interstem"],
        )


class SheetLineForm(RunForm):
    """One line of a paper run sheet that was filled by hand."""

    def __init__(
        self, data: Mapping[str, object] | None = None, *, notebook: Notebook, number: int
    ) -> None:
        super().__init__(data, notebook=notebook)
        self.prefix = f"line-{number}"
        self.number = number
        for name in ("place", "codes", "interstem", "open_anyway"):
            del self.fields[name]
        self.fields["method"].initial = Method.WHIP_AND_TONGUE.value
        self.fields["binding"].initial = Binding.STRETCH_FILM.value
        for field in self.fields.values():
            field.help_text = ""

    @property
    def is_blank(self) -> bool:
        """Whether nothing was written on the line that could be meant."""
        asked = ("bundle", "lot", "promise", "how_many", "spoilt", "who")
        return not any(str(self.data.get(self.add_prefix(name), "")).strip() for name in asked)

    def clean(self) -> dict[str, object]:
        """A line has neither place, codes nor interstem of its own."""
        self.cleaned_data |= {"place": "", "codes": (), "interstem": ""}
        return self.cleaned_data


class SheetDayForm(forms.Form):
    """The day on a paper run sheet."""

    happened_on = DayField(label=marked("Day on the sheet"))


class LabelsForm(forms.Form):
    """Labels used and left over."""

    used = count_field(marked("Labels used"), most=2000)
    left_over = count_field(marked("Left over"), most=2000, required=False)


class CloseForm(forms.Form):
    """The day closed, and how what does not agree came about."""

    words = words_field(marked("How it came about"), most=300)


def _named(code: str, known: Iterable[str], word: str) -> str:
    if code not in known:
        raise forms.ValidationError(
            told("No {word} has the code {code}; look at the tag again.", word=word, code=code)
        )
    return code


def _places(notebook: Notebook) -> list[tuple[str, str]]:
    return [(code, place.name) for code, place in notebook.places.items()]
