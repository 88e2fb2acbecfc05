"""The first page of lessons: rates by everything recorded, costs, what changes next winter."""

from collections.abc import Iterable
from dataclasses import dataclass, replace

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_POST, require_safe

from graftwright.season.lessons import HiddenRates, LessonRow
from graftwright.season.private_rates import choice_to_show, showing
from graftwright.store.append import write
from graftwright.store.read import read_notebook
from graftwright.store.signed_in import signed_in
from graftwright.tongue import capital, marked, say, told
from graftwright.web.lessons.forest import Forest, forest, is_few
from graftwright.web.lessons.taught import (
    READER_COOKIE,
    asked_by,
    reader_of,
    taught,
)
from graftwright.web.shown_first import ShownFirst, shown_first
from graftwright.web.standing_on import today
from graftwright.web.working.asking import StillWorking
from graftwright.web.working.shown import so_far

_A_YEAR_S = 365 * 24 * 3600
_PARTS = (
    (
        "variety",
        marked("By variety"),
        marked("Held to the nursery’s own rate: one variety is never ranked by a few grafts."),
    ),
    (
        "stock",
        marked("By stock"),
        marked("Takes, then how many stocks lived. A dead stock counts in no take."),
    ),
    (
        "stock lot",
        marked("By lot of stocks"),
        marked("How many stocks lived. Losses here are the lot’s or the pot’s."),
    ),
    (
        "method",
        marked("By method"),
        marked("Thin wood and method often go together; a difference may be the wood’s."),
    ),
    ("binding", marked("By binding"), marked("What held the join.")),
    ("bundle", marked("By bundle"), marked("Wood that came badly through the store shows here.")),
    ("place", marked("By place"), marked("Where the grafts stood first.")),
    (
        "week of",
        marked("By week of grafting"),
        marked("A hot spell after the bench shows here."),
    ),
    (
        "season",
        marked("By season"),
        marked("Earlier years as they were counted, and tree by tree since."),
    ),
)
_PRIVATE = marked("A person’s rates are private: yours, and those of people who show theirs.")


@dataclass(frozen=True, slots=True, kw_only=True)
class RateShown:
    """A rate in the table beneath its drawing."""

    row: LessonRow
    is_few: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """Rates by one thing: a drawing and a table with every stage."""

    key: str
    anchor: str
    heading: str
    note: str
    drawing: Forest
    rates: tuple[RateShown, ...]
    names: ShownFirst[str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Hands:
    """Whose rates this reader sees: people to choose among, who shows theirs, who is left out."""

    reader: str
    people: tuple[str, ...]
    showing: tuple[str, ...]
    hidden: HiddenRates

    @property
    def is_showing(self) -> bool:
        """Whether the reader shows their own rates to everybody."""
        return self.reader in self.showing


@require_safe
def lessons_page(request: HttpRequest) -> HttpResponse:
    """Show what the counts so far teach."""
    asked = asked_by(request)
    found = taught(asked)
    lessons = found.lessons
    whole = [row for row in lessons.rates if row.by == "all"]
    every = request.GET.get("whole", "")
    context: dict[str, object] = {
        "lessons": lessons,
        "whole": [RateShown(row=row, is_few=is_few(row)) for row in whole],
        "whole_drawing": forest(
            [replace(row, name=capital(say(row.stage))) for row in whole],
            general_fraction=None,
        ),
        "questions": tuple(_questions(lessons.rates, whole=every)),
        "by_hands": _question(lessons.rates, "grafter", say("By grafter"), _PRIVATE, whole=every),
        "hands": Hands(
            reader=asked.reader,
            people=found.people,
            showing=showing(asked.notebook.nursery),
            hidden=lessons.hidden,
        ),
        "is_counted": bool(whole),
    }
    return so_far(request, found.task, "lessons/page.html", context)


def _questions(rates: tuple[LessonRow, ...], *, whole: str) -> Iterable[Question]:
    for key, heading, note in _PARTS:
        found = _question(rates, key, heading, note, whole=whole)
        if found:
            yield found


def _question(
    rates: tuple[LessonRow, ...], key: str, heading: str, note: str, *, whole: str
) -> Question | None:
    mine = [row for row in rates if row.by == key]
    if not mine:
        return None
    stage = "take" if any(row.stage == "take" for row in mine) else mine[0].stage
    names = shown_first(list(dict.fromkeys(row.name for row in mine)), key=key, whole=whole)
    mine = [row for row in mine if row.name in names.shown]
    drawn = [row for row in mine if row.stage == stage]
    general = next(row for row in rates if row.by == "all" and row.stage == stage)
    return Question(
        key=key,
        anchor=key.replace(" ", "-"),
        heading=heading,
        note=note,
        drawing=forest(drawn, general_fraction=general.mean_fraction),
        rates=tuple(RateShown(row=row, is_few=is_few(row)) for row in mine),
        names=names,
    )


@require_POST
def choose_reader(request: HttpRequest) -> HttpResponse:
    """Keep who reads on this device, so that their own rates are shown to them."""
    response = redirect("lessons")
    if signed_in() is not None:
        messages.error(request, say("You read as whoever is signed in; another reader signs in."))
        return response
    reader = request.POST.get("reader", "").strip()
    try:
        people = taught(replace(asked_by(request), season=None)).people
    except StillWorking:
        messages.info(request, say("The grafts are still being counted; say it again after that."))
        return response
    if reader in people:
        response.set_cookie(
            READER_COOKIE, reader, max_age=_A_YEAR_S, samesite="Strict", httponly=True
        )
    else:
        response.delete_cookie(READER_COOKIE)
    return response


@require_POST
def show_rates(request: HttpRequest) -> HttpResponse:
    """Write down that the reader shows their own rates to everybody, or hides them again."""
    reader = reader_of(request)
    if not reader:
        messages.error(request, say("Say first who you are; then you may show your own rates."))
        return redirect("lessons")
    is_shown = reader not in showing(read_notebook().nursery)
    write(choice_to_show(reader, is_shown=is_shown, on=today()))
    words = say("shown to everybody who has this notebook") if is_shown else say("private again")
    messages.success(
        request, told("The rates of {reader} are {words}.", reader=reader, words=words)
    )
    return redirect("lessons")
