"""Why did these fail: what was recorded of the lost grafts, searched for what stands out.

Takes and stocks are searched apart: a dead stock is held against its lot, its place and its day,
never against the hands, the wood or the binding. Each search is held by shuffling to so few false
alarms that both together raise one in at most a tenth of the seasons in which only chance was at
work.
"""

from collections import Counter
from collections.abc import Iterable, Sequence
from typing import Final

from graftwright.losses import FailureCount, Stage, Suspect, likely_causes
from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import Tree
from graftwright.season.belief import STOCK_STAGE
from graftwright.season.graft_counts import (
    NOT_RECORDED,
    Factor,
    GraftCount,
    of_stage,
    summed,
)
from graftwright.season.lessons import CauseFindings, NotedCause, SuspectRow
from graftwright.season.private_rates import ONE_PERSON, Shown
from graftwright.season.rates_found import level_name
from graftwright.tongue import marked, say, told

ALARM_FRACTION: Final = 0.05
"""How often one search may claim something though only chance was at work."""

_SEED: Final = 1_847
_MOST_OTHERS_COUNT: Final = 5
_SEARCHES: Final = (
    (
        Stage.TAKE.value,
        marked("grafts that did not take"),
        (
            Factor.BUNDLE,
            Factor.DAY,
            Factor.GRAFTER,
            Factor.PLACE,
            Factor.LOT,
            Factor.VARIETY,
            Factor.STOCK,
            Factor.METHOD,
            Factor.BINDING,
        ),
    ),
    (STOCK_STAGE, marked("stocks that died"), (Factor.LOT, Factor.STOCK, Factor.PLACE, Factor.DAY)),
)


def causes_found(
    counts: Sequence[GraftCount], *, notebook: Notebook, shown: Shown, season: int
) -> tuple[CauseFindings, ...]:
    """Return what stands out among the season's lost takes and among its lost stocks."""
    return tuple(
        _search(of_stage(here, stage), kind, factors, notebook, shown)
        for stage, kind, factors in _SEARCHES
        # tree by tree only: an earlier year's sum does not say which of its grafts were lost
        if (here := [one for one in counts if one.season == season and one.day])
    )


def _search(
    counts: Sequence[GraftCount],
    kind: str,
    factors: Sequence[Factor],
    notebook: Notebook,
    shown: Shown,
) -> CauseFindings:
    report = likely_causes(
        _failures(counts, factors),
        factors=[factor.value for factor in factors],
        seed=_SEED,
        alarm_fraction=ALARM_FRACTION,
    )
    of_count, passed_count = summed(counts)
    claimed = [_row(one, notebook, shown) for one in report.claimed]
    others = [_row(one, notebook, shown) for one in report.suspects if _is_worth_a_row(one, shown)]
    return CauseFindings(
        kind=kind,
        lost_count=of_count - passed_count,
        of_count=of_count,
        alarm_fraction=ALARM_FRACTION,
        claimed=tuple(claimed),
        others=tuple(others[:_MOST_OTHERS_COUNT]),
        words=_verdict(of_count - passed_count, bool(claimed)),
    )


def _failures(counts: Sequence[GraftCount], factors: Sequence[Factor]) -> list[FailureCount]:
    tried: Counter[tuple[str, ...]] = Counter()
    lost: Counter[tuple[str, ...]] = Counter()
    for one in counts:
        levels = tuple(one.level(factor) or NOT_RECORDED for factor in factors)
        tried[levels] += one.tried_count
        lost[levels] += one.tried_count - one.passed_count
    return [
        FailureCount(levels=levels, grafts_count=tried[levels], failed_count=lost[levels])
        for levels in sorted(tried)
    ]


def _is_worth_a_row(suspect: Suspect, shown: Shown) -> bool:
    """Whether an unclaimed suspect lost more than the others did, and names nobody hidden."""
    is_hidden = suspect.factor == Factor.GRAFTER and suspect.level not in shown.people
    worse = suspect.failed_count * suspect.other_grafts_count
    better = suspect.other_failed_count * suspect.grafts_count
    return not (suspect.is_claimed or is_hidden) and worse > better


def _row(suspect: Suspect, notebook: Notebook, shown: Shown) -> SuspectRow:
    factor = Factor(suspect.factor)
    if factor is Factor.GRAFTER and suspect.level not in shown.people:
        return _nameless(suspect, notebook, shown)
    return SuspectRow(
        factor=suspect.factor,
        level=level_name(factor, suspect.level, notebook),
        lost_count=suspect.failed_count,
        of_count=suspect.grafts_count,
        elsewhere_lost_count=suspect.other_failed_count,
        elsewhere_of_count=suspect.other_grafts_count,
        chance_fraction=suspect.chance_fraction,
        is_claimed=suspect.is_claimed,
        same_grafts_as=_others(suspect, notebook, shown),
        words=_words(suspect),
    )


def _nameless(suspect: Suspect, notebook: Notebook, shown: Shown) -> SuspectRow:
    return SuspectRow(
        factor=suspect.factor,
        level=ONE_PERSON,
        lost_count=None,
        of_count=None,
        elsewhere_lost_count=None,
        elsewhere_of_count=None,
        chance_fraction=suspect.chance_fraction,
        is_claimed=suspect.is_claimed,
        same_grafts_as=_others(suspect, notebook, shown),
        words=say(
            "more of one person’s grafts were lost than chance would lose; whose "
            "and how many is shown to that person"
        ),
    )


def _others(suspect: Suspect, notebook: Notebook, shown: Shown) -> tuple[str, ...]:
    return tuple(_shown_other(name, notebook, shown) for name in suspect.inseparable_from)


def _shown_other(name: str, notebook: Notebook, shown: Shown) -> str:
    """Return "bundle K4T76" with its variety, and a person's grafts without the person."""
    factor = max((one for one in Factor if name.startswith(f"{one.value} ")), key=len)
    level = name.removeprefix(f"{factor.value} ")
    if factor is Factor.GRAFTER:
        return f"{factor} {level}" if level in shown.people else ONE_PERSON
    return f"{factor} {level_name(factor, level, notebook)}"


def _words(suspect: Suspect) -> str:
    here = told(
        "{failed_count} of {grafts_count} lost",
        failed_count=suspect.failed_count,
        grafts_count=suspect.grafts_count,
    )
    elsewhere = told(
        "elsewhere {other_failed_count} of {other_grafts_count}",
        other_failed_count=suspect.other_failed_count,
        other_grafts_count=suspect.other_grafts_count,
    )
    return f"{here}, {elsewhere}; {odds_words(suspect.chance_fraction)}"


def odds_words(chance_fraction: float) -> str:
    """Return how often chance alone would do this, as one in so many seasons."""
    if chance_fraction >= 0.5:
        return say("chance alone does this in most seasons")
    return told("chance alone does this in one season of {what}", what=round(1.0 / chance_fraction))


def _verdict(lost_count: int, is_claimed: bool) -> str:
    if not lost_count:
        return say("none were lost")
    if is_claimed:
        return say("more was lost here than chance would lose")
    return say("cannot tell: nothing recorded stands out from chance")


def noted_causes(trees: Iterable[Tree]) -> tuple[NotedCause, ...]:
    """Return the causes as they were written down for lost trees, most often named first."""
    lost = [tree for tree in trees if not tree.is_alive]
    named = Counter(tree.loss_cause for tree in lost if tree.loss_cause)
    return tuple(
        NotedCause(what=say(cause), count=count, of_count=len(lost))
        for cause, count in sorted(named.items(), key=lambda one: (-one[1], one[0]))
    )


def signs_seen(trees: Iterable[Tree]) -> tuple[NotedCause, ...]:
    """Return what was seen in failed grafts that were opened, most often seen first."""
    opened = [tree.autopsy for tree in trees if tree.autopsy]
    # a tree's autopsy stands as its signs one after another, with the words written last
    seen = Counter(sign.strip() for words in opened for sign in words.split(";") if sign.strip())
    return tuple(
        NotedCause(what=sign, count=count, of_count=len(opened))
        for sign, count in sorted(seen.items(), key=lambda one: (-one[1], one[0]))
    )
