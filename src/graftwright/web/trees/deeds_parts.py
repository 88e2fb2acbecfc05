"""What can be written about one of several varieties on a tree."""

from collections.abc import Sequence

from django import forms

from graftwright.notebook.entries import LimbGirthMeasured, PartJudged, Scion
from graftwright.notebook.entries.entry import Entry
from graftwright.notebook.standing import Part
from graftwright.notebook.standing.working import parts_near
from graftwright.tongue import marked, number, say, says
from graftwright.web.trees.deeds import Deed
from graftwright.web.trees.fields import LengthField, choice_field, goes_with_another, words_field
from graftwright.web.trees.limbs import COMPASS, direction_words


class _OfAPart(Deed):
    """A deed about one of the grafts on a tree."""

    def choices_of(self, name: str) -> forms.ChoiceField:
        """Return a field of this form that offers choices."""
        field = self.fields[name]
        assert isinstance(field, forms.ChoiceField)
        return field

    def offered(self, parts: Sequence[Part], *, none_words: str) -> list[tuple[str, str]]:
        """Return grafts by number as they are offered, after the words for none of them."""
        return [("", none_words), *((str(part.number), self._named(part)) for part in parts)]

    def _named(self, part: Part) -> str:
        words = say("{number}: {variety}, {height} cm up, facing {direction}").format(
            number=part.number,
            variety=self.notebook.variety_of_bundle(part.bundle_code),
            height=number(part.height_mm / 10.0, ".0f"),
            direction=direction_words(part.bearing_deg),
        )
        return f"{words}, {part.limb}" if part.limb else words


class GirthDeed(_OfAPart):
    """The girth of a limb that bears one of the varieties, for the yearly balance."""

    heading = marked("Girth of a limb measured")
    part_number = forms.ChoiceField()
    girth_mm = LengthField(label="", least=3.0, most=3000)

    def offer(self) -> None:
        """Offer the tree's own variety and every graft that is there."""
        tree = self.notebook.trees.get(self.code)
        parts = [part for part in tree.parts if part.is_there] if tree else []
        own = self.notebook.variety_of(tree) if tree else ""
        field = self.choices_of("part_number")
        field.label = say("Limb of which variety")
        own_words = say("{variety}, the tree’s first").format(variety=own)
        field.choices = [("0", own_words), *self.offered(parts, none_words="")[1:]]
        girth = self.fields["girth_mm"]
        girth.label = say("Girth, a hand above the union")
        girth.help_text = say("In millimetres round the limb; the same height each year.")

    def entry(self, codes: tuple[str, ...]) -> Entry:
        """Return LimbGirthMeasured."""
        data = self.cleaned_data
        return LimbGirthMeasured(
            happened_on=self.day,
            tree_codes=codes,
            part_number=int(data["part_number"]),
            girth_mm=data["girth_mm"],
        )


class JudgePartDeed(_OfAPart):
    """One of the further varieties judged, chosen or found by its height and direction."""

    heading = marked("One of its varieties judged")
    part_number = forms.ChoiceField(required=False)
    height_mm = LengthField(label="", most=15_000, required=False)
    bearing = forms.ChoiceField(required=False)
    scion = choice_field(
        marked("It is"), (Scion.GROWING, Scion.WAITING, Scion.DOUBTFUL, Scion.DEAD)
    )
    words = words_field(marked("What was seen"))

    def offer(self) -> None:
        """Offer the grafts that are there, and a height and direction to find one by."""
        tree = self.notebook.trees.get(self.code)
        self._parts = tree.parts if tree else ()
        self.fields["part_number"].label = say("Which graft")
        self.fields["height_mm"].label = say("Or its height above the soil")
        self.fields["bearing"].label = say("and where it faces")
        self.choices_of("part_number").choices = self.offered(
            [part for part in self._parts if part.is_there],
            none_words=say("The one measured below"),
        )
        for name in ("part_number", "height_mm", "bearing"):
            goes_with_another(self.fields[name])
        self.choices_of("bearing").choices = [
            ("", say("Not measured")),
            *((str(45 * place), name) for place, name in enumerate(COMPASS)),
        ]

    def clean(self) -> dict[str, object]:
        """Find the graft by its measures where none was chosen; of several, ask which."""
        data: dict[str, object] = super().clean() or self.cleaned_data
        if data.get("part_number") or self.errors:
            return data
        height_mm, bearing = data.get("height_mm"), data.get("bearing")
        if not isinstance(height_mm, float) or not bearing:
            words = say("Choose the graft, or write its height and where it faces.")
            self.add_error("part_number", words)
            return data
        near = parts_near(self._parts, height_mm=height_mm, bearing_deg=float(str(bearing)))
        if len(near) != 1:
            self._ask_again(near)
            return data
        return data | {"part_number": str(near[0].number)}

    def _ask_again(self, near: Sequence[Part]) -> None:
        if near:
            self.choices_of("part_number").choices = self.offered(near, none_words=say("Choose"))
            words = says(
                "{count} graft may be meant; choose it.",
                "{count} grafts may be meant, the nearest first; choose one.",
                len(near),
            )
            self.add_error("part_number", words.format(count=len(near)))
            return
        self.add_error(
            "height_mm",
            say(
                "No living graft is known there, within a tenth of the height and 30 degrees. "
                "Measure again, or choose it above."
            ),
        )

    def entry(self, codes: tuple[str, ...]) -> Entry:
        """Return PartJudged."""
        data = self.cleaned_data
        return PartJudged(
            happened_on=self.day,
            tree_codes=codes,
            part_number=int(data["part_number"]),
            scion=Scion(data["scion"]),
            words=data["words"],
        )
