"""What jobs on trees are worked out from: the season as it stands, and which trees are due."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date

from graftwright.notebook.entries import Scion
from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import Tree
from graftwright.season.job import Job, count_of, job_at
from graftwright.season.place_fit import Ground
from graftwright.season.weather import Weather
from graftwright.tongue import day_and_month, told

LONG_AGO_DAYS = 10_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Due:
    """Trees for one job, why, and by when."""

    trees: tuple[Tree, ...]
    why: str
    last_safe_on: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Season:
    """What the jobs on trees are worked out from."""

    notebook: Notebook
    today: date
    ground: Ground

    @property
    def weather(self) -> Weather:
        """The weather known today."""
        return self.ground.weather

    @property
    def is_south(self) -> bool:
        """Whether the nursery lies south of the equator."""
        return self.weather.latitude_deg < 0.0

    def month_here(self, northern_month: int) -> int:
        """Return the month that answers to a northern one here: six months on in the south."""
        return (northern_month + 5) % 12 + 1 if self.is_south else northern_month

    def is_month(self, *northern_months: int) -> bool:
        """Whether it is one of these months, or its southern twin."""
        return self.today.month in {self.month_here(month) for month in northern_months}

    @property
    def is_growing_time(self) -> bool:
        """Whether it is April to August, or October to February south of the equator."""
        return self.is_month(4, 5, 6, 7, 8)

    @property
    def is_grading_time(self) -> bool:
        """Whether it is October or November, or April or May in the south."""
        return self.is_month(10, 11)

    def growing(self, trees: Sequence[Tree]) -> list[Tree]:
        """Return the trees in their first summer whose scion grows, in the growing time."""
        if not self.is_growing_time:
            return []
        return [
            tree
            for tree in trees
            if tree.scion is Scion.GROWING and is_first_summer(tree, self.today)
        ]


def is_first_summer(tree: Tree, today: date) -> bool:
    """Whether the summer around a day is the tree's first; southern summers cross the year's end.

    Grafts of August to October in the south are still in their first summer in February.
    """
    return tree.season == today.year or (
        tree.season == today.year - 1 and tree.grafted_on.month > 6 and today.month <= 4
    )


Find = Callable[[Sequence[Tree], Season], Due]
"""A rule: of the trees at one place, those due today."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """A job that is looked for place by place: its name, words, tick, time and rule.

    `what` holds {trees} where the count of trees goes.
    """

    name: str
    what: str
    done_by: str
    minutes_each: float
    find: Find
    is_warning: bool = False


def job_of(task: Task, due: Due, season: Season, place_code: str) -> Job:
    """Return the job that a task makes of the trees due at a place."""
    codes = tuple(tree.code for tree in due.trees)
    return job_at(
        season.notebook,
        place_code,
        name=task.name,
        what=told(task.what, trees=count_of(codes, "tree", "trees")),
        codes=codes,
        why=due.why,
        last_safe_on=due.last_safe_on,
        minutes_each=task.minutes_each,
        is_warning=task.is_warning,
        done_by=task.done_by,
    )


def days_since(on: date | None, today: date) -> int:
    """Return the days since a day; very many where it never was."""
    return (today - on).days if on else LONG_AGO_DAYS


def day_words(on: date) -> str:
    """Return a day as a reason says it: 4 May."""
    return day_and_month(on)
