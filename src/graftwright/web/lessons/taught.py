"""What the notebook teaches one reader on one day, reckoned once."""

from dataclasses import dataclass, field
from datetime import date

from django.http import HttpRequest

from graftwright.intake.catalogue import shipped_catalogue
from graftwright.notebook.notebook import Notebook
from graftwright.season.graft_counts import GraftCount, graft_counts
from graftwright.season.lessons import Lessons
from graftwright.season.naming import Names
from graftwright.season.review import lessons
from graftwright.store.read import read_notebook
from graftwright.store.signed_in import signed_in
from graftwright.tongue import language
from graftwright.web.rests_on import Kept, is_same_for_lessons
from graftwright.web.standing_on import today

READER_COOKIE = "reader"
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


def taught(asked: Asked) -> Lessons:
    """Return the lessons."""
    return _lessons_kept.answer(
        (asked.day, asked.reader, asked.season), asked.notebook, lambda: _taught(asked)
    )


def counts_of(asked: Asked) -> tuple[GraftCount, ...]:
    """Return every count, whoever reads."""
    return _counts_kept.answer(
        asked.day,
        asked.notebook,
        lambda: graft_counts(asked.notebook, names=Names(shipped_catalogue()), today=asked.day),
    )


_lessons_kept: Kept[Lessons] = Kept(is_same_for_lessons, most_count=8)
_counts_kept: Kept[tuple[GraftCount, ...]] = Kept(is_same_for_lessons, most_count=2)


def _taught(asked: Asked) -> Lessons:
    return lessons(
        asked.notebook,
        today=asked.day,
        catalogue=shipped_catalogue(),
        reader=asked.reader,
        season=asked.season,
        counts=counts_of(asked),
    )


def people_of(asked: Asked) -> tuple[str, ...]:
    """Return everybody who made a graft that is counted."""
    return tuple(sorted({one.grafter for one in counts_of(asked) if one.grafter}))
