"""Sentences about a joint plan, for terminal, page and paper alike."""

from collections.abc import Sequence
from typing import Final

from graftwright.season.scheme import JointPlan, LotSent
from graftwright.tongue import marked, number, say, says

CAUTION: Final = marked(
    "Wood and stocks carry disease. Whether they may be moved, and with which papers, is for the "
    "plant health authority of each place to say; ask before anything is posted, and send only "
    "what was looked at and found clean. A variety may be protected: ask its holder."
)


def trees_words(count: int) -> str:
    """Return a count of trees in words."""
    return says("{count} tree", "{count} trees", count).format(count=count)


def gain_words(plan: JointPlan) -> str:
    """Return what joining brings, in trees to be expected for promises."""
    wanted = sum(one.want.trees_count for one in plan.outcomes)
    return say(
        "Of {wanted} trees promised, {alone} are to be expected with each nursery for itself, "
        "{together} together."
    ).format(
        wanted=wanted,
        alone=number(plan.alone_trees_count, ".1f"),
        together=number(plan.together_trees_count, ".1f"),
    )


def cost_words(plan: JointPlan) -> str:
    """Return what is sent and fetched, and what it costs."""
    boxes = sum(parcel.parcels_count for parcel in plan.parcels)
    return say("{parcels}, {journeys}, together {cost} {currency}.").format(
        parcels=says("{count} parcel", "{count} parcels", boxes).format(count=boxes),
        journeys=says(
            "{count} journey in autumn", "{count} journeys in autumn", len(plan.journeys)
        ).format(count=len(plan.journeys)),
        cost=number(plan.cost, ".2f"),
        currency=plan.wishes.currency,
    )


def best_words(plan: JointPlan) -> str:
    """Say whether the plan is proved the best, else how far off the best could be."""
    if plan.is_best:
        return say("Proved: by what a tree, a parcel and a journey count, no plan is better.")
    return say(
        "The time ran out: a better plan may exist, by at most {gap} {currency} of worth."
    ).format(gap=number(plan.gap_money, ".2f"), currency=plan.wishes.currency)


def percent_words(fraction: float) -> str:
    """Return a part of one in whole hundredths."""
    return f"{number(100 * fraction, '.0f')} %"


def lots_words(lots: Sequence[LotSent]) -> str:
    """Return what lies in a parcel."""
    return "; ".join(map(lot_words, lots))


def lot_words(lot: LotSent) -> str:
    """Return one lot in a parcel, with its thickness."""
    if lot.is_wood:
        what = says("{count} piece of {name}", "{count} pieces of {name}", lot.count)
    else:
        what = says("{count} stock {name}", "{count} stocks {name}", lot.count)
    return say("{what}, {low} to {high} mm").format(
        what=what.format(count=lot.count, name=lot.name),
        low=number(lot.low_mm, "g"),
        high=number(lot.high_mm, "g"),
    )
