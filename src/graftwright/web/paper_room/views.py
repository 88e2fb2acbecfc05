"""The paper page and its files."""

import re

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_safe

from graftwright.errors import GraftwrightError
from graftwright.intake.catalogue import shipped_catalogue
from graftwright.notebook.notebook import Notebook
from graftwright.paper.movement_book import movement_book, movement_book_csv
from graftwright.paper.season_report import season_report
from graftwright.paper.tables import plan_tables
from graftwright.paper.workshop_pack import WorkshopDay, workshop_pack
from graftwright.season.movements import movements
from graftwright.season.naming import Names
from graftwright.season.season_counts import season_counts, seasons_counted
from graftwright.season.workshop_plan import Hands, WorkshopWish, workshop_plan
from graftwright.store.read import all_written, read_notebook
from graftwright.store.years import years_written
from graftwright.tongue import say, told
from graftwright.web.paper_room.files import PDF, file_answer
from graftwright.web.paper_room.forms import WorkshopForm
from graftwright.web.paper_room.listing import (
    PAPER_GROUPS,
    ROUND_OFFERS,
    made_paper,
    year_offers,
)
from graftwright.web.standing_on import today
from graftwright.web.templatetags.trade import day as day_words
from graftwright.web.winter import winter_so_far
from graftwright.web.working.shown import so_far
from graftwright.web.workshop.forms import USUAL_PERCENT

_CSV = "text/csv; charset=utf-8"
_OF_A_YEAR = re.compile(
    r"(?P<kind>movement-book|season-report)-(?P<year>\d{4})\.(?P<ending>pdf|csv)"
)


@require_safe
def paper_page(request: HttpRequest) -> HttpResponse:
    """List what can be printed."""
    return _page(request, WorkshopForm(initial={"on": today().isoformat()}), status=200)


@require_safe
def paper_file(request: HttpRequest, file_name: str) -> HttpResponse:
    """Make one paper from the notebook, or from the plan as it stands now."""
    found = _notebook_paper(file_name, read_notebook())
    if found is not None:
        content, media_type = found
        return file_answer(content, file_name=file_name, media_type=media_type)
    winter = winter_so_far()
    if winter.task is not None:
        return redirect("paper")  # where the plan is waited for; no page is saved as a file
    plan = winter.plan
    if plan is None:
        messages.error(request, say("There is no plan yet, so there is nothing to print."))
        return redirect("paper")
    made = made_paper(file_name, plan)
    if made is None:
        raise Http404(told("no paper is called {file_name}", file_name=file_name))
    content, media_type = made
    return file_answer(content, file_name=file_name, media_type=media_type)


@require_safe
def workshop_file(request: HttpRequest) -> HttpResponse:
    """Make the pack of a workshop day."""
    form = WorkshopForm(request.GET)
    if not form.is_valid():
        return _page(request, form, status=422)
    asked = form.cleaned_data
    names = tuple(name.strip() for name in asked["varieties"].split(",") if name.strip())
    try:
        plan = workshop_plan(
            WorkshopWish(
                people_count=asked["people_count"],
                trees_each_count=asked["trees_each_count"],
                hands=Hands(asked["hands"] or Hands.FIRST_TIME),
                service_fraction=(asked["sureness"] or USUAL_PERCENT) / 100.0,
                variety=names[0] if len(names) == 1 else "",
                stock=asked["stock"],
                wood_laid_out_count=asked["wood"],
                stocks_laid_out_count=asked["stocks"],
            ),
            notebook=read_notebook(),
            names=Names(shipped_catalogue()),
        )
        day = WorkshopDay(on=asked["on"], where=asked["where"], plan=plan, varieties=names)
    except GraftwrightError as wrong:
        form.add_error("people_count", str(wrong))
        return _page(request, form, status=422)
    content = workshop_pack(day, nursery_name=read_notebook().nursery.name)
    return file_answer(content, file_name="workshop-pack.pdf", media_type=PDF)


def _notebook_paper(file_name: str, notebook: Notebook) -> tuple[bytes, str] | None:
    for offer in ROUND_OFFERS:
        if offer.file_name == file_name:
            return offer.make(notebook, today()), PDF
    asked = _OF_A_YEAR.fullmatch(file_name)
    if asked is None:
        return None
    year, ending = int(asked["year"]), asked["ending"]
    name = notebook.nursery.name
    if asked["kind"] == "movement-book":
        found = movements(all_written(), notebook, year=year)
        if ending == "csv":
            return movement_book_csv(found).encode("utf-8-sig"), _CSV
        return movement_book(found, year=year, nursery_name=name), PDF
    if ending == "csv":
        return None
    counts = season_counts(notebook, season=year)
    foot = told("As counted on {day_words}.", day_words=day_words(today()))
    return season_report(counts, nursery_name=name, foot=foot), PDF


def _page(request: HttpRequest, workshop: WorkshopForm, *, status: int) -> HttpResponse:
    winter = winter_so_far()
    context: dict[str, object] = {
        "plan": winter.plan,
        "groups": PAPER_GROUPS,
        "tables": plan_tables(winter.plan) if winter.plan else (),
        "label_count": len(winter.plan.joins) if winter.plan else 0,
        "rounds": ROUND_OFFERS,
        "books": year_offers(years_written(), seasons_counted(winter.notebook)),
        "workshop": workshop,
    }
    return so_far(request, winter.task, "paper_room/page.html", context, status=status)
