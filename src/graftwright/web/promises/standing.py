"""Promises as the page lists them: how each stands, beside its line of the plan."""

from dataclasses import dataclass
from datetime import date

from graftwright.intake.catalogue import shipped_catalogue
from graftwright.notebook.standing import Promise
from graftwright.season.outlook import Outlook, outlooks
from graftwright.season.outlook_raises import Raise
from graftwright.season.planned import LimitWorth, LinePlan
from graftwright.web.rests_on import Kept, is_same_for_outlooks
from graftwright.web.standing_on import today
from graftwright.web.winter import Winter


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
    is planned are all kept.
    """

    open_lines: tuple[PromiseLine, ...]
    settled: tuple[Promise, ...]
    varieties: tuple[str, ...]
    stocks: tuple[str, ...]
    all_kept_fraction: float | None = None
    limit_worths: tuple[LimitWorth, ...] = ()

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
    found = {one.promise_code: one for one in winter_outlooks(winter)}
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
    )


def winter_outlooks(winter: Winter) -> tuple[Outlook, ...]:
    """Return how the promises of a winter stand; the last few winters asked about are kept."""
    asked = _Asked(winter=winter, day=today())
    return _outlooks_kept.answer(asked, winter.notebook, lambda: _looked_at(asked))


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


_outlooks_kept: Kept[tuple[Outlook, ...]] = Kept(is_same_for_outlooks, most_count=8)


def _looked_at(asked: _Asked) -> tuple[Outlook, ...]:
    if asked.winter.plan is None:
        return ()
    return outlooks(
        asked.winter.notebook,
        plan=asked.winter.plan,
        today=asked.day,
        catalogue=shipped_catalogue(),
    )


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
