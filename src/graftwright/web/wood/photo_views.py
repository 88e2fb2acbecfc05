"""Sticks measured by a photograph: ask for it, show what was read, write down what is confirmed."""

from collections.abc import Sequence
from dataclasses import replace

from django.contrib import messages
from django.core.files.uploadedfile import UploadedFile
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST, require_safe

from graftwright.errors import GraftwrightError, NotebookBusy
from graftwright.notebook.entries import StickMeasured, SticksMeasured
from graftwright.notebook.standing import Bundle
from graftwright.paper.marker_sheet import marker_sheet
from graftwright.store.append import write
from graftwright.store.read import read_notebook
from graftwright.tongue import say, told
from graftwright.web.standing_on import today
from graftwright.web.wood import photo_reader
from graftwright.web.wood.photo_drawing import picture_svg
from graftwright.web.wood.photo_forms import PictureForm, StickForm
from graftwright.web.wood.photo_reader import PictureUnread, SeenPicture, sealed, unsealed
from graftwright.wood.marker_sheet import SheetSize

_SHEETS = {"a4": SheetSize.A4, "us-letter": SheetSize.LETTER}


@require_safe
def photo_page(request: HttpRequest) -> HttpResponse:
    """Ask for the bundle and the picture, or say what is missing to read one."""
    form = PictureForm(bundles=_bundles(), chosen=request.GET.get("bundle", ""))
    return _first_page(request, form, status=200)


@require_safe
def marker_sheet_file(_: HttpRequest, paper: str) -> HttpResponse:
    """Make the marker sheet for a size of paper."""
    if paper not in _SHEETS:
        raise Http404(told("there is no marker sheet for paper called {paper}", paper=paper))
    response = HttpResponse(marker_sheet(_SHEETS[paper]), content_type="application/pdf")
    response["Content-Disposition"] = f'attachment; filename="marker-sheet-{paper}.pdf"'
    return response


@require_POST
def read_photo(request: HttpRequest) -> HttpResponse:
    """Measure the sticks on a picture and show them; nothing is written down or kept."""
    form = PictureForm(request.POST, request.FILES, bundles=_bundles())
    if not photo_reader.IS_READY or not form.is_valid():
        return _first_page(request, form, status=422)
    data = form.cleaned_data
    upload: UploadedFile[bytes] = data["picture"]
    try:
        seen = photo_reader.read_sticks(
            upload.read(), along_mm=data["along"], across_mm=data["across"]
        )
    except PictureUnread as unread:
        form.add_error("picture", told("This picture is not measured: {unread}.", unread=unread))
        return _first_page(request, form, status=422)
    sticks = [StickForm(seen=one) for one in seen.sticks]
    return _read_page(request, _bundle(data["bundle"]), seen, sticks, status=200)


@require_POST
def write_photo(request: HttpRequest) -> HttpResponse:
    """Write the confirmed sticks down for their bundle."""
    bundle = _bundle(request.POST.get("bundle", ""))
    try:
        seen = unsealed(request.POST.get("seen", ""))
    except PictureUnread as unread:
        form = PictureForm(bundles=_bundles(), chosen=bundle.code)
        messages.error(request, told("Nothing was written down: {unread}.", unread=unread))
        return _first_page(request, form, status=422)
    sticks = [StickForm(request.POST, seen=one) for one in seen.sticks]
    wrong = [form for form in sticks if not form.is_valid()]  # each one says what is wrong
    if wrong:
        return _read_page(request, bundle, seen, sticks, status=422)
    kept = [form.measured for form in sticks if form.measured is not None]
    adding = request.POST.get("which") == "more"
    return _written(request, bundle, seen, sticks, _numbered(bundle, kept, adding=adding))


def _written(
    request: HttpRequest,
    bundle: Bundle,
    seen: SeenPicture,
    forms: Sequence[StickForm],
    sticks: tuple[StickMeasured, ...],
) -> HttpResponse:
    if not any(form.measured for form in forms):
        messages.error(request, say("No stick is marked to be written down."))
        return _read_page(request, bundle, seen, forms, status=422)
    try:
        entry = SticksMeasured(happened_on=today(), code=bundle.code, sticks=sticks)
        write(entry, device="desk")
    except NotebookBusy:
        raise
    except GraftwrightError as refused:
        messages.error(request, told("Nothing was written down: {refused}", refused=refused))
        return _read_page(request, bundle, seen, forms, status=422)
    count = len(sticks)
    messages.success(
        request,
        told(
            "Written down: {count} {what} of bundle {bundle_code}.",
            count=count,
            what=say("stick") if count == 1 else say("sticks"),
            bundle_code=bundle.code,
        ),
    )
    return redirect("code", bundle.code)


def _numbered(
    bundle: Bundle, kept: Sequence[StickMeasured], *, adding: bool
) -> tuple[StickMeasured, ...]:
    before = bundle.sticks if adding else ()
    first = max((stick.number for stick in before), default=0) + 1
    return (*before, *(replace(one, number=first + place) for place, one in enumerate(kept)))


def _bundles() -> list[Bundle]:
    """Return the bundles not thrown away, the newest first."""
    there = [one for one in read_notebook().bundles.values() if one.discarded_on is None]
    return sorted(there, key=lambda one: (one.cut_on, one.code), reverse=True)


def _bundle(code: str) -> Bundle:
    bundle = read_notebook().bundles.get(code)
    if bundle is None:
        raise Http404(told("no bundle has the code {code}", code=code))
    return bundle


def _first_page(request: HttpRequest, form: PictureForm, *, status: int) -> HttpResponse:
    context = {"form": form, "is_ready": photo_reader.IS_READY, "has_bundles": bool(_bundles())}
    return render(request, "wood/photo.html", context, status=status)


def _read_page(
    request: HttpRequest,
    bundle: Bundle,
    seen: SeenPicture,
    sticks: Sequence[StickForm],
    *,
    status: int,
) -> HttpResponse:
    context = {
        "bundle": bundle,
        "drawing": picture_svg(seen),
        "sealed": sealed(seen),
        "sticks": sticks,
        "adds": request.POST.get("which") == "more",
    }
    return render(request, "wood/photo_read.html", context, status=status)
