"""What the notebook teaches one reader on one day, reckoned once."""

from collections.abc import Callable, Hashable
from dataclasses import dataclass, field
from datetime import date
from typing import Any, TypeVar

from django.http import HttpRequest

from graftwright.notebook.notebook import Notebook
from graftwright.season.graft_counts import GraftCount
from graftwright.season.lessons import Lessons
from graftwright.season.private_rates import showing
from graftwright.store.read import read_notebook
from graftwright.store.signed_in import signed_in
from graftwright.tongue import language, say
from graftwright.web.rests_on import Kept, is_same_for_lessons
from graftwright.web.standing_on import today
from graftwright.web.working.asking import (
    StillWorking,
    answer_or_earlier,
    head_start_s,
    key_of,
)
from graftwright.work import Means, Question, Task
from graftwright.work.lessons import LessonsFound, LessonsWork, counts_of, lessons_of

R = TypeVar("R")
READER_COOKIE = "reader"
# up to here counting and fitting take about a second, little longer than their way to a worker
_FEW_TREES = 3_000
_MOST_LETTERS = 12


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Asked:
    """What lessons follow from; the store gives the same notebook until an entry is added."""

    notebook: Notebook
    day: date
    reader: str = ""
    season: int | None = None
    spoken: str = field(default_factory=language)

    def _key(self) -> tuple[int, date, str, int | None, str]:
        return (id(self.notebook), self.day, self.reader, self.season, self.spoken)

    def __hash__(self) -> int:
        return hash(self._key())

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Asked) and self._key() == other._key()


def asked_by(request: HttpRequest) -> Asked:
    """Return what this reader asks: as themselves, and of the season they chose."""
    season = request.GET.get("season", "")
    return Asked(
        notebook=read_notebook(),
        day=today(),
        reader=reader_of(request),
        season=int(season) if season.isdecimal() and len(season) == 4 else None,
    )


def reader_of(request: HttpRequest) -> str:
    """Return the initials of whoever reads, as they gave them; nothing if they did not.

    Where people sign in, it is whoever is signed in and nobody else.
    """
    person = signed_in()
    if person is not None:
        return person.initials
    return request.COOKIES.get(READER_COOKIE, "").strip()[:_MOST_LETTERS]


@dataclass(frozen=True, slots=True, kw_only=True)
class Taught:
    """The lessons and the counts that they follow from.

    With `task` they are those of before, while what came since is being counted.
    """

    lessons: Lessons
    counts: tuple[GraftCount, ...]
    task: "Task[Any] | None" = None

    @property
    def people(self) -> tuple[str, ...]:
        """Everybody who made a graft that is counted."""
        return tuple(sorted({one.grafter for one in self.counts if one.grafter}))


@dataclass(frozen=True, slots=True, kw_only=True)
class Counted:
    """Every count, whoever reads; with `task` those of before, as with lessons."""

    counts: tuple[GraftCount, ...]
    task: "Task[Any] | None" = None


def taught(asked: Asked) -> Taught:
    """Return the lessons.

    Raises
    ------
    StillWorking
        If they take their time and there are none of before.
    """
    key, task = _key(asked), None
    try:
        found = _lessons_kept.answer(key, asked.notebook, lambda: _lessons(asked))
    except StillWorking as still:
        earlier = still.earlier or _lessons_kept.last(key)
        if not isinstance(earlier, LessonsFound):
            raise
        found, task = earlier, still.task
    return Taught(lessons=found.lessons, counts=found.counts, task=task)


def counted(asked: Asked) -> Counted:
    """Return every count. Raises StillWorking as `taught`."""
    try:
        counts = _counts_kept.answer(asked.day, asked.notebook, lambda: _counts(asked))
    except StillWorking as still:
        earlier = still.earlier or _counts_kept.last(asked.day)
        if not isinstance(earlier, tuple):
            raise
        return Counted(counts=earlier, task=still.task)
    return Counted(counts=counts)


_lessons_kept: Kept[LessonsFound] = Kept(is_same_for_lessons, most_count=8)
_counts_kept: Kept[tuple[GraftCount, ...]] = Kept(is_same_for_lessons, most_count=2)


def forget_what_was_taught() -> None:
    """Drop every answer kept."""
    _lessons_kept.forget()
    _counts_kept.forget()


def _lessons(asked: Asked) -> LessonsFound:
    work = _work(asked)
    if _is_small(asked.notebook):
        found = lessons_of(work)
    else:
        key = key_of("lessons", *_key(asked))
        found = answer_or_earlier(_question(key, lessons_of, work))
    _counts_kept.answer(asked.day, asked.notebook, lambda: found.counts)
    return found


def _counts(asked: Asked) -> tuple[GraftCount, ...]:
    work = _work(asked)
    if _is_small(asked.notebook):
        return counts_of(work)
    return answer_or_earlier(_question(key_of("counts", asked.day), counts_of, work))


def _key(asked: Asked) -> tuple[object, ...]:
    """Return what tells lessons apart; whoever made their rates private is in no earlier answer."""
    return (asked.day, asked.reader, asked.season, showing(asked.notebook.nursery))


def _work(asked: Asked) -> LessonsWork:
    return LessonsWork(
        notebook=asked.notebook, today=asked.day, reader=asked.reader, season=asked.season
    )


def _question(
    key: Hashable, function: Callable[[LessonsWork], R], work: LessonsWork
) -> Question[R]:
    def worked(means: Means) -> R:
        return means.gathered(function, [work])[0]

    return Question(
        key=key,
        work=worked,
        state=work.notebook,
        is_same=is_same_for_lessons,
        words=say("What the counts teach"),
        room="lessons",
        after_s=head_start_s(work.notebook),
    )


def _is_small(notebook: Notebook) -> bool:
    return len(notebook.trees) <= _FEW_TREES
