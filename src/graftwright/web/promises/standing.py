"""Promises as the page lists them: how each stands, beside its line of the plan."""

from dataclasses import dataclass

from graftwright.notebook.standing import Promise
from graftwright.season.planned import LinePlan
from graftwright.web.winter import Winter


@dataclass(frozen=True, slots=True, kw_only=True)
class PromiseLine:
    """A promise, and its line of this winter's plan if it has one."""

    promise: Promise
    line: LinePlan | None

    @property
    def is_met(self) -> bool:
        """Whether the trees at hand already keep it."""
        return self.line is not None and self.line.to_raise_count == 0

    @property
    def is_sure_enough(self) -> bool:
        """Whether its chance is at least the sureness wanted."""
        return (
            self.line is not None
            and self.line.planned_chance_fraction >= self.line.sureness_fraction
        )

    @property
    def missing_count(self) -> int:
        """Grafts it needs beyond what can be made."""
        return max(0, self.line.graft_count - self.line.planned_count) if self.line else 0


@dataclass(frozen=True, slots=True, kw_only=True)
class PromiseList:
    """Promises still open, in the order in which they are served, and those settled."""

    open_lines: tuple[PromiseLine, ...]
    settled: tuple[Promise, ...]
    varieties: tuple[str, ...]
    stocks: tuple[str, ...]


def promise_list(winter: Winter) -> PromiseList:
    """Return the promises of a winter as the page lists them."""
    promises = winter.notebook.promises.values()
    lines = {line.promise_code: line for line in winter.plan.lines} if winter.plan else {}
    still_open = [promise for promise in promises if promise.open_count]
    rank = {code: place for place, code in enumerate(lines)}
    still_open.sort(key=lambda p: (rank.get(p.code, len(rank)), p.priority, p.made_on, p.code))
    return PromiseList(
        open_lines=tuple(PromiseLine(promise=p, line=lines.get(p.code)) for p in still_open),
        settled=tuple(p for p in promises if not p.open_count),
        varieties=_known_varieties(winter),
        stocks=_known_stocks(winter),
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
