"""What can be written about bundles, stock lots, mother trees and places."""

from typing import cast

from django import forms

from graftwright.notebook.entries import (
    BundleChecked,
    BundleDiscarded,
    BundleMoved,
    Certainty,
    CertaintyJudged,
    Condition,
    Health,
    HealthNoted,
    PermissionRecorded,
    StickMeasured,
    StocksArrived,
    StocksChecked,
    StocksConfirmed,
    StocksLost,
    StocksMeasured,
    Waking,
    WoodCut,
)
from graftwright.notebook.entries.entry import Entry
from graftwright.store.codes import next_codes
from graftwright.tongue import marked, told
from graftwright.web.trees.deeds import Deed, MoveDeed, NoteDeed
from graftwright.web.trees.deeds_wanted import (
    EvidenceDeed,
    LimitsDeed,
    RescueDeed,
    RoomDeed,
    WaterDeed,
)
from graftwright.web.trees.fields import LengthField, choice_field, count_field, words_field


class CheckBundleDeed(Deed):
    """A bundle in store was looked at."""

    heading = marked("Looked at")
    condition = choice_field(marked("The wood is"), Condition)
    words = words_field(marked("What was seen"))

    def entry(self, codes: tuple[str, ...]) -> Entry:
        """Return BundleChecked."""
        data = self.cleaned_data
        return BundleChecked(
            happened_on=self.day,
            code=codes[0],
            condition=Condition(data["condition"]),
            words=data["words"],
        )


class MoveBundleDeed(MoveDeed):
    """A bundle went to another place."""

    def offer(self) -> None:
        """Offer the places; a bundle has no position."""
        super().offer()
        del self.fields["position"]

    def entry(self, codes: tuple[str, ...]) -> Entry:
        """Return BundleMoved."""
        place_code = self.cleaned_data["place"]
        return BundleMoved(happened_on=self.day, code=codes[0], place_code=place_code)


class DiscardBundleDeed(Deed):
    """What was left of a bundle was thrown out."""

    heading = marked("Rest thrown out")
    reason = words_field(marked("Why"))

    def entry(self, codes: tuple[str, ...]) -> Entry:
        """Return BundleDiscarded."""
        reason = self.cleaned_data["reason"]
        return BundleDiscarded(happened_on=self.day, code=codes[0], reason=reason)


class MeasureStocksDeed(Deed):
    """Stocks measured one by one where the cut will come."""

    heading = marked("Thicknesses measured")
    diameters_mm = words_field(
        marked("Thicknesses in millimetres"),
        required=True,
        most=20_000,
        rows=3,
        help_text=marked("One for each stock, apart by spaces or lines, such as 8.5 9 9.2."),
    )

    def clean_diameters_mm(self) -> tuple[float, ...]:
        """Return the thicknesses; say which of them is no number."""
        found = []
        for part in cast("str", self.cleaned_data["diameters_mm"]).replace(";", " ").split():
            try:
                found.append(float(part.strip(",").replace(",", ".")))
            except ValueError as wrong:
                raise forms.ValidationError(
                    told(
                        "{part} is no thickness; write millimetres such as 8.5, apart by spaces.",
                        part=part,
                    )
                ) from wrong
        return tuple(found)

    def entry(self, codes: tuple[str, ...]) -> Entry:
        """Return StocksMeasured."""
        diameters_mm = self.cleaned_data["diameters_mm"]
        return StocksMeasured(happened_on=self.day, code=codes[0], diameters_mm=diameters_mm)


class _CountDeed(Deed):
    how_many = count_field(marked("How many"))


class ConfirmStocksDeed(_CountDeed):
    """The supplier said how many will come."""

    heading = marked("Supplier’s answer")

    def entry(self, codes: tuple[str, ...]) -> Entry:
        """Return StocksConfirmed."""
        count = self.cleaned_data["how_many"]
        return StocksConfirmed(happened_on=self.day, code=codes[0], confirmed_count=count)


class StocksArrivedDeed(_CountDeed):
    """Stocks came."""

    heading = marked("Arrived")

    def entry(self, codes: tuple[str, ...]) -> Entry:
        """Return StocksArrived."""
        count = self.cleaned_data["how_many"]
        return StocksArrived(happened_on=self.day, code=codes[0], arrived_count=count)


class StocksLostDeed(_CountDeed):
    """Stocks died or were thrown out unworked."""

    heading = marked("Lost before they were worked")
    reason = words_field(marked("Why"))

    def entry(self, codes: tuple[str, ...]) -> Entry:
        """Return StocksLost."""
        data = self.cleaned_data
        return StocksLost(
            happened_on=self.day, code=codes[0], lost_count=data["how_many"], reason=data["reason"]
        )


class StocksCheckedDeed(Deed):
    """A lot was looked at."""

    heading = marked("Looked at")
    waking = choice_field(marked("The buds are"), Waking)
    words = words_field(marked("What was seen"))

    def entry(self, codes: tuple[str, ...]) -> Entry:
        """Return StocksChecked."""
        data = self.cleaned_data
        return StocksChecked(
            happened_on=self.day,
            code=codes[0],
            waking=Waking(data["waking"]),
            words=data["words"],
        )


class WoodCutDeed(Deed):
    """Wood cut from a mother tree: so many sticks, alike, under a new bundle code."""

    heading = marked("Wood cut")
    stick_count = count_field(marked("Sticks"), least=1, most=200)
    bud_count = count_field(marked("Buds on each"), least=1, most=60)
    length_mm = LengthField(label=marked("Length of a stick"), least=20, most=3000)
    base_mm = LengthField(label=marked("Thickness at the base"), least=1, most=40)
    tip_mm = LengthField(label=marked("Thickness at the tip"), least=1, most=40)

    def entry(self, codes: tuple[str, ...]) -> Entry:
        """Return WoodCut with the next free code. Raises OutOfRange for an impossible stick."""
        data = self.cleaned_data
        sticks = tuple(
            StickMeasured(
                number=number,
                length_mm=data["length_mm"],
                base_mm=data["base_mm"],
                tip_mm=data["tip_mm"],
                bud_count=data["bud_count"],
            )
            for number in range(1, data["stick_count"] + 1)
        )
        return WoodCut(
            happened_on=self.day,
            code=next_codes(1, today=self.day)[0],
            variety=self.notebook.mother_trees[codes[0]].variety,
            mother_tree_code=codes[0],
            sticks=sticks,
        )


class CertaintyDeed(Deed):
    """How sure the name is."""

    heading = marked("How sure the name is")
    certainty = choice_field(marked("The name is"), Certainty)
    evidence = words_field(marked("From what"))

    def entry(self, codes: tuple[str, ...]) -> Entry:
        """Return CertaintyJudged."""
        data = self.cleaned_data
        return CertaintyJudged(
            happened_on=self.day,
            code=codes[0],
            certainty=Certainty(data["certainty"]),
            evidence=data["evidence"],
        )


class PermissionDeed(Deed):
    """What the owner allowed."""

    heading = marked("Owner’s permission")
    owner = words_field(marked("Owner"), required=True, most=120)
    granted = forms.ChoiceField(
        label=marked("Cutting is"),
        choices=[("yes", marked("Allowed")), ("no", marked("Not allowed"))],
    )
    words = words_field(marked("In their words"))

    def entry(self, codes: tuple[str, ...]) -> Entry:
        """Return PermissionRecorded."""
        data = self.cleaned_data
        return PermissionRecorded(
            happened_on=self.day,
            code=codes[0],
            owner=data["owner"],
            words=data["words"],
            granted=data["granted"] == "yes",
        )


class HealthDeed(Deed):
    """What was seen of its health."""

    heading = marked("Health")
    health = choice_field(marked("It looks"), Health)
    words = words_field(marked("What was seen"))

    def entry(self, codes: tuple[str, ...]) -> Entry:
        """Return HealthNoted."""
        data = self.cleaned_data
        return HealthNoted(
            happened_on=self.day,
            code=codes[0],
            health=Health(data["health"]),
            words=data["words"],
        )


MATERIAL_DEEDS: dict[str, dict[str, type[Deed]]] = {
    "bundle": {
        "check": CheckBundleDeed,
        "move": MoveBundleDeed,
        "discard": DiscardBundleDeed,
        "note": NoteDeed,
    },
    "lot": {
        "confirm": ConfirmStocksDeed,
        "arrive": StocksArrivedDeed,
        "measure": MeasureStocksDeed,
        "check": StocksCheckedDeed,
        "lose": StocksLostDeed,
        "note": NoteDeed,
    },
    "mother tree": {
        "cut": WoodCutDeed,
        "health": HealthDeed,
        "permission": PermissionDeed,
        "certainty": CertaintyDeed,
        "evidence": EvidenceDeed,
        "rescue": RescueDeed,
        "note": NoteDeed,
    },
    "place": {"water": WaterDeed, "limits": LimitsDeed, "room": RoomDeed, "note": NoteDeed},
}
