"""Forms about names, rights and where the nursery stands."""

from django import forms

from graftwright.planting import RightsStatus
from graftwright.web.trees.fields import DayField, choice_field, words_field


def _degrees(label: str, most: float, help_text: str) -> forms.FloatField:
    return forms.FloatField(
        label=label,
        min_value=-most,
        max_value=most,
        help_text=help_text,
        widget=forms.TextInput(attrs={"inputmode": "decimal"}),
        error_messages={
            "required": "Write degrees, such as 54.2.",
            "invalid": "Write degrees as 54.2 or -2.3.",
            "min_value": f"At least -{most:g}.",
            "max_value": f"At most {most:g}.",
        },
    )


class NurseryPlaceForm(forms.Form):
    """Where the nursery stands on the globe, and whose rights count there."""

    latitude = _degrees("Latitude", 90.0, "Degrees north; south with a minus.")
    longitude = _degrees("Longitude", 180.0, "Degrees east; west with a minus.")


class RenameForm(forms.Form):
    """The name decided, from what; said only after the list was seen."""

    variety = words_field("Name it has from now on", required=True, most=120)
    evidence = words_field("From what")
    happened_on = DayField()


class JoinForm(forms.Form):
    """Two names that are one variety."""

    kept = words_field("The name that is kept", required=True, most=120)
    joined = words_field("The name that is joined to it", required=True, most=120)
    because = words_field("From what", required=True)


class PartForm(forms.Form):
    """A joining taken back."""

    joined = forms.CharField(max_length=120, widget=forms.HiddenInput)
    because = words_field("Why")


class RightsForm(forms.Form):
    """What was found about breeders' rights, where and when."""

    plant = words_field("Variety or stock", required=True, most=120)
    country = words_field("Country", required=True, most=60)
    status = choice_field("Found", RightsStatus)
    looked_up_in = words_field("Read in", required=True, most=200)
    holder = words_field("Holder", most=120)
    ends_on = forms.DateField(
        label="Protected until",
        required=False,
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        error_messages={"invalid": "Write the day as 2021-12-31, or choose it."},
    )
    happened_on = DayField(label="Read on")


class LeaveForm(forms.Form):
    """Leave of the holder, or one's own decision to go on without."""

    leave_plant = words_field("Variety or stock", required=True, most=120)
    leave_country = words_field("Country", required=True, most=60)
    leave_words = words_field("What was allowed, by whom", required=True)
    is_override = forms.BooleanField(label="My own decision, without leave", required=False)
