"""Promises as the page lists them: how each stands, beside its line of the plan."""

from dataclasses import dataclass
from datetime import date
from typing import Any

from graftwright.notebook.standing import Promise
from graftwright.season.outlook import Outlook
from graftwright.season.outlook_raises import Raise
from graftwright.season.planned import LimitWorth, LinePlan
from graftwright.tongue import say
from graftwright.web.rests_on import Kept, is_same_for_outlooks
from graftwright.web.standing_on import today
from graftwright.web.winter import Winter
from graftwright.web.working.asking import StillWorking, answer_of, head_start_s, key_of
from graftwright.work import Means, Question, Task
from graftwright.work.plans import OutlookWork, outlooks_of

# so many promises are looked at in about a second, little longer than their way to a worker
_FEW_LINES = 40


@dataclass(frozen=True, slots=True, kw_only=True)
class PromiseLine:
    """A promise, its line of this winter's plan if it has one, and how it stands today."""

    promise: Promise
    line: LinePlan | None
    outlook: Outlook | None = None

    @property
    def is_met(self) -> bool:
        """Whether trees that are ready keep it already."""
        return (
            self.outlook is not None
            and self.outlook.low_count >= self.outlook.open_count
            and (self.outlook.chance_fraction >= 1.0)
        )

    @property
    def best_raise(self) -> Raise | None:
        """What raises its chance most without putting its day off; else what does at all."""
        raises = self.outlook.raises if self.outlook else ()
        in_time = [one for one in raises if one.later_on is None]
        return next(iter(in_time or raises), None)


@dataclass(frozen=True, slots=True, kw_only=True)
class PromiseList:
    """Promises still open, in the order in which they are served, and those settled.

    `all_kept_fraction` is the chance that the `together_count` of them for which anything stands or
    is planned are all kept. `task` is the work on plan or chances where they are not here yet.
    """

    open_lines: tuple[PromiseLine, ...]
    settled: tuple[Promise, ...]
    varieties: tuple[str, ...]
    stocks: tuple[str, ...]
    all_kept_fraction: float | None = None
    limit_worths: tuple[LimitWorth, ...] = ()
    task: "Task[Any] | None" = None

    @property
    def sure_count(self) -> int:
        """Promises at least as sure as wanted."""
        return sum(bool(one.outlook and one.outlook.is_sure_enough) for one in self.open_lines)

    @property
    def together_count(self) -> int:
        """Promises for which anything stands or is planned."""
        lines = [one.line for one in self.open_lines if one.line]
        return sum(bool(line.planned_count or line.living_count) for line in lines)


def promise_list(winter: Winter) -> PromiseList:
    """Return the promises of a winter as the page lists them."""
    promises = winter.notebook.promises.values()
    lines = {line.promise_code: line for line in winter.plan.lines} if winter.plan else {}
    task = winter.task
    try:
        looked_at = winter_outlooks(winter)
    except StillWorking as still:
        looked_at, task = (), still.task
    found = {one.promise_code: one for one in looked_at}
    still_open = [promise for promise in promises if promise.open_count]
    rank = {code: place for place, code in enumerate(lines)}
    still_open.sort(key=lambda p: (rank.get(p.code, len(rank)), p.priority, p.made_on, p.code))
    return PromiseList(
        open_lines=tuple(
            PromiseLine(promise=p, line=lines.get(p.code), outlook=found.get(p.code))
            for p in still_open
        ),
        settled=tuple(p for p in promises if not p.open_count),
        varieties=_known_varieties(winter),
        stocks=_known_stocks(winter),
        all_kept_fraction=winter.plan.all_kept_fraction if winter.plan else None,
        limit_worths=winter.plan.limit_worths if winter.plan else (),
        task=task,
    )


def winter_outlooks(winter: Winter) -> tuple[Outlook, ...]:
    """Return how the promises of a winter stand; the last few winters asked about are kept.

    Raises
    ------
    StillWorking
        If there are many promises, and how they stand is still being worked.
    """
    asked = _Asked(winter=winter, day=today())
    return outlooks_kept.answer(asked, winter.notebook, lambda: _looked_at(asked))


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class _Asked:
    """What the outlooks are made from: the same plan on the same day gives the same."""

    winter: Winter
    day: date

    def __hash__(self) -> int:
        return hash((id(self.winter.plan), self.day))

    def __eq__(self, other: object) -> bool:
        # the cached asking keeps its plan alive, so no other can have its identity
        return (
            isinstance(other, _Asked)
            and self.winter.plan is other.winter.plan
            and self.day == other.day
        )


outlooks_kept: Kept[tuple[Outlook, ...]] = Kept(is_same_for_outlooks, most_count=8)


def _looked_at(asked: _Asked) -> tuple[Outlook, ...]:
    plan, notebook = asked.winter.plan, asked.winter.notebook
    if plan is None:
        return ()
    work = OutlookWork(notebook=notebook, plan=plan, today=asked.day)
    if len(plan.lines) <= _FEW_LINES:
        return outlooks_of(work)

    def worked(means: Means) -> tuple[Outlook, ...]:
        return means.gathered(outlooks_of, [work])[0]

    question = Question(
        key=key_of("outlooks", asked.day),
        work=worked,
        state=asked,
        is_same=_is_same,
        words=say("How the promises stand"),
        room="promises",
        after_s=head_start_s(notebook),
    )
    return answer_of(question)


def _is_same(before: _Asked, now: _Asked) -> bool:
    return before == now and is_same_for_outlooks(before.winter.notebook, now.winter.notebook)


def _known_varieties(winter: Winter) -> tuple[str, ...]:
    notebook = winter.notebook
    names = {mother.variety for mother in notebook.mother_trees.values()}
    names |= {bundle.variety for bundle in notebook.bundles.values()}
    names |= {promise.variety for promise in notebook.promises.values()}
    return tuple(sorted(names))


def _known_stocks(winter: Winter) -> tuple[str, ...]:
    notebook = winter.notebook
    names = {lot.stock for lot in notebook.lots.values()}
    names |= {promise.stock for promise in notebook.promises.values()}
    return tuple(sorted(names - {""}))
