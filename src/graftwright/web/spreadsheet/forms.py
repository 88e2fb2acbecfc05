"""What is handed in: a workbook, or a record of temperatures with its place."""

from collections.abc import Iterable
from typing import cast

from django import forms
from django.core.files.uploadedfile import UploadedFile

from graftwright.notebook.standing import Place

MOST_BYTES = 8 * 1024 * 1024
_WORKBOOK_ENDINGS = (".xlsx", ".ods", ".csv", ".zip")
_RECORD_ENDINGS = (".csv", ".txt", ".xlsx", ".ods")


def _checked(upload: "UploadedFile[bytes]", endings: Iterable[str]) -> "UploadedFile[bytes]":
    name = upload.name or ""
    if not name.lower().endswith(tuple(endings)):
        raise forms.ValidationError(
            f"{name} is none of {', '.join(endings)}; save it as one of these and choose it again."
        )
    if (upload.size or 0) > MOST_BYTES:
        raise forms.ValidationError(
            f"{name} has {(upload.size or 0) / 1e6:.0f} MB; at most 8 MB are read at a time. "
            f"Split it, or leave pictures out."
        )
    return upload


class WorkbookForm(forms.Form):
    """A workbook to be read."""

    workbook = forms.FileField(
        label="Your workbook",
        help_text="XLSX or ODS, one sheet saved as CSV, or several CSV files in one ZIP; "
        "at most 8 MB.",
        error_messages={
            "required": "Choose a file first.",
            "empty": "That file is empty; choose another.",
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
        label="The logger’s file",
        help_text="CSV, TXT, XLSX or ODS: a time or day, and its temperature, or lowest and "
        "highest. °C or °F.",
        error_messages={
            "required": "Choose a file first.",
            "empty": "That file is empty; choose another.",
        },
        widget=forms.FileInput(attrs={"accept": ",".join(_RECORD_ENDINGS)}),
    )
    place = forms.ChoiceField(
        label="Where it was measured",
        error_messages={
            "required": "Choose the place.",
            "invalid_choice": "That place is not in the notebook; choose one that is.",
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
