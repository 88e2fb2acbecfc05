"""Counts that may be shown to others: no person's own rate can be worked out from them.

A season's grafts are split by variety, stock and method. A group is shown only if it is big enough,
several people made it, no one of them made nearly all of it, and neither all nor none of it took;
what fails goes on to a coarser group, and at last is left out. Every graft stands in one group at
most and no sums are given, so nothing is left over to subtract. Each season is judged by itself and
only once it is over: the difference of two files is a season's groups, which were fit to be shown.
"""

from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Final

from graftwright.losses import Stage
from graftwright.season.belief import autumn_of
from graftwright.season.graft_counts import GraftCount
from graftwright.season.scheme.offered import PooledCount

LEAST_GRAFTS_COUNT: Final = 10
# With two people either could take their own grafts off and see the other's (a choice, as all are).
LEAST_PEOPLE_COUNT: Final = 3
# Whoever made most of a group is known by its rate.
MOST_OF_ONE_FRACTION: Final = 0.6
_COARSENESS: Final = (3, 2, 1, 0)
_Words = tuple[str, str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Share:
    words: _Words
    grafter: str
    grafts_count: int
    taken_count: int


def pooled_counts(counts: Sequence[GraftCount], *, today: date) -> tuple[PooledCount, ...]:
    """Return the takes of all seasons that are over, pooled so that nobody stands out."""
    by_season: dict[int, list[_Share]] = defaultdict(list)
    for one in counts:
        if one.stage == Stage.TAKE and one.tried_count and autumn_of(one.season) <= today:
            by_season[one.season].append(
                _Share(
                    words=(one.variety, one.stock, one.method),
                    grafter=one.grafter.strip(),
                    grafts_count=one.tried_count,
                    taken_count=one.passed_count,
                )
            )
    grafts: Counter[_Words] = Counter()
    taken: Counter[_Words] = Counter()
    for shares in by_season.values():
        for words, group in season_groups(shares):
            grafts[words] += sum(one.grafts_count for one in group)
            taken[words] += sum(one.taken_count for one in group)
    return tuple(
        PooledCount(
            variety=words[0],
            stock=words[1],
            method=words[2],
            grafts_count=grafts[words],
            taken_count=taken[words],
        )
        for words in sorted(grafts)
    )


def season_groups(shares: Iterable[_Share]) -> list[tuple[_Words, list[_Share]]]:
    """Return a season's groups that may be shown, the finest first; the rest is left out."""
    shown: list[tuple[_Words, list[_Share]]] = []
    left = list(shares)
    for kept in _COARSENESS:
        groups: dict[_Words, list[_Share]] = defaultdict(list)
        for one in left:
            groups[_coarser(one.words, kept)].append(one)
        left = []
        for words, group in groups.items():
            if is_fit_to_show(group):
                shown.append((words, group))
            else:
                left += group
    return shown


def is_fit_to_show(group: Sequence[_Share]) -> bool:
    """Say whether nobody stands out in a group. Grafts of nobody named count as one person's."""
    made: Counter[str] = Counter()
    for one in group:
        made[one.grafter] += one.grafts_count
    grafts, taken = made.total(), sum(one.taken_count for one in group)
    return (
        grafts >= LEAST_GRAFTS_COUNT
        and len(made) >= LEAST_PEOPLE_COUNT
        and max(made.values()) <= MOST_OF_ONE_FRACTION * grafts
        and 0 < taken < grafts
    )


def _coarser(words: _Words, kept: int) -> _Words:
    variety, stock, method = (*words[:kept], *([""] * (3 - kept)))
    return variety, stock, method
