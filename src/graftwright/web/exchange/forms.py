"""What is asked before something goes out or comes back."""

from django import forms
from django.core.files.uploadedfile import UploadedFile

from graftwright.tongue import marked, told

_MOST_MEGABYTES = 100


class BackForm(forms.Form):
    """A file that Graftwright wrote, to be joined to this notebook."""

    file = forms.FileField(
        label=marked("The file"),
        help_text=marked(
            "A notebook’s file (.jsonl), a workbook (.xlsx), an archive (.zip) or "
            "one of its tables (.csv)."
        ),
        error_messages={
            "required": marked("Choose a file."),
            "empty": marked("That file is empty."),
        },
    )

    def clean_file(self) -> "UploadedFile[bytes]":
        """Refuse what is too large to be a notebook."""
        upload: UploadedFile[bytes] = self.cleaned_data["file"]
        if (upload.size or 0) > _MOST_MEGABYTES * 1_000_000:
            raise forms.ValidationError(
                told(
                    "The file has {size} MB; expected at most {MOST_MEGABYTES}: use "
                    "graftwright bring-in for more.",
                    size=(upload.size or 0) // 1000000,
                    MOST_MEGABYTES=_MOST_MEGABYTES,
                )
            )
        return upload


class PassportForm(forms.Form):
    """Who holds the mother trees, as a passport file names it."""

    institute_code = forms.CharField(
        required=False,
        max_length=8,
        label=marked("FAO institute code"),
        help_text=marked("Three letters of the country and a number. Empty if you have none."),
    )
    country = forms.CharField(
        required=False,
        max_length=3,
        label=marked("Country the wood is from"),
        help_text=marked("Three letters, such as GBR."),
    )
    with_owners = forms.BooleanField(required=False, label=marked("With the owners’ names"))


class TokenForm(forms.Form):
    """A token for a program."""

    name = forms.CharField(max_length=80, label=marked("What it is for"))
    may_write = forms.BooleanField(required=False, label=marked("It may write entries as well"))


class CalendarForm(forms.Form):
    """A calendar address."""

    name = forms.CharField(max_length=80, label=marked("Whose calendar"))
