"""Jobs on bindings, by what they are made of and how fast the tree grows beneath them."""

from collections.abc import Iterable
from datetime import date, timedelta

from graftwright.climate import DateSpread
from graftwright.notebook.entries import Binding, Scion
from graftwright.notebook.standing import Tree
from graftwright.season.job import Job
from graftwright.season.practice import Rule, rule
from graftwright.season.tree_work import Due, Season, Task, day_words, days_since, job_of
from graftwright.tongue import marked, say, told

BITING = (Binding.TAPE, Binding.FILM_OVER_RUBBER, Binding.RAFFIA)
"""Bindings that do not give way by themselves; rubber under film counts among them."""

_DAYS_LEFT = ((300.0, 3), (200.0, 7), (0.0, 14))
"""New growth [mm] and the days a biting binding may then stay (judgement, no source)."""
_PERISHING_TIMES = 3.0
_STRONG_SPARE_DAYS = 14


def binding_jobs(
    trees: Iterable[Tree], *, tie: DateSpread, season: Season, place_code: str
) -> Iterable[Job]:
    """Yield the jobs on one batch: biting bindings with their last safe day, others to look at."""
    limit = rule(season.notebook.nursery, "loosen binding from")
    bound = [tree for tree in trees if _is_to_watch(tree)]
    batch = min((tree.grafted_on for tree in bound), default=season.today)
    for task, due in (
        (_LOOSEN, _biting(bound, tie, limit, season)),
        (_LOOK, _giving(bound, limit)),
    ):
        if due.trees:
            yield job_of(_of_batch(task, batch), due, season, place_code)


def _is_to_watch(tree: Tree) -> bool:
    return tree.binding_on and not tree.binding_loosened and tree.scion is not Scion.WAITING


def _biting(trees: list[Tree], tie: DateSpread, limit: Rule, season: Season) -> Due:
    strong = tie.middle is not None and season.today >= tie.middle
    due = [t for t in trees if t.binding in BITING and (strong or t.growth_mm >= limit.value)]
    last = min((day for tree in due if (day := last_safe_on(tree, tie, limit))), default=None)
    kinds = ", ".join(sorted({str(tree.binding) for tree in due}))
    longest_mm = max((tree.growth_mm for tree in due), default=0.0)
    middle = (
        told("about {day_words}", day_words=day_words(tie.middle))
        if tie.middle
        else say("not within these months")
    )
    why = told(
        "{kinds} does not give by itself and chokes what grows beneath it; up "
        "to {longest_mm:.0f} mm grown, {limit:g} mm is the rule "
        "({limit_words}); by warmth the union is strong {middle}",
        kinds=kinds,
        longest_mm=longest_mm,
        limit=limit.value,
        limit_words=limit.words,
        middle=middle,
    )
    return Due(trees=tuple(due), why=why, last_safe_on=last)


def last_safe_on(tree: Tree, tie: DateSpread, limit: Rule) -> date | None:
    """Return the last day a biting binding may stay tight; None where nothing presses yet.

    The more has grown, the sooner; without growth a fortnight after the union is strong.
    """
    days = []
    if tree.growth_mm >= limit.value and tree.measured_on is not None:
        left = next(days_left for grown_mm, days_left in _DAYS_LEFT if tree.growth_mm >= grown_mm)
        days.append(tree.measured_on + timedelta(days=left))
    if tie.middle is not None:
        days.append(tie.middle + timedelta(days=_STRONG_SPARE_DAYS))
    return min(days, default=None)


def _giving(trees: list[Tree], limit: Rule) -> Due:
    """Film that stretches is looked at from the limit on, rubber that perishes much later."""
    due = tuple(
        tree
        for tree in trees
        if tree.binding not in BITING
        and tree.growth_mm
        >= limit.value * (_PERISHING_TIMES if tree.binding is Binding.PERISHING_RUBBER else 1.0)
    )
    why = told(
        "{limit:g} mm of growth or more ({limit_words}); it gives way by "
        "itself, so only slit it where it bites",
        limit=limit.value,
        limit_words=limit.words,
    )
    return Due(trees=due, why=why)


def off_due(trees: Iterable[Tree], season: Season) -> Due:
    """Return the trees whose loosened binding may come off; never on the day of their caning."""
    after = rule(season.notebook.nursery, "take binding off after loosening")
    due = tuple(
        tree
        for tree in trees
        if tree.binding_on
        and tree.binding_loosened
        and tree.has_taken
        and days_since(tree.loosened_on, season.today) >= after.value
        and days_since(tree.caned_on, season.today) > 0
    )
    return Due(
        trees=due,
        why=told(
            "loosened at least {after:g} days ago ({after_words}) and taken; the "
            "cane stays: never unwrap and uncane on one day",
            after=after.value,
            after_words=after.words,
        ),
    )


def _of_batch(task: Task, grafted_on: date) -> Task:
    return Task(
        name=task.name,
        what=say(task.what).replace("{day}", day_words(grafted_on)),
        done_by=task.done_by,
        minutes_each=task.minutes_each,
        find=task.find,
    )


def _not_by_place(_trees: object, _season: Season) -> Due:
    return Due(trees=(), why="")


_LOOSEN = Task(
    name="loosen binding",
    what=marked("Loosen or slit the binding of {trees} grafted {day}"),
    done_by="BindingLoosened",
    minutes_each=1.0,
    find=_not_by_place,
)
_LOOK = Task(
    name="look at binding",
    what=marked("Look at the binding of {trees} grafted {day}"),
    done_by="BindingLoosened",
    minutes_each=0.5,
    find=_not_by_place,
)
