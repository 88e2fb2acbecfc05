"""What is handed in: a workbook, or a record of temperatures with its place."""

from collections.abc import Iterable
from typing import cast

from django import forms
from django.core.files.uploadedfile import UploadedFile

from graftwright.notebook.standing import Place
from graftwright.tongue import marked, told

MOST_BYTES = 8 * 1024 * 1024
_WORKBOOK_ENDINGS = (".xlsx", ".ods", ".csv", ".zip")
_RECORD_ENDINGS = (".csv", ".txt", ".xlsx", ".ods")


def _checked(upload: "UploadedFile[bytes]", endings: Iterable[str]) -> "UploadedFile[bytes]":
    name = upload.name or ""
    if not name.lower().endswith(tuple(endings)):
        raise forms.ValidationError(
            told(
                "{name} is none of {listed}; save it as one of these and choose it again.",
                name=name,
                listed=", ".join(endings),
            )
        )
    if (upload.size or 0) > MOST_BYTES:
        raise forms.ValidationError(
            told(
                "{name} has {size:.0f} MB; at most 8 MB are read at a time. Split it, "
                "or leave pictures out.",
                name=name,
                size=(upload.size or 0) / 1000000.0,
            )
        )
    return upload


class WorkbookForm(forms.Form):
    """A workbook to be read."""

    workbook = forms.FileField(
        label=marked("Your workbook"),
        help_text=marked(
            "XLSX or ODS, one sheet saved as CSV, or several CSV files in one ZIP; at most 8 MB."
        ),
        error_messages={
            "required": marked("Choose a file first."),
            "empty": marked("That file is empty; choose another."),
        },
        widget=forms.FileInput(attrs={"accept": ",".join(_WORKBOOK_ENDINGS)}),
    )

    def clean_workbook(self) -> "UploadedFile[bytes]":
        """Refuse what is no workbook by its name, or too big to be read."""
        return _checked(
            cast("UploadedFile[bytes]", self.cleaned_data["workbook"]), _WORKBOOK_ENDINGS
        )


class TemperaturesForm(forms.Form):
    """A logger's or weather station's record, and the place it stood in."""

    record = forms.FileField(
        label=marked("The logger’s file"),
        help_text=marked(
            "CSV, TXT, XLSX or ODS: a time or day, and its temperature, or lowest "
            "and highest. °C or °F."
        ),
        error_messages={
            "required": marked("Choose a file first."),
            "empty": marked("That file is empty; choose another."),
        },
        widget=forms.FileInput(attrs={"accept": ",".join(_RECORD_ENDINGS)}),
    )
    place = forms.ChoiceField(
        label=marked("Where it was measured"),
        error_messages={
            "required": marked("Choose the place."),
            "invalid_choice": marked("That place is not in the notebook; choose one that is."),
        },
    )

    def __init__(self, *args: object, places: Iterable[Place]) -> None:
        super().__init__(*args)  # type: ignore[arg-type]
        ordered = sorted(places, key=lambda place: (place.walking_order, place.name))
        field = cast("forms.ChoiceField", self.fields["place"])
        field.choices = [(place.code, place.name) for place in ordered]

    def clean_record(self) -> "UploadedFile[bytes]":
        """Refuse what is no record by its name, or too big to be read."""
        return _checked(cast("UploadedFile[bytes]", self.cleaned_data["record"]), _RECORD_ENDINGS)
