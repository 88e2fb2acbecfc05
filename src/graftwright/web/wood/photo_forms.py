"""What is asked for: the bundle and the picture, then each stick as it shall be written down."""

from collections.abc import Iterable
from typing import cast

from django import forms
from django.core.files.uploadedfile import UploadedFile
from django.http import QueryDict
from django.utils.datastructures import MultiValueDict

from graftwright.errors import OutOfRange
from graftwright.notebook.entries import StickMeasured
from graftwright.notebook.standing import Bundle
from graftwright.tongue import marked, say, told
from graftwright.web.wood.photo_reader import SeenStick

MOST_BYTES = 20 * 1024 * 1024
_RULER_WORDS = marked(
    "Between 97 and 103 mm is expected; outside that, print again at actual size."
)
_NUMBER = marked("Write a number in mm, such as 7.5.")


def _millimetres(label: str, least: float, most: float, words: str, hint: str = "") -> forms.Field:
    return forms.FloatField(
        label=label,
        help_text=hint,
        min_value=least,
        max_value=most,
        widget=forms.NumberInput(attrs={"step": "any", "inputmode": "decimal"}),
        error_messages={
            "required": marked("Measure it and write it down."),
            "invalid": _NUMBER,
            "min_value": words,
            "max_value": words,
        },
    )


class PictureForm(forms.Form):
    """The bundle, how long the printed rulers came out, and the picture."""

    bundle = forms.ChoiceField(
        label=marked("Bundle"),
        error_messages={
            "required": marked("Choose the bundle."),
            "invalid_choice": marked("That bundle is not in the notebook; choose one that is."),
        },
    )
    along = _millimetres(marked("Ruler along the sheet, mm"), 97, 103, _RULER_WORDS)
    across = _millimetres(marked("Ruler across the sheet, mm"), 97, 103, _RULER_WORDS)
    picture = forms.FileField(
        label=marked("The picture"),
        help_text=marked(
            "JPEG or PNG as the phone took it, at most 20 MB. It is read, shown to "
            "you and forgotten."
        ),
        error_messages={
            "required": marked("Choose a picture first."),
            "empty": marked("That file is empty; choose another."),
        },
        widget=forms.FileInput(attrs={"accept": "image/jpeg,image/png", "capture": "environment"}),
    )

    def __init__(
        self,
        data: QueryDict | None = None,
        files: "MultiValueDict[str, UploadedFile[bytes]] | None" = None,
        *,
        bundles: Iterable[Bundle],
        chosen: str = "",
    ) -> None:
        super().__init__(data, files, initial={"bundle": chosen})
        field = cast("forms.ChoiceField", self.fields["bundle"])
        field.choices = [
            ("", say("Choose")),
            *(
                (
                    one.code,
                    told(
                        "{code}, {variety}, cut {day}.{month}.{year}",
                        code=one.code,
                        variety=one.variety,
                        day=one.cut_on.day,
                        month=one.cut_on.month,
                        year=one.cut_on.year,
                    ),
                )
                for one in bundles
            ),
        ]

    def clean_picture(self) -> "UploadedFile[bytes]":
        """Refuse a file too big before it is read."""
        upload = cast("UploadedFile[bytes]", self.cleaned_data["picture"])
        if (upload.size or 0) > MOST_BYTES:
            raise forms.ValidationError(
                told(
                    "{upload_name} has {size:.0f} MB; at most 20 MB are read. Send it smaller.",
                    upload_name=upload.name,
                    size=(upload.size or 0) / 1000000.0,
                )
            )
        return upload


class StickForm(forms.Form):
    """One stick as read, to be corrected by hand."""

    keep = forms.BooleanField(label=marked("Write this stick down"), required=False)
    length = _millimetres("Length, mm", 20, 3000, marked("Between 20 and 3000 mm is expected."))
    base = _millimetres(
        marked("At the base, mm"), 1, 40, marked("Between 1 and 40 mm is expected.")
    )
    tip = _millimetres(marked("At the tip, mm"), 1, 40, marked("Between 1 and 40 mm is expected."))
    buds = forms.IntegerField(
        label=marked("Buds in all"),
        min_value=1,
        max_value=400,
        widget=forms.NumberInput(attrs={"inputmode": "numeric"}),
        error_messages={
            "required": marked("Count them and write the number down."),
            "invalid": marked("Write a whole number."),
            "min_value": marked("At least one is expected."),
            "max_value": marked("At most 400 are expected."),
        },
    )
    places = forms.CharField(
        label=marked("Where they stand, mm from the base"), required=False, max_length=600
    )

    def __init__(self, data: QueryDict | None = None, *, seen: SeenStick) -> None:
        initial = {
            "keep": True,
            "length": f"{seen.length_mm:g}",
            "base": f"{max(seen.base_mm, seen.tip_mm):.1f}",
            "tip": f"{min(seen.base_mm, seen.tip_mm):.1f}",
            "buds": len(seen.buds_mm) or None,
            "places": ", ".join(f"{one:g}" for one in seen.buds_mm),
        }
        super().__init__(data, initial=initial, prefix=f"stick{seen.number}")
        self.seen = seen
        self.measured: StickMeasured | None = None

    def clean_places(self) -> tuple[float, ...]:
        """Read the places, divided by commas or spaces, in order from the base."""
        words = str(self.cleaned_data["places"]).replace(";", " ").replace(",", " ").split()
        try:
            return tuple(sorted(float(word) for word in words))
        except ValueError as wrong:
            raise forms.ValidationError(
                say("Write millimetres from the base with commas between, such as 22, 48, 75.")
            ) from wrong

    def full_clean(self) -> None:
        """Check nothing of a stick that is left out."""
        super().full_clean()
        if self.is_bound and not self.data.get(self.add_prefix("keep")):
            self.errors.clear()

    def clean(self) -> dict[str, object]:
        """Make the stick of it; a stick that cannot be is said in words."""
        data = self.cleaned_data
        if data.get("keep") and not self.errors:
            try:
                self.measured = StickMeasured(
                    number=self.seen.number,
                    length_mm=data["length"],
                    base_mm=data["base"],
                    tip_mm=data["tip"],
                    bud_count=data["buds"],
                    # Places of some of the buds only would look like all of them.
                    buds_mm=data["places"] if len(data["places"]) == data["buds"] else (),
                )
            except OutOfRange as wrong:
                self.add_error(None, str(wrong))
        return data
