"""A photo added to the story of a code."""

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_POST

from graftwright.errors import GraftwrightError, NotebookBusy, NotUnderstood, UnknownCode
from graftwright.notebook.entries import PhotoAdded
from graftwright.store.append import write
from graftwright.store.photo_bytes import MOST_BYTES
from graftwright.store.photos import keep_photo
from graftwright.store.read import read_notebook
from graftwright.tagcode import read_code
from graftwright.tongue import say, told
from graftwright.web.standing_on import today


class PhotoForm(forms.Form):
    """A photo, what it is of, and a few words."""

    code = forms.CharField(max_length=20)
    photo = forms.FileField(max_length=200)
    words = forms.CharField(required=False, max_length=200)

    def clean_code(self) -> str:
        """Return the code in its written form, if it names something."""
        try:
            code = read_code(self.cleaned_data["code"])
        except UnknownCode as wrong:
            raise forms.ValidationError(str(wrong)) from wrong
        if not read_notebook().kind_of_code(code):
            raise forms.ValidationError(
                told("Nothing bears the code {code}; look at the tag again.", code=code)
            )
        return code


@require_POST
def add_photo(request: HttpRequest) -> HttpResponse:
    """Keep a photo and write down what it is of."""
    form = PhotoForm(request.POST, request.FILES)
    if not form.is_valid():
        reasons = [str(words) for field in form.errors.values() for words in field]
        return _back(request, request.POST.get("code", ""), " ".join(reasons))
    code = form.cleaned_data["code"]
    try:
        _write(form)
    except NotebookBusy:
        raise
    except GraftwrightError as refused:
        return _back(request, code, str(refused))
    messages.success(request, told("The photo is kept with {code}.", code=code))
    return redirect("code", code)


def _write(form: PhotoForm) -> None:
    upload = form.cleaned_data["photo"]
    if upload.size > MOST_BYTES:  # before it is read into memory
        raise NotUnderstood(say("the photo has more than 10 MB; take it smaller"))
    sha256, photo = keep_photo(upload.read())
    entry = PhotoAdded(
        happened_on=today(),
        about_codes=(form.cleaned_data["code"],),
        sha256=sha256,
        media_type=photo.media_type,
        words=form.cleaned_data["words"],
    )
    write(entry, device="desk")


def _back(request: HttpRequest, code: str, words: str) -> HttpResponse:
    messages.error(request, words)
    return redirect("code", code) if _is_code(code) else redirect("trees")


def _is_code(code: str) -> bool:
    try:
        return bool(read_notebook().kind_of_code(read_code(code)))
    except UnknownCode:
        return False
