"""This winter's plan as the pages need it: read, think, and keep the last thoughts."""

from dataclasses import dataclass, replace

from graftwright.notebook.notebook import Notebook
from graftwright.season.planned import Plan
from graftwright.store.read import read_notebook
from graftwright.tongue import say
from graftwright.web.rests_on import Kept, is_same_for_plan
from graftwright.web.standing_on import today
from graftwright.web.working.asking import answer_of, key_of
from graftwright.work import Means, Question
from graftwright.work.plans import WinterFound, WinterWork, winter_of

# below this a plan takes about half a second, as long as its way to a worker and back
_FEW_PROMISES, _FEW_STICKS, _FEW_TREES = 8, 60, 500


@dataclass(frozen=True, slots=True, kw_only=True)
class Winter:
    """A winter's plan, or in words why there is none yet; `notebook` is what it was made from."""

    notebook: Notebook
    plan: Plan | None
    why_none: str = ""


def this_winter(
    sureness_fraction: float | None = None,
    *,
    may_wait: bool = False,
    patience_s: float | None = None,
) -> Winter:
    """Return the plan of the winter around today; with None each promise keeps its own sureness.

    With `may_wait` a plan that takes longer than `patience_s` (None: half a second) is worked
    elsewhere and StillWorking is raised, for which the page of progress is shown. Else it is
    thought out here, however long.
    """
    notebook, day = read_notebook(), today()
    work = WinterWork(notebook=notebook, today=day, sureness_fraction=sureness_fraction)

    def think() -> Winter:
        found = (
            _asked(work, patience_s=patience_s)
            if may_wait and not _is_small(notebook)
            else winter_of(work)
        )
        return Winter(notebook=notebook, plan=found.plan, why_none=found.why_none)

    winter = winters_kept.answer((day, sureness_fraction), notebook, think)
    return winter if winter.notebook is notebook else replace(winter, notebook=notebook)


winters_kept: Kept[Winter] = Kept(is_same_for_plan, most_count=12)


def _asked(work: WinterWork, *, patience_s: float | None) -> WinterFound:
    def worked(means: Means) -> WinterFound:
        return means.gathered(winter_of, [work])[0]

    question = Question(
        key=key_of("winter", work.today, work.sureness_fraction),
        work=worked,
        state=work.notebook,
        is_same=is_same_for_plan,
        words=say("The winter’s plan"),
        room="plan",
    )
    return answer_of(question, patience_s=patience_s)


def _is_small(notebook: Notebook) -> bool:
    sticks = sum(len(one.sticks) for one in notebook.bundles.values() if one.is_in_store)
    return (
        len(notebook.promises) <= _FEW_PROMISES
        and sticks <= _FEW_STICKS
        and len(notebook.trees) <= _FEW_TREES
    )
