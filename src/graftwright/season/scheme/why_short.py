"""Why a want gets fewer grafts than thought to take, from what the joint plan leaves unused."""

from collections import Counter
from dataclasses import dataclass

from graftwright.season.scheme.joined import Joined, Line
from graftwright.tongue import say


@dataclass(frozen=True, slots=True, kw_only=True)
class Left:
    """Pieces and stocks left of each lot, and grafts left at each bench, by their numbers."""

    pieces: Counter[int]
    stocks: Counter[int]
    hands: Counter[int]


def why_short(line: Line, joined: Joined, left: Left) -> str:
    """Return the first reason that holds, in words: wood, stocks, hours, else the way there."""
    lots = [n for n, (_, lot) in enumerate(joined.wood) if lot.variety == line.want.variety]
    if not lots:
        return say("nobody offers wood of the variety")
    if not any(left.pieces[n] for n in lots):
        return say("all wood of the variety is used")
    kinds = [n for n, (_, lot) in enumerate(joined.stocks) if lot.stock == line.want.stock]
    if not kinds:
        return say("nobody offers the stock")
    if not any(left.stocks[n] for n in kinds):
        return say("all stocks of the kind are used")
    if not any(_has_hours(bench, joined, left) for bench in joined.benches(line)):
        return say("no bench hours are left")
    return say(
        "what is left may not be sent, comes too late, does not fit in thickness, or costs more "
        "to post than it brings"
    )


def _has_hours(bench: int, joined: Joined, left: Left) -> bool:
    return joined.offers[bench].hands is None or left.hands[bench] > 0
