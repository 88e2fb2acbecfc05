"""This winter's plan as the pages need it: read, think, and keep the last thoughts."""

from dataclasses import dataclass, replace
from typing import Any

from graftwright.notebook.notebook import Notebook
from graftwright.season.planned import Plan
from graftwright.store.read import read_notebook
from graftwright.tongue import say
from graftwright.web.rests_on import Kept, is_same_for_plan
from graftwright.web.standing_on import today
from graftwright.web.working.asking import (
    StillWorking,
    answer_of,
    head_start_s,
    key_of,
)
from graftwright.work import Means, Question, Task
from graftwright.work.plans import WinterFound, WinterWork, winter_of

# below this a plan takes about half a second, as long as its way to a worker and back
_FEW_PROMISES, _FEW_STICKS, _FEW_TREES = 8, 60, 500


@dataclass(frozen=True, slots=True, kw_only=True)
class Winter:
    """A winter's plan, or in words why there is none yet; `notebook` is what it was made from.

    `task` is the work on it where it is still worked, was stopped, or could not be worked.
    """

    notebook: Notebook
    plan: Plan | None
    why_none: str = ""
    task: "Task[Any] | None" = None


def this_winter(
    sureness_fraction: float | None = None,
    *,
    may_wait: bool = False,
    patience_s: float | None = None,
) -> Winter:
    """Return the plan of the winter around today; with None each promise keeps its own sureness.

    With `may_wait` a plan that takes longer than `patience_s` (None: half a second) is worked
    elsewhere and StillWorking is raised, for which the page of progress is shown. Else the worker
    is waited for, however long, as for what is written down with the plan's help.
    """
    notebook, day = read_notebook(), today()
    work = WinterWork(notebook=notebook, today=day, sureness_fraction=sureness_fraction)

    def think() -> Winter:
        found = (
            winter_of(work)
            if _is_small(notebook)
            else _asked(work, patience_s=patience_s, waits=not may_wait)
        )
        return Winter(notebook=notebook, plan=found.plan, why_none=found.why_none)

    winter = winters_kept.answer((day, sureness_fraction), notebook, think)
    return winter if winter.notebook is notebook else replace(winter, notebook=notebook)


def winter_so_far() -> Winter:
    """Return this winter's plan if it is here or comes soon, else the work on it, for a page part.

    Such a page is shown at once, without what follows from the plan.
    """
    try:
        return this_winter(may_wait=True)
    except StillWorking as still:
        return Winter(notebook=read_notebook(), plan=None, task=still.task)


winters_kept: Kept[Winter] = Kept(is_same_for_plan, most_count=12)


def _asked(work: WinterWork, *, patience_s: float | None, waits: bool) -> WinterFound:
    def worked(means: Means) -> WinterFound:
        return means.gathered(winter_of, [work])[0]

    question = Question(
        key=key_of("winter", work.today, work.sureness_fraction),
        work=worked,
        state=work.notebook,
        is_same=is_same_for_plan,
        words=say("The winter’s plan"),
        room="today",
        after_s=head_start_s(work.notebook),
    )
    return answer_of(question, patience_s=patience_s, waits=waits)


def _is_small(notebook: Notebook) -> bool:
    sticks = sum(len(one.sticks) for one in notebook.bundles.values() if one.is_in_store)
    return (
        len(notebook.promises) <= _FEW_PROMISES
        and sticks <= _FEW_STICKS
        and len(notebook.trees) <= _FEW_TREES
    )
