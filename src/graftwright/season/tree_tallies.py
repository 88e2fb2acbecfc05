"""What the trees count at each stage, added up; a few trees changed cost a few trees' counting.

The last sums are kept with the trees they are of. Sums of whole numbers are the same whichever way
they were reached, so nothing that is answered depends on what was asked before.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date

from graftwright.notebook.changed_things import changed_keys
from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import Tree
from graftwright.notebook.standing.later_life import as_worked_before
from graftwright.season.naming import Names
from graftwright.season.tally import StageTally
from graftwright.tongue import english

StagesOf = Callable[[Tree], tuple[tuple[str, bool], ...]]
_Cell = tuple[int, str, str, str, str, str]  # season, bundle, lot, method, grafter, stage
_Sums = dict[_Cell, tuple[int, int]]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Counted:
    trees: Mapping[str, Tree]
    today: date
    sums: _Sums


_last: list[_Counted] = []


def tree_tallies(
    notebook: Notebook, *, names: Names, today: date, stages_of: StagesOf
) -> list[StageTally]:
    """Return the counts of all trees, those alike in season, names, method and grafter as one."""
    named: dict[tuple[int, str, str, str, str, str], list[int]] = {}
    for (season, bundle, lot, method, grafter, stage), sums in _sums(
        notebook.trees, today, stages_of
    ).items():
        stock = notebook.lots[lot].stock if lot in notebook.lots else ""
        variety = names.variety(notebook.variety_of_bundle(bundle))
        cell = (season, variety, names.stock(stock), method, grafter, stage)
        both = named.setdefault(cell, [0, 0])
        both[0] += sums[0]
        both[1] += sums[1]
    return [
        StageTally(
            season=season,
            variety=variety,
            stock=stock,
            method=method,
            grafter=grafter,
            bundle_code="",
            stage=stage,
            tried_count=tried,
            passed_count=passed,
        )
        for (season, variety, stock, method, grafter, stage), (tried, passed) in sorted(
            named.items()
        )
    ]


def _sums(trees: Mapping[str, Tree], today: date, stages_of: StagesOf) -> _Sums:
    last = _last[0] if _last else None
    if last is not None and last.today == today:
        if last.trees is trees:
            return last.sums
        before, sums = last.trees, dict(last.sums)
        for code in changed_keys(before, trees):
            _add(sums, before.get(code), -1, stages_of)
            _add(sums, trees.get(code), 1, stages_of)
    else:
        sums = {}
        for tree in trees.values():
            _add(sums, tree, 1, stages_of)
    _last[:] = [_Counted(trees=trees, today=today, sums=sums)]
    return sums


def _add(sums: _Sums, tree: Tree | None, sign: int, stages_of: StagesOf) -> None:
    if tree is None:
        return
    for working in (tree, *(as_worked_before(tree, one) for one in tree.earlier)):
        made = (working.season, working.bundle_code, working.lot_code)
        for stage, passed in stages_of(working):
            cell = (*made, english(working.method), working.grafter, stage)
            tried, come_through = sums.get(cell, (0, 0))
            after = (tried + sign, come_through + sign * int(passed))
            if after == (0, 0):
                del sums[cell]
            else:
                sums[cell] = after
