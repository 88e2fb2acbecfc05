"""The sheets themselves: what holds for all trees, and each tree's own exception."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from typing import ClassVar

from django import forms

from graftwright.notebook.entries import (
    Cause,
    Graded,
    GrowthMeasured,
    PottedOn,
    Scion,
    ScionDied,
    StockDied,
    StockState,
    TakeJudged,
    TreeMoved,
)
from graftwright.notebook.entries.entry import Entry
from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import Tree
from graftwright.season.place_room import no_room_words
from graftwright.tongue import headed, marked, say
from graftwright.web.trees.fields import DayField, LengthField, choice_field, words_field

AS_ABOVE, LEFT_OUT = "", "-"
_JUDGED = (Scion.GROWING, Scion.MOVING, Scion.WAITING, Scion.DOUBTFUL, Scion.DEAD)


class Sheet(forms.Form):
    """A sheet about many trees; each row's fields are named after its tree's code."""

    what: ClassVar[str] = ""
    row_heads: ClassVar[tuple[str, ...]] = ()

    happened_on = DayField()

    def __init__(
        self, data: Mapping[str, object] | None, *, trees: tuple[Tree, ...], notebook: Notebook
    ) -> None:
        super().__init__(data)
        self.trees = trees
        self.notebook = notebook
        self.add_whole()
        self.fields["happened_on"] = self.fields.pop("happened_on")
        self.whole_names = tuple(self.fields)
        self.row_names: dict[str, tuple[str, ...]] = {}
        for tree in trees:
            row = {f"{name}-{tree.code}": field for name, field in self.row_fields()}
            for head, field in zip(self.row_heads, row.values(), strict=True):
                field.widget.attrs["aria-label"] = f"{head}, {tree.code}"
            self.fields.update(row)
            self.row_names[tree.code] = tuple(row)

    def add_whole(self) -> None:
        """Add what holds for all trees."""

    def row_fields(self) -> Iterable[tuple[str, forms.Field]]:
        """Yield the fields of one row."""
        raise NotImplementedError

    def entries(self) -> tuple[Entry, ...]:
        """Return what the sheet writes down, one entry for trees that are alike."""
        raise NotImplementedError

    def _own(self, name: str, tree: Tree) -> str:
        return str(self.cleaned_data.get(f"{name}-{tree.code}") or "")


def _own_choice(words: Iterable[tuple[str, str]]) -> forms.ChoiceField:
    choices = [(AS_ABOVE, say("As above")), *words, (LEFT_OUT, say("Leave out"))]
    return forms.ChoiceField(required=False, choices=choices)


class TakeSheet(Sheet):
    """Scion and stock judged, each for itself."""

    what = "take"
    row_heads = (marked("Scion"), marked("Stock"))

    def add_whole(self) -> None:
        """Add the judgement of all."""
        self.fields["scion"] = choice_field(say("Scion of all"), _JUDGED)
        self.fields["stock"] = choice_field(say("Stock of all"), StockState)
        self.fields["cause"] = choice_field(
            say("Cause of the dead"), Cause, required=False, empty_words=say("Not judged")
        )

    def row_fields(self) -> Iterable[tuple[str, forms.Field]]:
        """Yield a scion and a stock of its own."""
        yield "scion", _own_choice((s.value, headed(s.value)) for s in _JUDGED)
        stocks = [(AS_ABOVE, say("As above")), *((s.value, headed(s.value)) for s in StockState)]
        yield "stock", forms.ChoiceField(required=False, choices=stocks)

    def entries(self) -> tuple[Entry, ...]:
        """Return one judgement for each pair of states."""
        alike: dict[tuple[str, str], list[str]] = defaultdict(list)
        for tree in self.trees:
            scion = self._own("scion", tree) or self.cleaned_data["scion"]
            stock = self._own("stock", tree) or self.cleaned_data["stock"]
            if scion != LEFT_OUT:
                alike[scion, stock].append(tree.code)
        return tuple(
            self._judged(Scion(scion), StockState(stock), tuple(codes))
            for (scion, stock), codes in alike.items()
        )

    def _judged(self, scion: Scion, stock: StockState, codes: tuple[str, ...]) -> Entry:
        day, cause = self.cleaned_data["happened_on"], self.cleaned_data["cause"]
        if cause and stock is StockState.DEAD:
            return StockDied(happened_on=day, tree_codes=codes, cause=Cause(cause))
        if cause and scion is Scion.DEAD:
            return ScionDied(happened_on=day, tree_codes=codes, cause=Cause(cause))
        return TakeJudged(happened_on=day, tree_codes=codes, scion=scion, stock=stock)


class GrowthSheet(Sheet):
    """New growth measured tree by tree."""

    what = "growth"
    row_heads = (marked("New growth"),)

    def add_whole(self) -> None:
        """Add a length for those without one of their own."""
        self.fields["growth"] = LengthField(
            label=say("New growth of those left empty below"),
            most=4000,
            required=False,
            help_text=say(
                "Leave it empty to write only about the trees you measured. In "
                "millimetres; another unit if you write it, such as 8 in."
            ),
        )

    def row_fields(self) -> Iterable[tuple[str, forms.Field]]:
        """Yield the tree's own length."""
        yield "growth", LengthField(label="", most=4000, required=False)

    def clean(self) -> dict[str, object]:
        """Ask for at least one length."""
        data: dict[str, object] = super().clean() or self.cleaned_data
        names = ("growth", *(f"growth-{tree.code}" for tree in self.trees))
        if not self.errors and all(data.get(name) is None for name in names):
            self.add_error("growth", say("No length is written; measure at least one tree."))
        return data

    def entries(self) -> tuple[Entry, ...]:
        """Return one measurement for each length."""
        alike: dict[float, list[str]] = defaultdict(list)
        for tree in self.trees:
            own = self.cleaned_data[f"growth-{tree.code}"]
            growth_mm = self.cleaned_data["growth"] if own is None else own
            if growth_mm is not None:
                alike[growth_mm].append(tree.code)
        day = self.cleaned_data["happened_on"]
        return tuple(
            GrowthMeasured(happened_on=day, tree_codes=tuple(codes), growth_mm=growth_mm)
            for growth_mm, codes in alike.items()
        )


class GradeSheet(Sheet):
    """Fit to hand over or not, with the height."""

    what = "grade"
    row_heads = (marked("Fit"), marked("Height"))
    _FIT: ClassVar[tuple[tuple[str, str], ...]] = (
        ("yes", marked("Fit to hand over")),
        ("no", marked("Not yet")),
    )

    def add_whole(self) -> None:
        """Add the grade of all."""
        self.fields["fit"] = forms.ChoiceField(label=say("All are"), choices=self._FIT)

    def row_fields(self) -> Iterable[tuple[str, forms.Field]]:
        """Yield the tree's own grade and height."""
        yield "fit", _own_choice(self._FIT)
        yield "height", LengthField(label="", kept_in="m", most=8, required=False)

    def entries(self) -> tuple[Entry, ...]:
        """Return one grading for each grade and height."""
        alike: dict[tuple[str, float | None], list[str]] = defaultdict(list)
        for tree in self.trees:
            fit = self._own("fit", tree) or self.cleaned_data["fit"]
            if fit != LEFT_OUT:
                alike[fit, self.cleaned_data[f"height-{tree.code}"]].append(tree.code)
        day = self.cleaned_data["happened_on"]
        return tuple(
            Graded(happened_on=day, tree_codes=tuple(codes), ready=fit == "yes", height_m=height_m)
            for (fit, height_m), codes in alike.items()
        )


class _AllButSheet(Sheet):
    row_heads = (marked("Exception"),)

    def row_fields(self) -> Iterable[tuple[str, forms.Field]]:
        """Yield whether the tree is left out."""
        yield "own", _own_choice(())

    def _codes(self) -> tuple[str, ...]:
        return tuple(tree.code for tree in self.trees if self._own("own", tree) != LEFT_OUT)


class PotSheet(_AllButSheet):
    """Potted on, all alike."""

    what = "pot"

    def add_whole(self) -> None:
        """Add the size of the pots."""
        self.fields["litres"] = forms.FloatField(
            label=say("Pot, in litres"),
            min_value=0.1,
            max_value=500,
            widget=forms.NumberInput(attrs={"inputmode": "decimal", "step": "any"}),
            error_messages={
                "required": say("Write the size of the pots."),
                "invalid": say("Write litres, such as 5."),
            },
        )

    def entries(self) -> tuple[Entry, ...]:
        """Return one potting on."""
        day, litres = self.cleaned_data["happened_on"], self.cleaned_data["litres"]
        codes = self._codes()
        return (PottedOn(happened_on=day, tree_codes=codes, pot_litres=litres),) if codes else ()


class MoveSheet(_AllButSheet):
    """Moved to a place, all together."""

    what = "move"

    def add_whole(self) -> None:
        """Add the place they went to."""
        places = [(code, place.name) for code, place in self.notebook.places.items()]
        self.fields["place"] = forms.ChoiceField(
            label=say("They went to"), choices=[("", say("Choose a place")), *places]
        )
        self.fields["position"] = words_field(say("Position there"), most=60)

    def clean(self) -> dict[str, object]:
        """Refuse a place that has not room for all of them."""
        data: dict[str, object] = super().clean() or self.cleaned_data
        place_code = str(data.get("place") or "")
        why = no_room_words(self.notebook, place_code=place_code, codes=self._codes())
        if why:
            self.add_error("place", why)
        return data

    def entries(self) -> tuple[Entry, ...]:
        """Return one move."""
        data, codes = self.cleaned_data, self._codes()
        if not codes:
            return ()
        return (
            TreeMoved(
                happened_on=data["happened_on"],
                tree_codes=codes,
                place_code=data["place"],
                position=data["position"],
            ),
        )


SHEETS: dict[str, type[Sheet]] = {
    kind.what: kind for kind in (TakeSheet, GrowthSheet, GradeSheet, PotSheet, MoveSheet)
}
