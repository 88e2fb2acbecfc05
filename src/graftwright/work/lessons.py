"""What the counts teach, as pieces of work: the lessons of one reader, and the counts alone."""

from dataclasses import dataclass
from datetime import date

from graftwright.intake.catalogue import shipped_catalogue
from graftwright.notebook.notebook import Notebook
from graftwright.season.graft_counts import GraftCount, graft_counts
from graftwright.season.lessons import Lessons
from graftwright.season.naming import Names
from graftwright.season.review import lessons


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LessonsWork:
    """One piece: what the counts up to a day teach one reader, of one season's losses."""

    notebook: Notebook
    today: date
    reader: str = ""
    season: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class LessonsFound:
    """The lessons, and every count that they follow from."""

    lessons: Lessons
    counts: tuple[GraftCount, ...]


def lessons_of(work: LessonsWork) -> LessonsFound:
    """Work one piece."""
    counts = counts_of(work)
    found = lessons(
        work.notebook,
        today=work.today,
        catalogue=shipped_catalogue(),
        reader=work.reader,
        season=work.season,
        counts=counts,
    )
    return LessonsFound(lessons=found, counts=counts)


def counts_of(work: LessonsWork) -> tuple[GraftCount, ...]:
    """Count alone, whoever reads."""
    return graft_counts(work.notebook, names=Names(shipped_catalogue()), today=work.today)
