"""The joint plan of several nurseries in plain letters for a terminal."""

from collections.abc import Iterator
from textwrap import fill

from graftwright.paper.joint_words import (
    CAUTION,
    best_words,
    cost_words,
    gain_words,
    lots_words,
    percent_words,
    trees_words,
)
from graftwright.paper.text_table import text_table
from graftwright.season.scheme import JointPlan, LineOutcome
from graftwright.tongue import day_and_month, say

_WIDE = 96


def joint_text(plan: JointPlan) -> str:
    """Return who grafts what, what is posted, fetched and short, and what the counts say."""
    return "\n".join(_lines(plan))


def _lines(plan: JointPlan) -> Iterator[str]:
    yield say("Joint plan for {season}: {nurseries}").format(
        season=plan.season, nurseries=", ".join(plan.nurseries)
    )
    if plan.is_invented:
        yield say("Among these are invented nurseries.")
    yield ""
    yield from (gain_words(plan), cost_words(plan), best_words(plan), "")
    yield from (say("Promises"), _outcomes(plan), "")
    if plan.parcels:
        yield from (say("To post"), _parcels(plan), "", fill(say(CAUTION), _WIDE), "")
    if plan.works:
        yield from (say("Grafted for one another"), _works(plan), "")
    if plan.short:
        yield from (say("Short"), *(f"  · {_short(one)}" for one in plan.short), "")
    yield from (say("What all counts together foretell of the take"), _rates(plan))


def _outcomes(plan: JointPlan) -> str:
    head = (
        *(say("nursery"), say("variety"), say("stock"), say("trees"), say("grafts asked")),
        *(say("alone"), say("together"), say("chance alone"), say("chance")),
    )
    rows = [
        (
            *(one.nursery, one.want.variety, one.want.stock, str(one.want.trees_count)),
            *(str(one.asked_count), str(one.alone_count), str(one.together_count)),
            *(percent_words(one.alone_chance_fraction), percent_words(one.chance_fraction)),
        )
        for one in plan.outcomes
    ]
    widest = (24, 20, 12, 6, 11, 6, 9, 8, 8)
    return text_table(head, rows, widest=widest, right=(3, 4, 5, 6, 7, 8))


def _parcels(plan: JointPlan) -> str:
    head = (say("from"), say("to"), say("what"), say("ready"), say("post by"))
    rows = [
        (
            *(one.sender, one.receiver, lots_words(one.lots)),
            *(day_and_month(one.post_from), day_and_month(one.post_by)),
        )
        for one in plan.parcels
    ]
    return text_table(head, rows, widest=(24, 24, 40, 11, 11))


def _works(plan: JointPlan) -> str:
    head = (say("bench of"), say("for"), say("variety"), say("stock"), say("grafts"))
    rows = [
        (one.bench, one.owner, one.variety, one.stock, str(one.grafts_count)) for one in plan.works
    ]
    return text_table(head, rows, widest=(24, 24, 24, 14, 7), right=(4,))


def _short(one: LineOutcome) -> str:
    return say(
        "{nursery}: {trees} of {variety} on {stock}, {count} of {asked} grafts: {why}"
    ).format(
        nursery=one.nursery,
        trees=trees_words(one.want.trees_count),
        variety=one.want.variety,
        stock=one.want.stock,
        count=one.together_count,
        asked=one.asked_count,
        why=one.why_short,
    )


def _rates(plan: JointPlan) -> str:
    head = (say("variety"), say("stock"), say("take"), say("nine in ten lie in"))
    rows = [
        (
            *(one.variety, one.stock, percent_words(one.mean_fraction)),
            f"{percent_words(one.range.low_fraction)} – {percent_words(one.range.high_fraction)}",
        )
        for one in plan.rates
    ]
    return text_table(head, rows, widest=(26, 14, 6, 18), right=(2,))
