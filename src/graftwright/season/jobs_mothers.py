"""Jobs about mother trees: to renew, a year ahead, those whose shoots give no wood."""

from collections.abc import Iterable
from datetime import date

from graftwright.notebook.entries import Health
from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import MotherTree
from graftwright.season.job import Job, count_of, job_at
from graftwright.season.mother_trees import SHORTEST_STICK_MM, renewal_words
from graftwright.season.planned import Plan
from graftwright.tongue import say, told

# Hard pruning belongs to the leafless months, north and half a year later south (common practice,
# no source); where the plan knows when buds begin to move, its day ends the job sooner.
_LEAFLESS_NORTH = (11, 12, 1, 2, 3)
_LEAFLESS_SOUTH = (5, 6, 7, 8, 9)


def mother_jobs(notebook: Notebook, *, today: date, plan: Plan | None) -> Iterable[Job]:
    """Yield the renewal of every promised variety's mother tree whose shoots are too short.

    It is advice: the plan counts on such a tree neither more nor less, and no promise is moved.
    """
    close_on = plan.cutting_close.closes.early_on if plan else None
    if not _is_leafless(today, notebook.nursery.latitude_deg) or (close_on and today > close_on):
        return
    promised = {p.variety for p in notebook.promises.values() if p.open_count}
    short = tuple(
        mother
        for mother in sorted(notebook.mother_trees.values(), key=lambda one: one.code)
        if mother.variety in promised and _may_be_renewed(mother)
    )
    if short:
        codes = tuple(mother.code for mother in short)
        yield job_at(
            notebook,
            "",
            name="renew mother trees",
            what=told(
                "Prune {count_of} hard, for wood next winter",
                count_of=count_of(codes, "mother tree", "mother trees"),
            ),
            codes=codes,
            why=_why(short),
            last_safe_on=close_on,
            minutes_each=45.0,
        )


def _may_be_renewed(mother: MotherTree) -> bool:
    allowed = mother.permission is not False and mother.health is not Health.DISEASED
    return allowed and bool(renewal_words(mother))


def _why(short: tuple[MotherTree, ...]) -> str:
    shoots = ", ".join(
        told(
            "{variety} {shoot_length_mm:.0f} mm",
            variety=mother.variety,
            shoot_length_mm=mother.shoot_length_mm,
        )
        for mother in short
        if mother.shoot_length_mm is not None
    )
    unasked = say("; ask the owner first") if any(one.permission is None for one in short) else ""
    return told(
        "shoots too short for a piece of {SHORTEST_STICK_MM:.0f} mm "
        "({shoots}){unasked}; this is advice: the plan moves no promise, so "
        "promise these a year later or bud them in summer",
        SHORTEST_STICK_MM=SHORTEST_STICK_MM,
        shoots=shoots,
        unasked=unasked,
    )


def _is_leafless(today: date, latitude_deg: float | None) -> bool:
    is_south = latitude_deg is not None and latitude_deg < 0.0
    return today.month in (_LEAFLESS_SOUTH if is_south else _LEAFLESS_NORTH)
