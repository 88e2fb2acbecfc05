"""From a spreadsheet: read, ask, list what is wrong, and enter the good rows on a word."""

from uuid import UUID

from django.contrib import messages
from django.core.files.uploadedfile import UploadedFile
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST, require_safe

from graftwright.errors import GraftwrightError, NotebookBusy
from graftwright.intake.entering import recognised, unresolved
from graftwright.intake.reading import Answers, Reading
from graftwright.intake.temperatures import read_temperatures
from graftwright.intake.template import template_bytes
from graftwright.intake.workbook import answered, read_workbook
from graftwright.season.logger_days import longitude_of
from graftwright.store import waiting
from graftwright.store.read import entries_of_kind, read_notebook
from graftwright.tongue import say, told
from graftwright.web.spreadsheet.entering import enter_reading
from graftwright.web.spreadsheet.forms import TemperaturesForm, WorkbookForm
from graftwright.web.spreadsheet.waiting import keep, keep_changed, kept_readings, reading_kept
from graftwright.web.standing_on import today

XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


@require_safe
def spreadsheet_page(request: HttpRequest) -> HttpResponse:
    """Offer the template, and take a workbook or a record of temperatures."""
    return _first_page(request, WorkbookForm(), _temperatures_form(), status=200)


@require_safe
def template_file(_request: HttpRequest) -> HttpResponse:
    """Hand out the empty workbook."""
    response = HttpResponse(template_bytes(), content_type=XLSX)
    response["Content-Disposition"] = 'attachment; filename="graftwright-workbook.xlsx"'
    return response


@require_POST
def read_in(request: HttpRequest) -> HttpResponse:
    """Read a workbook and keep it aside; nothing is entered yet."""
    form = WorkbookForm(request.POST, request.FILES)
    if form.is_valid():
        upload: UploadedFile[bytes] = form.cleaned_data["workbook"]
        try:
            reading = read_workbook(upload.read(), name=upload.name or "workbook")
        except GraftwrightError as wrong:
            form.add_error("workbook", str(wrong))
        else:
            return redirect("reading", reading_id=keep(reading))
    return _first_page(request, form, _temperatures_form(), status=422)


@require_POST
def read_in_temperatures(request: HttpRequest) -> HttpResponse:
    """Read a record of temperatures and keep it aside."""
    notebook = read_notebook()
    form = TemperaturesForm(request.POST, request.FILES, places=notebook.places.values())
    if form.is_valid():
        upload: UploadedFile[bytes] = form.cleaned_data["record"]
        try:
            reading = read_temperatures(
                upload.read(),
                name=upload.name or "record",
                place=form.cleaned_data["place"],
                latitude_deg=notebook.nursery.latitude_deg,
                longitude_deg=longitude_of(notebook),
            )
        except GraftwrightError as wrong:
            form.add_error("record", str(wrong))
        else:
            return redirect("reading", reading_id=keep(reading))
    return _first_page(request, WorkbookForm(), form, status=422)


@require_safe
def reading_page(request: HttpRequest, reading_id: UUID) -> HttpResponse:
    """Show what was read: counts, questions, bad rows, what was recognised."""
    return _reading_page(request, reading_id, reading_kept(reading_id), status=200)


@require_POST
def answer(request: HttpRequest, reading_id: UUID) -> HttpResponse:
    """Read the kept workbook again with the answers given."""
    reading = reading_kept(reading_id)
    answers = Answers() if "again" in request.POST else reading.answers
    for question in reading.questions:
        choice = request.POST.get(f"answer:{question.question_id}", "")
        if choice:
            answers = answers.also(question.question_id, choice)
    try:
        keep_changed(reading_id, answered(reading, answers))
    except NotebookBusy:
        raise
    except GraftwrightError as wrong:
        messages.error(request, str(wrong))
        return _reading_page(request, reading_id, reading, status=422)
    return redirect("reading", reading_id=reading_id)


@require_POST
def enter_rows(request: HttpRequest, reading_id: UUID) -> HttpResponse:
    """Write the good rows down, all or none, and forget the workbook."""
    reading = reading_kept(reading_id)
    try:
        entered = enter_reading(reading, today=today())
    except NotebookBusy:
        raise
    except GraftwrightError as wrong:
        messages.error(request, told("Nothing was entered: {wrong}", wrong=wrong))
        return _reading_page(request, reading_id, reading, status=422)
    waiting.drop(reading_id)
    messages.success(request, _words_of_entering(reading, len(entered.entries)))
    return redirect("plan")


@require_POST
def drop(request: HttpRequest, reading_id: UUID) -> HttpResponse:
    """Forget a workbook that was read; nothing of it was entered."""
    waiting.drop(reading_id)
    messages.success(request, say("The workbook is put away; nothing of it was entered."))
    return redirect("spreadsheet")


def _words_of_entering(reading: Reading, written_count: int) -> str:
    if not written_count:
        return told(
            "All of {reading_name} was written down before; nothing was added.",
            reading_name=reading.name,
        )
    entries = (
        say("1 entry is")
        if written_count == 1
        else told("{written_count} entries are", written_count=written_count)
    )
    return told(
        "{entries} written down from {reading_name}.", entries=entries, reading_name=reading.name
    )


def _temperatures_form() -> TemperaturesForm:
    return TemperaturesForm(places=read_notebook().places.values())


def _first_page(
    request: HttpRequest, form: WorkbookForm, temperatures: TemperaturesForm, *, status: int
) -> HttpResponse:
    context = {
        "form": form,
        "temperatures": temperatures,
        "has_places": bool(read_notebook().places),
        "kept": kept_readings(),
    }
    return render(request, "spreadsheet/page.html", context, status=status)


def _reading_page(
    request: HttpRequest, reading_id: UUID, reading: Reading, *, status: int
) -> HttpResponse:
    notebook, day = read_notebook(), today()
    noted = [one.entry for one in entries_of_kind("NoteWritten")]
    asked = {question.question_id for question in reading.questions}
    context = {
        "reading_id": reading_id,
        "reading": reading,
        "problems": [p for p in reading.problems if p.question_id not in asked],
        "unresolved": unresolved(reading, notebook, today=day),
        "recognised": recognised(reading, notebook, today=day, already=noted),
    }
    return render(request, "spreadsheet/reading.html", context, status=status)
