"""The page the day begins on."""

from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils.http import urlencode
from django.views.decorators.http import require_POST, require_safe

from graftwright.errors import GraftwrightError, NotebookBusy
from graftwright.notebook.entries import EntryWithdrawn
from graftwright.notebook.notebook import Notebook
from graftwright.season.counted_trees import here_count
from graftwright.season.job import Job
from graftwright.store.append import write, write_many
from graftwright.store.clash_list import clash_list
from graftwright.store.read import read_notebook
from graftwright.store.signed_in import signed_in
from graftwright.tongue import marked, say, told
from graftwright.web.backups import backups_shown
from graftwright.web.people.access import may
from graftwright.web.standing_on import today
from graftwright.web.today.forms import LeftOutForm, MinutesForm, WindForm
from graftwright.web.today.jobs import DayJobs, days_jobs, days_jobs_with
from graftwright.web.today.latest import written_today
from graftwright.web.today.shown import list_shown
from graftwright.web.today.ticks import entries_of_tick, tick_of
from graftwright.web.working.shown import so_far


@require_safe
def today_page(request: HttpRequest) -> HttpResponse:
    """Show the day's jobs in walking order, fitted to the minutes there are."""
    return answer(request, MinutesForm(request.GET))


@require_POST
def tick(request: HttpRequest) -> HttpResponse:
    """Write down that a job is done for all of its things but those left out."""
    asked = MinutesForm(request.POST)
    day_jobs = days_jobs_with(request.POST.get("job", ""))
    job = day_jobs.job_with(request.POST.get("job", ""))
    if job is None or tick_of(job) is None:
        return said(request, asked, GONE, is_wrong=True)
    form = LeftOutForm(job, request.POST)
    if not form.is_valid():
        words = " ".join(str(words) for wrong in form.errors.values() for words in wrong)
        return said(request, asked, words, is_wrong=True)
    return _write(request, asked, day_jobs, job, form.left_out())


GONE = marked("That job is no longer on the list; somebody may have ticked it. Look again.")


def _write(
    request: HttpRequest, asked: MinutesForm, day_jobs: DayJobs, job: Job, left_out: list[str]
) -> HttpResponse:
    plan = day_jobs.plan if job.done_by == "StocksAsked" else None
    entries = entries_of_tick(
        job, left_out=left_out, day=today(), notebook=day_jobs.notebook, plan=plan
    )
    if not entries:
        words = say("Every code was left out, so nothing is written.")
        return said(request, asked, words, is_wrong=True)
    who = asked.cleaned_data["who"] if asked.is_valid() else ""
    try:
        write_many(entries, device="desk", written_by=who)
    except NotebookBusy:
        raise
    except GraftwrightError as refused:
        return said(request, asked, str(refused), is_wrong=True)
    return said(request, asked, _done_words(job, left_out), is_wrong=False)


@require_POST
def take_back(request: HttpRequest, entry_id: UUID) -> HttpResponse:
    """Withdraw one of the day's entries; it stays readable."""
    known = {line.entry_id: line for line in written_today(read_notebook(), day=today())}
    line = known.get(entry_id)
    if line is None:
        messages.error(request, say("That entry is not among the day’s last ones; look again."))
        return redirect("today")
    reason = "taken back on the same day"
    write(EntryWithdrawn(happened_on=today(), target=entry_id, reason=reason), device="desk")
    messages.success(request, told("Taken back: {line_words}", line_words=line.words))
    return redirect("today")


def _done_words(job: Job, left_out: list[str]) -> str:
    but = told(", all but {listed}", listed=", ".join(left_out)) if left_out else ""
    return told("Written down: {what}{but}.", what=job.what, but=but)


def said(request: HttpRequest, asked: MinutesForm, words: str, *, is_wrong: bool) -> HttpResponse:
    """Answer with the list and a sentence: at once, or after leading back to it."""
    if getattr(request, "htmx", False):
        return answer(request, asked, said_words=words, is_wrong=is_wrong)
    (messages.error if is_wrong else messages.success)(request, words)
    kept = {
        name: request.POST.get(name, "")
        for name in ("minutes", "who")
        if request.POST.get(name, "").strip()
    }
    return redirect(f"{reverse('today')}?{urlencode(kept)}" if kept else "today")


def answer(
    request: HttpRequest, form: MinutesForm, *, said_words: str = "", is_wrong: bool = False
) -> HttpResponse:
    """Show the list; only the list where a part of the page was asked for."""
    day_jobs = days_jobs(so_far=True)
    is_good = form.is_valid()
    who = form.cleaned_data.get("who", "")
    is_whole = request.GET.get("whole") == "walk"
    shown = list_shown(
        day_jobs, minutes=form.cleaned_data.get("minutes"), who=who, is_whole=is_whole
    )
    context: dict[str, object] = {
        "form": form,
        "who": who,
        "shown_list": shown,
        "minutes": shown.minutes,
        "stops": shown.stops,
        "latest": written_today(day_jobs.notebook, day=today()),
        "is_first_day": _is_empty(day_jobs.notebook),
        "has_trees": here_count(day_jobs.notebook.trees) > 0,
        "wind_form": WindForm(),
        "backups": backups_shown(),
        "clash_count": _clash_count(),
        "said": said_words,
        "is_wrong": is_wrong,
    }
    template = "today/list.html" if getattr(request, "htmx", False) else "today/page.html"
    return so_far(request, day_jobs.task, template, context, status=200 if is_good else 422)


def _clash_count() -> int:
    """Return how many clashes are open; none for whoever may not settle them."""
    person = signed_in()
    return len(clash_list()) if person is None or may(person.role, "clashes") else 0


def _is_empty(notebook: Notebook) -> bool:
    return not (notebook.promises or notebook.trees or notebook.bundles or notebook.lots)
