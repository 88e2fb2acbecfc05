"""The lessons page."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from functools import lru_cache

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from graftwright.intake.catalogue import shipped_catalogue
from graftwright.notebook.notebook import Notebook
from graftwright.season.lessons import LessonRow, Lessons
from graftwright.season.review import lessons
from graftwright.store.read import read_notebook
from graftwright.web.lessons.forest import Forest, forest, is_few
from graftwright.web.standing_on import today

_NO_COUNT_BELOW = 1
_STOOD_OUT = "written down as the cause"
_PARTS = (
    (
        "variety",
        "By variety",
        "Held to the nursery’s own rate: one variety is never ranked by a few grafts.",
    ),
    (
        "stock",
        "By stock",
        "Takes, and how many stocks lived. A dead stock never counts against a take.",
    ),
    ("grafter", "By grafter", "Private: these rows stay on this machine and are on no paper."),
    (
        "method",
        "By method",
        "Thin wood and method often go together; a difference may be the wood’s.",
    ),
    ("bundle", "By bundle", "Wood that came badly through the store shows here."),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class RateShown:
    """A rate in the table beneath its drawing."""

    row: LessonRow
    is_few: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """Rates by one thing: a drawing of the takes and a table with every stage."""

    key: str
    heading: str
    note: str
    drawing: Forest
    rates: tuple[RateShown, ...]


@require_safe
def lessons_page(request: HttpRequest) -> HttpResponse:
    """Show what the counts so far teach."""
    taught = _taught(_Asked(notebook=read_notebook(), day=today()))
    whole = [row for row in taught.rates if row.by == "all"]
    context = {
        "lessons": taught,
        "whole": [RateShown(row=row, is_few=is_few(row)) for row in whole],
        "whole_drawing": forest([_by_stage(row) for row in whole], general_fraction=None),
        "questions": tuple(_questions(taught.rates)),
        "stand_out": [c for c in taught.causes if not c.words.startswith(_STOOD_OUT)],
        "noted": [c for c in taught.causes if c.words.startswith(_STOOD_OUT)],
        "is_counted": any(row.tried_count for row in taught.rates),
    }
    return render(request, "lessons/page.html", context)


def _questions(rates: tuple[LessonRow, ...]) -> Iterable[Question]:
    takes = [row for row in rates if row.by == "all" and row.stage == "take"]
    general_fraction = takes[0].mean_fraction if takes else None
    for key, heading, note in _PARTS:
        mine = [row for row in rates if row.by == key and row.tried_count >= _NO_COUNT_BELOW]
        drawn = [row for row in mine if row.stage == "take"]
        if mine:
            yield Question(
                key=key,
                heading=heading,
                note=note,
                drawing=forest(drawn, general_fraction=general_fraction),
                rates=tuple(RateShown(row=row, is_few=is_few(row)) for row in mine),
            )


def _by_stage(row: LessonRow) -> LessonRow:
    return LessonRow(
        by=row.by,
        name=row.stage[:1].upper() + row.stage[1:],
        stage=row.stage,
        tried_count=row.tried_count,
        passed_count=row.passed_count,
        mean_fraction=row.mean_fraction,
        low_fraction=row.low_fraction,
        high_fraction=row.high_fraction,
        words=row.words,
    )


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class _Asked:
    """What lessons follow from; the store gives the same notebook until an entry is added."""

    notebook: Notebook
    day: date

    def __hash__(self) -> int:
        return hash((id(self.notebook), self.day))

    def __eq__(self, other: object) -> bool:
        return (
            isinstance(other, _Asked) and self.notebook is other.notebook and self.day == other.day
        )


@lru_cache(maxsize=4)
def _taught(asked: _Asked) -> Lessons:
    return lessons(asked.notebook, today=asked.day, catalogue=shipped_catalogue())
