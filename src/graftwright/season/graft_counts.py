"""Every graft with a decided outcome, and all that was recorded of it.

A stock that died unworked is a stage of its own, before the take: it never counts against whoever
made the graft. Grafts still waiting are in no count.
"""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import Tree
from graftwright.season.belief import STOCK_STAGE, earlier_tallies, stages_of
from graftwright.season.naming import Names
from graftwright.tongue import Choice, english, marked

NOT_RECORDED = marked("not recorded")
_KEYS = (
    *("stage", "decided_on", "season", "variety", "stock", "method", "binding", "bundle"),
    *("lot", "place", "week", "day", "grafter", "promise_code"),
)


class Factor(Choice):
    """What may make a difference, in the words of the page."""

    VARIETY = "variety"
    STOCK = "stock"
    METHOD = "method"
    BINDING = "binding"
    BUNDLE = "bundle"
    LOT = "stock lot"
    PLACE = "place"
    WEEK = "week of"
    DAY = "day"
    SEASON = "season"
    GRAFTER = "grafter"


@dataclass(frozen=True, slots=True, kw_only=True)
class GraftCount:
    """Grafts alike in everything recorded that entered a stage, and those that passed it.

    A level that was not recorded is empty; `day` is that of grafting and `week` its Monday, written
    year first so that they sort. `place` is where the grafts stood first: the living move
    on, so where they stand now would be an outcome.
    """

    stage: str
    season: int
    tried_count: int
    passed_count: int
    decided_on: date | None = None
    variety: str = ""
    stock: str = ""
    method: str = ""
    binding: str = ""
    bundle: str = ""
    lot: str = ""
    place: str = ""
    week: str = ""
    day: str = ""
    grafter: str = ""
    promise_code: str = ""

    def level(self, factor: Factor) -> str:
        """Return what was recorded of one factor, or nothing."""
        match factor:
            case Factor.VARIETY:
                return self.variety
            case Factor.STOCK:
                return self.stock
            case Factor.METHOD:
                return self.method
            case Factor.BINDING:
                return self.binding
            case Factor.BUNDLE:
                return self.bundle
            case Factor.LOT:
                return self.lot
            case Factor.PLACE:
                return self.place
            case Factor.WEEK:
                return self.week
            case Factor.DAY:
                return self.day
            case Factor.SEASON:
                return str(self.season)
            case Factor.GRAFTER:
                return self.grafter


def graft_counts(notebook: Notebook, *, names: Names, today: date) -> tuple[GraftCount, ...]:
    """Return every count of every stage: earlier years as they were counted, and tree by tree."""
    earlier = earlier_tallies(notebook, names=names)
    found = [
        GraftCount(
            stage=one.stage,
            season=one.season,
            variety=one.variety,
            stock=one.stock,
            method=one.method,
            grafter=one.grafter,
            tried_count=one.tried_count,
            passed_count=one.passed_count,
        )
        for one in earlier
    ]
    alike = Counter(
        (*alone, *recorded)
        for tree in notebook.workings()
        if (decided := stages_of(tree, today=today))
        for recorded in (_recorded(tree, notebook, names),)
        for alone in _outcomes(tree, decided)
    )
    found += [
        GraftCount(
            **recorded,
            tried_count=count,
            passed_count=count if is_passed else 0,
        )
        for (is_passed, *key), count in alike.items()
        for recorded in (dict[str, Any](zip(_KEYS, key, strict=True)),)
    ]
    return tuple(found)


def _outcomes(
    tree: Tree, decided: Iterable[tuple[str, bool]]
) -> Iterable[tuple[bool, str, date | None]]:
    for stage, is_passed in decided:
        yield is_passed, stage, _decided_on(tree, stage)


def _recorded(tree: Tree, notebook: Notebook, names: Names) -> tuple[object, ...]:
    """Return all that was recorded of a graft, in the order of the keys."""
    place = notebook.places.get(tree.first_place_code)
    return (
        tree.season,
        names.variety(notebook.variety_of(tree)),
        names.stock(notebook.stock_of(tree)),
        english(tree.method),
        english(tree.binding),
        tree.bundle_code,
        tree.lot_code,
        place.name if place else "",
        (tree.grafted_on - timedelta(days=tree.grafted_on.weekday())).isoformat(),
        tree.grafted_on.isoformat(),
        tree.grafter,
        tree.promise_code,
    )


def _decided_on(tree: Tree, stage: str) -> date | None:
    """Return the first day on which anything about this stage could be known of the tree."""
    if stage == STOCK_STAGE:
        seen = (tree.stock_died_on, tree.moved_on, tree.taken_on, tree.scion_died_on)
    else:
        seen = (tree.moved_on, tree.growing_since, tree.taken_on, tree.scion_died_on)
    return min((day for day in seen if day is not None), default=None)


def of_stage(counts: Iterable[GraftCount], stage: str) -> list[GraftCount]:
    """Return the counts of one stage."""
    return [one for one in counts if one.stage == stage]


def summed(counts: Sequence[GraftCount]) -> tuple[int, int]:
    """Return how many were tried and how many passed."""
    return sum(one.tried_count for one in counts), sum(one.passed_count for one in counts)
