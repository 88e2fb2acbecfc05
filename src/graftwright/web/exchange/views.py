"""The page about other programs, and its files."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from uuid import UUID

from django.contrib import messages
from django.core.files.uploadedfile import UploadedFile
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_POST, require_safe

from graftwright.errors import GraftwrightError
from graftwright.exchange import (
    Holder,
    ReadBack,
    csv_archive,
    gpx_of_geojson,
    mother_trees_geojson,
    mother_trees_gpx,
    notebook_tables,
    passport_csv,
    people_vcards,
    read_back,
    workbook_bytes,
)
from graftwright.intake.catalogue import shipped_catalogue
from graftwright.season.standing_names import own_catalogue
from graftwright.store.read import all_written, read_notebook
from graftwright.store.tables_in import join_entries, join_lines
from graftwright.store.tokens import Purpose, make_token, revoke_token, tokens
from graftwright.store.way_out import lines_out
from graftwright.tongue import say, told
from graftwright.web.backups import backups_shown
from graftwright.web.exchange.forms import BackForm, CalendarForm, PassportForm, TokenForm
from graftwright.web.paper_room.files import file_answer
from graftwright.web.planting.views import plot_geojson
from graftwright.web.standing_on import today

_MOST_SHOWN = 20
_XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


@dataclass(frozen=True, slots=True, kw_only=True)
class _File:
    media_type: str
    make: Callable[[], bytes]


_FILES = {
    "tables.xlsx": _File(
        media_type=_XLSX,
        make=lambda: workbook_bytes(notebook_tables(read_notebook(), all_written())),
    ),
    "tables.zip": _File(
        media_type="application/zip",
        make=lambda: csv_archive(notebook_tables(read_notebook(), all_written())),
    ),
    "notebook.jsonl": _File(
        media_type="application/jsonl",
        make=lambda: "".join(lines_out(all_written())).encode(),
    ),
    "mother-trees.geojson": _File(
        media_type="application/geo+json",
        make=lambda: mother_trees_geojson(read_notebook().mother_trees.values()),
    ),
    "mother-trees.gpx": _File(
        media_type="application/gpx+xml",
        make=lambda: mother_trees_gpx(read_notebook().mother_trees.values()),
    ),
    "people.vcf": _File(
        media_type="text/vcard; charset=utf-8", make=lambda: people_vcards(read_notebook())
    ),
}


@require_safe
def exchange_page(request: HttpRequest) -> HttpResponse:
    """Show what goes out, what comes back, and who holds which token."""
    return _page(request)


@require_safe
def exchange_file(_request: HttpRequest, file_name: str) -> HttpResponse:
    """Make one file from the notebook as it stands now."""
    found = _FILES.get(file_name)
    if found is None:
        raise Http404(told("no file is called {file_name}", file_name=file_name))
    return file_answer(found.make(), file_name=file_name, media_type=found.media_type)


@require_safe
def passport_file(request: HttpRequest) -> HttpResponse:
    """Make the passport file of the mother trees."""
    form = PassportForm(request.GET)
    if not form.is_valid():
        return _page(request, passport=form, status=422)
    try:
        holder = Holder(
            institute_code=form.cleaned_data["institute_code"].strip().upper(),
            country=form.cleaned_data["country"].strip().upper(),
            with_owners=form.cleaned_data["with_owners"],
        )
    except GraftwrightError as wrong:
        form.add_error("institute_code", str(wrong))
        return _page(request, passport=form, status=422)
    notebook = read_notebook()
    content = passport_csv(
        notebook.mother_trees.values(),
        catalogue=own_catalogue(notebook, catalogue=shipped_catalogue()),
        holder=holder,
    )
    return file_answer(content, file_name="passport.csv", media_type="text/csv; charset=utf-8")


@require_safe
def plot_gpx(request: HttpRequest) -> HttpResponse:
    """Give a plot's trees as waypoints; without its corner it goes back to its page."""
    answer = plot_geojson(request)
    if answer.status_code != 200:
        return answer
    return file_answer(
        gpx_of_geojson(answer.content),
        file_name="planting-plan.gpx",
        media_type="application/gpx+xml",
    )


@require_POST
def take_back_in(request: HttpRequest) -> HttpResponse:
    """Join the entries of a file to this notebook, and write down what was changed in tables."""
    form = BackForm(request.POST, request.FILES)
    if not form.is_valid():
        return _page(request, back=form, status=422)
    upload: UploadedFile[bytes] = form.cleaned_data["file"]
    name = upload.name or ""
    try:
        if name.casefold().endswith(".jsonl"):
            found_count, new_count = join_lines(upload.read())
            words = told(
                "{found_count} entries read, {new_count} of them new.",
                found_count=found_count,
                new_count=new_count,
            )
        else:
            found = read_back(upload.read(), file_name=name, written=all_written(), today=today())
            if found.refusals:
                return _refused(request, form, found.refusals)
            new_count = join_entries(found.entries, corrections=found.corrections)
            words = _said_of_file(found, new_count)
    except GraftwrightError as wrong:
        form.add_error("file", str(wrong))
        return _page(request, back=form, status=422)
    messages.info(request, words)
    return redirect("exchange")


@require_POST
def make_program_token(request: HttpRequest) -> HttpResponse:
    """Make a token for a program and show it this once."""
    form = TokenForm(request.POST)
    if not form.is_valid():
        return _page(request, token=form, status=422)
    secret = make_token(
        Purpose.PROGRAM, name=form.cleaned_data["name"], may_write=form.cleaned_data["may_write"]
    )
    return _page(request, shown_token=secret)


@require_POST
def make_calendar_address(request: HttpRequest) -> HttpResponse:
    """Make a calendar address and show it this once."""
    form = CalendarForm(request.POST)
    if not form.is_valid():
        return _page(request, calendar=form, status=422)
    secret = make_token(Purpose.CALENDAR, name=form.cleaned_data["name"])
    address = request.build_absolute_uri(reverse("calendar-feed", args=[secret]))
    return _page(request, shown_address=address)


@require_POST
def revoke(request: HttpRequest, token_id: UUID) -> HttpResponse:
    """Take a token or a calendar address back."""
    if revoke_token(token_id):
        messages.info(request, say("Taken back: it opens nothing from now on."))
    return redirect("exchange")


def _refused(request: HttpRequest, form: BackForm, refusals: Sequence[str]) -> HttpResponse:
    """Answer with the cells that cannot be taken; nothing of the file is entered."""
    for words in refusals[:_MOST_SHOWN]:
        form.add_error("file", words)
    if (left := len(refusals) - _MOST_SHOWN) > 0:
        form.add_error("file", told("and {left} more cells", left=left))
    form.add_error("file", say("Nothing of this file was entered."))
    return _page(request, back=form, status=422)


def _said_of_file(found: ReadBack, new_count: int) -> str:
    words = told(
        "{count} entries read, {new_count} of them new.",
        count=len(found.entries),
        new_count=new_count,
    )
    if not found.corrections:
        return words
    return told(
        "{words} Changed cells: {changed_count}; correcting entries written: {count}.",
        words=words,
        changed_count=found.changed_count,
        count=len(found.corrections),
    )


def _page(
    request: HttpRequest,
    *,
    back: BackForm | None = None,
    passport: PassportForm | None = None,
    token: TokenForm | None = None,
    calendar: CalendarForm | None = None,
    shown_token: str = "",
    shown_address: str = "",
    status: int = 200,
) -> HttpResponse:
    context = {
        "back": back or BackForm(),
        "passport": passport or PassportForm(),
        "token_form": token or TokenForm(),
        "calendar_form": calendar or CalendarForm(),
        "backups": backups_shown(),
        "shown_token": shown_token,
        "shown_address": shown_address,
        "programs": [
            one for one in tokens() if one.purpose is not Purpose.CALENDAR and not one.is_revoked
        ],
        "calendars": [one for one in tokens(Purpose.CALENDAR) if not one.is_revoked],
        "mapped_count": sum(
            one.latitude_deg is not None for one in read_notebook().mother_trees.values()
        ),
    }
    answer = render(request, "exchange/page.html", context, status=status)
    if shown_token or shown_address:
        answer["Cache-Control"] = "no-store"
    return answer
