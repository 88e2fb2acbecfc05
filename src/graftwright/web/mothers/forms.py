"""Forms about names, rights and where the nursery stands."""

from datetime import date

from django import forms

from graftwright.notebook.entries import NurseryDescribed, PracticeSet
from graftwright.notebook.entries.entry import Entry
from graftwright.planting import RightsStatus
from graftwright.season.rights_remarks import COUNTRY_PRACTICE
from graftwright.tongue import marked, say
from graftwright.web.trees.fields import DayField, choice_field, words_field


def _degrees(label: str, most: float, help_text: str) -> forms.FloatField:
    return forms.FloatField(
        label=label,
        required=False,
        min_value=-most,
        max_value=most,
        help_text=help_text,
        widget=forms.TextInput(attrs={"inputmode": "decimal"}),
        error_messages={
            "invalid": marked("Write degrees as 54.2 or -2.3."),
            "min_value": marked("At least -{most:g}.", most=most),
            "max_value": marked("At most {most:g}.", most=most),
        },
    )


class NurseryPlaceForm(forms.Form):
    """Where the nursery stands on the globe, and whose rights count there."""

    country = words_field(
        marked("Country"), most=60, help_text=marked("Whose plant variety rights count for you.")
    )
    latitude = _degrees(marked("Latitude"), 90.0, marked("Degrees north; south with a minus."))
    longitude = _degrees(marked("Longitude"), 180.0, marked("Degrees east; west with a minus."))

    def clean(self) -> dict[str, object]:
        """Return the answers; refuse a form in which nothing stands."""
        data = super().clean() or {}
        if not self.errors and all(data.get(name) in (None, "") for name in self.fields):
            self.add_error("country", say("Write at least one of the three."))
        return data

    def entries(self, *, happened_on: date) -> tuple[Entry, ...]:
        """Return what is to be written down: the place, and the country where it is given."""
        data = self.cleaned_data
        found: list[Entry] = []
        if data["latitude"] is not None or data["longitude"] is not None:
            found.append(
                NurseryDescribed(
                    happened_on=happened_on,
                    latitude_deg=data["latitude"],
                    longitude_deg=data["longitude"],
                )
            )
        if country := " ".join(data["country"].split()):
            found.append(
                PracticeSet(happened_on=happened_on, practice=COUNTRY_PRACTICE, value=country)
            )
        return tuple(found)


class RenameForm(forms.Form):
    """The name decided, from what; said only after the list was seen."""

    variety = words_field(marked("Name it has from now on"), required=True, most=120)
    evidence = words_field(marked("From what"))
    happened_on = DayField()


class JoinForm(forms.Form):
    """Two names that are one variety."""

    kept = words_field(marked("The name that is kept"), required=True, most=120)
    joined = words_field(marked("The name that is joined to it"), required=True, most=120)
    because = words_field(marked("From what"), required=True)


class PartForm(forms.Form):
    """A joining taken back."""

    joined = forms.CharField(max_length=120, widget=forms.HiddenInput)
    because = words_field(marked("Why"))


class RightsForm(forms.Form):
    """What was found about breeders' rights, where and when."""

    plant = words_field(marked("Variety or stock"), required=True, most=120)
    country = words_field(marked("Country"), required=True, most=60)
    status = choice_field(marked("Found"), RightsStatus)
    looked_up_in = words_field(marked("Read in"), required=True, most=200)
    holder = words_field(marked("Holder"), most=120)
    ends_on = forms.DateField(
        label=marked("Protected until"),
        required=False,
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        error_messages={"invalid": marked("Write the day as 2021-12-31, or choose it.")},
    )
    happened_on = DayField(label=marked("Read on"))


class LeaveForm(forms.Form):
    """Leave of the holder, or one's own decision to go on without."""

    leave_plant = words_field(marked("Variety or stock"), required=True, most=120)
    leave_country = words_field(marked("Country"), required=True, most=60)
    leave_words = words_field(marked("What was allowed, by whom"), required=True)
    is_override = forms.BooleanField(label=marked("My own decision, without leave"), required=False)
