"""What is asked before something goes out or comes back."""

from django import forms
from django.core.files.uploadedfile import UploadedFile

_MOST_MEGABYTES = 100


class BackForm(forms.Form):
    """A file that Graftwright wrote, to be joined to this notebook."""

    file = forms.FileField(
        label="The file",
        help_text="A notebook’s file (.jsonl), a workbook (.xlsx), an archive (.zip) or "
        "one of its tables (.csv).",
        error_messages={"required": "Choose a file.", "empty": "That file is empty."},
    )

    def clean_file(self) -> "UploadedFile[bytes]":
        """Refuse what is too large to be a notebook."""
        upload: UploadedFile[bytes] = self.cleaned_data["file"]
        if (upload.size or 0) > _MOST_MEGABYTES * 1_000_000:
            raise forms.ValidationError(
                f"The file has {(upload.size or 0) // 1_000_000} MB; expected at most "
                f"{_MOST_MEGABYTES}: use graftwright bring-in for more."
            )
        return upload


class PassportForm(forms.Form):
    """Who holds the mother trees, as a passport file names it."""

    institute_code = forms.CharField(
        required=False,
        max_length=8,
        label="FAO institute code",
        help_text="Three letters of the country and a number. Empty if you have none.",
    )
    country = forms.CharField(
        required=False,
        max_length=3,
        label="Country the wood is from",
        help_text="Three letters, such as GBR.",
    )
    with_owners = forms.BooleanField(required=False, label="With the owners’ names")


class TokenForm(forms.Form):
    """A token for a program."""

    name = forms.CharField(max_length=80, label="What it is for")
    may_write = forms.BooleanField(required=False, label="It may write entries as well")


class CalendarForm(forms.Form):
    """A calendar address."""

    name = forms.CharField(max_length=80, label="Whose calendar")
