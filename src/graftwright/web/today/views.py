"""The page the day begins on."""

from dataclasses import dataclass
from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_POST, require_safe

from graftwright.errors import GraftwrightError, NotebookBusy
from graftwright.notebook.entries import EntryWithdrawn
from graftwright.notebook.notebook import Notebook
from graftwright.season.due import fitted
from graftwright.season.job import Job
from graftwright.store.append import write, write_many
from graftwright.store.read import read_notebook
from graftwright.web.standing_on import today
from graftwright.web.today.forms import LeftOutForm, MinutesForm
from graftwright.web.today.jobs import DayJobs, Stop, days_jobs, key_of, minutes_of, stops
from graftwright.web.today.latest import written_today
from graftwright.web.today.ticks import Lead, Tick, entries_of_tick, lead_of, tick_of
from graftwright.web.trees.naming import name_of_thing


@dataclass(frozen=True, slots=True, kw_only=True)
class NamedCode:
    """A code, and what it is called."""

    code: str
    name: str


@dataclass(frozen=True, slots=True, kw_only=True)
class JobShown:
    """A job with what can be done about it."""

    job: Job
    key: str
    tick: Tick | None
    lead: Lead | None
    named_codes: tuple[NamedCode, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class StopShown:
    """A stop on the walk with its jobs."""

    stop: Stop
    jobs: tuple[JobShown, ...]


@require_safe
def today_page(request: HttpRequest) -> HttpResponse:
    """Show the day's jobs in walking order, fitted to the minutes there are."""
    return _answer(request, MinutesForm(request.GET))


@require_POST
def tick(request: HttpRequest) -> HttpResponse:
    """Write down that a job is done for all of its things but those left out."""
    minutes = MinutesForm(request.POST)
    day_jobs = days_jobs()
    job = day_jobs.job_with(request.POST.get("job", ""))
    if job is None or tick_of(job) is None:
        said = "That job is no longer on the list; somebody may have ticked it. Look again."
        return _said(request, minutes, said, is_wrong=True)
    form = LeftOutForm(job, request.POST)
    if not form.is_valid():
        return _said(
            request, minutes, " ".join(str(words) for words in form.errors["but"]), is_wrong=True
        )
    return _write(request, minutes, day_jobs, job, form.cleaned_data["but"])


def _write(
    request: HttpRequest, minutes: MinutesForm, day_jobs: DayJobs, job: Job, left_out: list[str]
) -> HttpResponse:
    entries = entries_of_tick(
        job, left_out=left_out, day=today(), notebook=day_jobs.notebook, plan=day_jobs.plan
    )
    if not entries:
        said = "Every code was left out, so nothing is written."
        return _said(request, minutes, said, is_wrong=True)
    try:
        write_many(entries, device="desk")
    except NotebookBusy:
        raise
    except GraftwrightError as refused:
        return _said(request, minutes, str(refused), is_wrong=True)
    return _said(request, minutes, _done_words(job, left_out), is_wrong=False)


@require_POST
def take_back(request: HttpRequest, entry_id: UUID) -> HttpResponse:
    """Withdraw one of the day's entries; it stays readable."""
    known = {line.entry_id: line for line in written_today(read_notebook(), day=today())}
    line = known.get(entry_id)
    if line is None:
        messages.error(request, "That entry is not among the day’s last ones; look again.")
        return redirect("today")
    reason = "taken back on the same day"
    write(EntryWithdrawn(happened_on=today(), target=entry_id, reason=reason), device="desk")
    messages.success(request, f"Taken back: {line.words}")
    return redirect("today")


def _done_words(job: Job, left_out: list[str]) -> str:
    but = f", all but {', '.join(left_out)}" if left_out else ""
    return f"Written down: {job.what}{but}."


def _said(
    request: HttpRequest, minutes: MinutesForm, words: str, *, is_wrong: bool
) -> HttpResponse:
    if getattr(request, "htmx", False):
        return _answer(request, minutes, said=words, is_wrong=is_wrong)
    (messages.error if is_wrong else messages.success)(request, words)
    kept = request.POST.get("minutes", "")
    return redirect(f"{reverse('today')}?minutes={kept}" if kept.isdecimal() else "today")


def _answer(
    request: HttpRequest, form: MinutesForm, *, said: str = "", is_wrong: bool = False
) -> HttpResponse:
    day_jobs = days_jobs()
    chosen = form.cleaned_data["minutes"] if form.is_valid() else None
    jobs = fitted(day_jobs.jobs, minutes=chosen) if chosen else day_jobs.jobs
    context = {
        "form": form,
        "minutes": chosen,
        "stops": [_stop_shown(stop, day_jobs.notebook) for stop in stops(jobs)],
        "job_count": len(jobs),
        "minutes_needed": minutes_of(jobs),
        "waiting_count": len(day_jobs.jobs) - len(jobs),
        "latest": written_today(day_jobs.notebook, day=today()),
        "is_first_day": _is_empty(day_jobs.notebook),
        "said": said,
        "is_wrong": is_wrong,
    }
    is_fragment = getattr(request, "htmx", False)
    status = 200 if form.is_valid() else 422
    return render(
        request, "today/list.html" if is_fragment else "today/page.html", context, status=status
    )


def _stop_shown(stop: Stop, notebook: Notebook) -> StopShown:
    return StopShown(stop=stop, jobs=tuple(_job_shown(job, notebook) for job in stop.jobs))


def _job_shown(job: Job, notebook: Notebook) -> JobShown:
    return JobShown(
        job=job,
        key=key_of(job),
        tick=tick_of(job),
        lead=lead_of(job, notebook),
        named_codes=tuple(
            NamedCode(code=code, name=name_of_thing(code, notebook)) for code in job.codes
        ),
    )


def _is_empty(notebook: Notebook) -> bool:
    return not (notebook.promises or notebook.trees or notebook.bundles or notebook.lots)
