"""What can be written about an unknown or doomed mother tree, and about a place's limits."""

from django import forms

from graftwright.notebook.entries import (
    EvidenceKind,
    EvidenceNoted,
    PlaceEntered,
    PlaceLimitsSet,
    PlaceWatered,
    RescuePlanned,
)
from graftwright.notebook.entries.entry import Entry
from graftwright.tongue import marked
from graftwright.web.trees.deeds import Deed
from graftwright.web.trees.fields import DayField, choice_field, count_field, words_field


class EvidenceDeed(Deed):
    """Something that speaks for a name, against one, or for none."""

    heading = marked("Evidence for its name")
    evidence = choice_field(marked("What"), EvidenceKind)
    words = words_field(marked("What was seen or said, and by whom"), required=True, rows=2)
    speaks_for = words_field(
        marked("It speaks of"),
        most=120,
        help_text=marked("A name; empty for a test that found no match."),
    )
    is_against = forms.ChoiceField(
        label=marked("It speaks"),
        choices=[("", marked("For that name")), ("yes", marked("Against that name"))],
        required=False,
    )  # fmt: skip

    def entry(self, codes: tuple[str, ...]) -> Entry:
        """Return EvidenceNoted."""
        data = self.cleaned_data
        return EvidenceNoted(
            happened_on=self.day,
            code=codes[0],
            evidence=EvidenceKind(data["evidence"]),
            words=data["words"],
            speaks_for=data["speaks_for"],
            is_against=bool(data["is_against"]),
        )


class RescueDeed(Deed):
    """The tree will be lost: until when, and how many must live."""

    heading = marked("It will be lost: plan its rescue")
    access_until = DayField(label=marked("It can be reached until"), may_lie_ahead=True)
    wanted_count = count_field(marked("Living copies wanted"), least=1, most=200)
    sureness_percent = forms.IntegerField(
        label=marked("Sureness, per cent"),
        min_value=50,
        max_value=99,
        initial=95,
        widget=forms.NumberInput(attrs={"inputmode": "numeric"}),
        error_messages={
            "required": marked("Write how sure it must be."),
            "invalid": marked("Write 50 to 99."),
        },
    )
    words = words_field(marked("Why, and whom to ask"))

    def entry(self, codes: tuple[str, ...]) -> Entry:
        """Return RescuePlanned."""
        data = self.cleaned_data
        return RescuePlanned(
            happened_on=self.day,
            code=codes[0],
            access_until=data["access_until"],
            wanted_count=data["wanted_count"],
            sureness_fraction=data["sureness_percent"] / 100.0,
            words=data["words"],
        )


class LimitsDeed(Deed):
    """Between which temperatures a place should stay."""

    heading = marked("Temperatures it should keep to")
    low_c = forms.FloatField(label="Lowest, °C", required=False, min_value=-40, max_value=60)
    high_c = forms.FloatField(label="Highest, °C", required=False, min_value=-40, max_value=60)

    def entry(self, codes: tuple[str, ...]) -> Entry:
        """Return PlaceLimitsSet. Raises OutOfRange where the limits are swapped."""
        data = self.cleaned_data
        return PlaceLimitsSet(
            happened_on=self.day, place_code=codes[0], low_c=data["low_c"], high_c=data["high_c"]
        )


class RoomDeed(Deed):
    """How many trees a place holds."""

    heading = marked("Room in it")
    room_count = count_field(
        marked("Trees it holds"),
        required=False,
        help_text=marked("Empty: as many as are brought there."),
    )

    def entry(self, codes: tuple[str, ...]) -> Entry:
        """Return PlaceEntered: the place as it was, with another room."""
        place = self.notebook.places[codes[0]]
        return PlaceEntered(
            happened_on=self.day,
            code=place.code,
            name=place.name,
            place_kind=place.place_kind,
            capacity_count=self.cleaned_data["room_count"] or None,
            walking_order=place.walking_order,
        )


class WaterDeed(Deed):
    """Everything in a place watered."""

    heading = marked("Watered")
    litres = forms.FloatField(
        label=marked("Litres in all, if measured"), required=False, min_value=0, max_value=1_000_000
    )

    def entry(self, codes: tuple[str, ...]) -> Entry:
        """Return PlaceWatered."""
        litres = self.cleaned_data["litres"] or 0.0
        return PlaceWatered(happened_on=self.day, place_code=codes[0], litres=litres)
