"""What can be written about a tree later on: opened, worked again, more varieties, fruit."""

from django import forms

from graftwright.notebook.entries import (
    AutopsyMade,
    Binding,
    FruitedAs,
    HardeningBegun,
    HowSure,
    LimbRemoved,
    Method,
    Reworked,
    StockCutBack,
    StockShootKept,
    TreeEntry,
    VarietyAdded,
)
from graftwright.notebook.entries.entry import Entry
from graftwright.season.second_chance import spring_of_bud
from graftwright.tongue import marked, say, told
from graftwright.web.trees.deeds import Deed
from graftwright.web.trees.deeds_parts import GirthDeed, JudgePartDeed
from graftwright.web.trees.fields import LengthField, choice_field, goes_with_another, words_field
from graftwright.web.trees.limbs import COMPASS

_SEEN = [("", marked("Not looked for")), ("yes", "Yes"), ("no", "No")]
_BUDS = (Method.CHIP_BUD, Method.T_BUD)


def _sign(label: str) -> forms.ChoiceField:
    return forms.ChoiceField(label=label, choices=_SEEN, required=False)


class AutopsyDeed(Deed):
    """A failed graft opened; what was not looked for stays open."""

    heading = marked("Failed graft opened")
    scion_shrivelled = _sign(marked("Scion shrivelled"))
    callus_seen = _sign(marked("Callus on the cut"))
    wood_dark = _sign(marked("Cut dark inside"))
    union_moved = _sign(marked("Union had moved"))
    upside_down = _sign(marked("Scion upside down"))
    words = words_field(marked("What else was seen"))

    def entry(self, codes: tuple[str, ...]) -> Entry:
        """Return AutopsyMade."""
        return AutopsyMade(
            happened_on=self.day,
            tree_codes=codes,
            scion_shrivelled=self._seen("scion_shrivelled"),
            callus_seen=self._seen("callus_seen"),
            wood_dark=self._seen("wood_dark"),
            union_moved=self._seen("union_moved"),
            upside_down=self._seen("upside_down"),
            words=self.cleaned_data["words"],
        )

    def _seen(self, name: str) -> bool | None:
        value = self.cleaned_data[name]
        return value == "yes" if value else None


class _FromBundle(Deed):
    bundle = forms.ChoiceField(
        label=marked("Wood"),
        error_messages={"required": marked("Choose the bundle the wood came from.")},
    )

    def offer(self) -> None:
        """Offer the bundles that still hold wood, the latest first."""
        held = [
            bundle
            for bundle in self.notebook.bundles.values()
            if bundle.discarded_on is None and (bundle.pieces_at_most or not bundle.sticks)
        ]
        field = self.fields["bundle"]
        assert isinstance(field, forms.ChoiceField)
        field.choices = [
            ("", say("Choose a bundle")),
            *(
                (
                    b.code,
                    told(
                        "{b_code}, {variety_of_bundle}, cut {cut_on}",
                        b_code=b.code,
                        variety_of_bundle=self.notebook.variety_of_bundle(b.code),
                        cut_on=b.cut_on,
                    ),
                )
                for b in sorted(held, key=lambda one: one.cut_on, reverse=True)
            ),
        ]


class ReworkDeed(_FromBundle):
    """The stock worked again, or the tree changed over to another variety."""

    heading = marked("Worked again, by bud or graft")
    method = choice_field(marked("How"), (*_BUDS, *(m for m in Method if m not in _BUDS)))
    binding = choice_field(marked("Binding"), Binding)
    grafter = words_field(marked("Initials of who did it"), most=8)

    def entry(self, codes: tuple[str, ...]) -> Entry:
        """Return Reworked; a bud set in summer rests until its spring."""
        data, latitude = self.cleaned_data, self.notebook.nursery.latitude_deg
        method = Method(data["method"])
        is_south = latitude is not None and latitude < 0.0
        breaks_in = spring_of_bud(self.day, is_south=is_south)
        rests = method in _BUDS and self._is_budding_time(is_south=is_south)
        return Reworked(
            happened_on=self.day,
            tree_codes=codes,
            bundle_code=data["bundle"],
            method=method,
            binding=Binding(data["binding"]),
            grafter="".join(data["grafter"].split()).upper(),
            breaks_in=breaks_in if rests else None,
        )

    def _is_budding_time(self, *, is_south: bool) -> bool:
        return self.day.month in ((12, 1, 2, 3) if is_south else (6, 7, 8, 9))


class AddVarietyDeed(_FromBundle):
    """A further variety on the tree, found again by its height and the way it faces."""

    heading = marked("Further variety worked on it")
    height_mm = LengthField(label=marked("Height above the soil"), most=15_000)
    bearing = forms.ChoiceField(
        label=marked("It faces"), choices=[(str(45 * n), name) for n, name in enumerate(COMPASS)]
    )
    limb = words_field(marked("Limb it stands on"), most=60)
    method = choice_field(marked("How"), Method)
    grafter = words_field(marked("Initials of who did it"), most=8)

    def entry(self, codes: tuple[str, ...]) -> Entry:
        """Return VarietyAdded."""
        data = self.cleaned_data
        return VarietyAdded(
            happened_on=self.day,
            tree_codes=codes,
            bundle_code=data["bundle"],
            height_mm=data["height_mm"],
            bearing_deg=float(data["bearing"]),
            limb=data["limb"],
            method=Method(data["method"]),
            grafter="".join(data["grafter"].split()).upper(),
        )


class LimbDeed(Deed):
    """A limb cut off with every graft on it."""

    heading = marked("Limb cut off, with its grafts")
    limb = words_field(marked("Limb"), required=True, most=60)

    def entry(self, codes: tuple[str, ...]) -> Entry:
        """Return LimbRemoved."""
        limb = self.cleaned_data["limb"]
        return LimbRemoved(happened_on=self.day, tree_codes=codes, limb=limb)


class FruitDeed(Deed):
    """The tree fruited."""

    heading = marked("Fruited")
    variety = words_field(
        marked("The fruit is of"), most=120, help_text=marked("Leave it empty if nobody could say.")
    )
    how_sure = choice_field("", HowSure, required=False)
    words = words_field(marked("By whom and from what"))

    def offer(self) -> None:
        """Ask how sure it is in the reader's language."""
        field = self.fields["how_sure"]
        assert isinstance(field, forms.ChoiceField)
        goes_with_another(field)
        field.label = say("How sure that is")
        field.help_text = say(
            "Certain: checked by somebody who knows it, against a description or another tree."
        )
        words = ((str(one), say(one)) for one in HowSure)
        field.choices = [
            ("", say("Choose")),
            *((one, f"{w[:1].upper()}{w[1:]}") for one, w in words),
        ]

    def clean(self) -> dict[str, object]:
        """Who names a variety says how sure that is."""
        data: dict[str, object] = super().clean() or self.cleaned_data
        if data.get("variety") and not data.get("how_sure") and "how_sure" not in self.errors:
            self.add_error("how_sure", say("Say how sure it is; a guess is welcome as a guess."))
        return data

    def entry(self, codes: tuple[str, ...]) -> Entry:
        """Return FruitedAs."""
        data = self.cleaned_data
        return FruitedAs(
            happened_on=self.day,
            tree_codes=codes,
            variety=data["variety"],
            words=data["words"],
            how_sure=HowSure(data["how_sure"]) if data["variety"] else None,
        )


def _capital(words: str) -> str:
    return f"{words[:1].upper()}{words[1:]}"


class StockCareDeed(Deed):
    """Care of the stock beneath a scion that waits, rests or is lost; hardening off."""

    heading = marked("Stock shoots kept, cut back, or hardened off")
    _KINDS: dict[str, type[TreeEntry]] = {
        "kept": StockShootKept,
        "back": StockCutBack,
        "hardening": HardeningBegun,
    }
    done = forms.ChoiceField(
        label=marked("Done"),
        choices=[
            ("kept", marked("Stock shoots pinched, the best one kept")),
            ("back", marked("Cut back to the bud")),
            ("hardening", marked("Put out by day to harden off")),
        ],
    )

    def entry(self, codes: tuple[str, ...]) -> Entry:
        """Return StockShootKept, StockCutBack or HardeningBegun."""
        kind = self._KINDS[self.cleaned_data["done"]]
        return kind(happened_on=self.day, tree_codes=codes)


LATER_DEEDS: dict[str, type[Deed]] = {
    "autopsy": AutopsyDeed,
    "rework": ReworkDeed,
    "stock-care": StockCareDeed,
    "add-variety": AddVarietyDeed,
    "judge-part": JudgePartDeed,
    "girth": GirthDeed,
    "limb": LimbDeed,
    "fruit": FruitDeed,
}
