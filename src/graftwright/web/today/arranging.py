"""The list arranged: a job put off, brought back, given to somebody; wind said to be coming."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST, require_safe

from graftwright.errors import GraftwrightError, NotebookBusy
from graftwright.notebook.entries import EntryWithdrawn, JobGiven, JobPutOff, PracticeSet
from graftwright.notebook.entries.entry import Entry
from graftwright.season.jobs_shoots import WIND
from graftwright.store.append import write
from graftwright.store.read import entries_of_kind
from graftwright.tongue import say, told
from graftwright.web.standing_on import today
from graftwright.web.today.forms import (
    MinutesForm,
    PutOffForm,
    WindForm,
    initials_in,
    tomorrow,
)
from graftwright.web.today.jobs import days_jobs_with
from graftwright.web.today.shown import put_off_until
from graftwright.web.today.views import GONE, said


@require_safe
def arrange_page(request: HttpRequest) -> HttpResponse:
    """Ask until when a job is put off, or who does it; the forms alone for a part of a page."""
    key = request.GET.get("job", "")
    job = days_jobs_with(key).job_with(key)
    if job is None:
        messages.error(request, GONE)
        return redirect("today")
    asked = MinutesForm(request.GET)
    minutes = asked.cleaned_data["minutes"] if asked.is_valid() else None
    context = {"job": job, "key": key, "tomorrow": tomorrow(), "minutes": minutes}
    is_part = getattr(request, "htmx", False)
    return render(request, "today/arrange_forms.html" if is_part else "today/arrange.html", context)


@require_POST
def put_off(request: HttpRequest) -> HttpResponse:
    """Put a job off to a later day, with the reason; it comes back on that day."""
    key = request.POST.get("job", "")
    job = days_jobs_with(key).job_with(key)
    if job is None:
        return _said(request, GONE, is_wrong=True)
    form = PutOffForm(request.POST)
    if not form.is_valid():
        words = " ".join(str(one) for errors in form.errors.values() for one in errors)
        return _said(request, told("Not put off: {words}", words=words), is_wrong=True)
    until = form.cleaned_data["until_on"]
    entry = JobPutOff(
        happened_on=today(),
        job=job.name,
        place_code=job.place_code,
        about_codes=job.codes,
        until_on=until,
        reason=form.cleaned_data["reason"],
    )
    back = min(until, job.last_safe_on) if job.last_safe_on else until
    early = say(", its last safe day") if back < until else ""
    return _written(
        request,
        entry,
        told(
            "Put off: {what}. It comes back on {back:%-d %B}{early}.",
            what=job.what,
            back=back,
            early=early,
        ),
    )


@require_POST
def bring_back(request: HttpRequest) -> HttpResponse:
    """Bring a job that was put off back to the list."""
    key = request.POST.get("job", "")
    found = put_off_until(days_jobs_with(key), key)
    if found is None:
        return _said(request, say("That job is on the list already."), is_wrong=True)
    job = found[0].job
    for written in reversed(entries_of_kind("JobPutOff")):
        entry = written.entry
        if (
            isinstance(entry, JobPutOff)
            and (entry.job, entry.place_code) == (job.name, job.place_code)
            and (not job.codes or set(entry.about_codes) & set(job.codes))
        ):
            back = EntryWithdrawn(
                happened_on=today(), target=written.entry_id, reason="brought back to the list"
            )
            return _written(request, back, told("Back on the list: {what}.", what=job.what))
    return _said(request, say("Nothing says that this job was put off."), is_wrong=True)


@require_POST
def give(request: HttpRequest) -> HttpResponse:
    """Give a job to somebody by initials; empty initials take it back."""
    key = request.POST.get("job", "")
    job = days_jobs_with(key).job_with(key)
    if job is None:
        return _said(request, GONE, is_wrong=True)
    to_whom = initials_in(request.POST.get("to_whom"))
    entry = JobGiven(
        happened_on=today(),
        job=job.name,
        place_code=job.place_code,
        about_codes=job.codes,
        to_whom=to_whom,
    )
    words = (
        told("Given to {to_whom}: {what}.", to_whom=to_whom, what=job.what)
        if to_whom
        else told("Given to nobody: {what}.", what=job.what)
    )
    return _written(request, entry, words)


@require_POST
def expect_wind(request: HttpRequest) -> HttpResponse:
    """Write down the strongest wind expected; uncaned trees it may break come first then."""
    form = WindForm(request.POST)
    if not form.is_valid():
        words = " ".join(str(one) for errors in form.errors.values() for one in errors)
        return _said(request, words, is_wrong=True)
    wind = form.cleaned_data["wind_km_h"]
    entry = PracticeSet(happened_on=today(), practice=WIND, value=f"{wind:g} km/h")
    return _written(
        request, entry, told("Written down: wind of up to {wind:g} km/h until tomorrow.", wind=wind)
    )


def _written(request: HttpRequest, entry: Entry, words: str) -> HttpResponse:
    try:
        write(entry, device="desk")
    except NotebookBusy:
        raise
    except GraftwrightError as refused:
        return _said(request, str(refused), is_wrong=True)
    return _said(request, words, is_wrong=False)


def _said(request: HttpRequest, words: str, *, is_wrong: bool) -> HttpResponse:
    return said(request, MinutesForm(request.POST), words, is_wrong=is_wrong)
