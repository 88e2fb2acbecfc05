"""Scarce wood shared among promises: by priority first, then where one more graft does most good.

One more graft of a line is worth the rise it brings in the trees expected up to those wanted. That
rise never grows with the number of grafts, so giving each piece to the line with the largest rise
is the best division there is.
"""

from collections.abc import Sequence

from graftwright.losses import expected_delivered
from graftwright.season.lines import beta_pairs
from graftwright.season.planned import LinePlan


def fair_shares(lines: Sequence[LinePlan], piece_count: int) -> dict[str, int]:
    """Return how many of the pieces each promise gets, never above what it asks for.

    `lines` all want the same variety; grafts already made count in what each line has.
    """
    shares = {line.promise_code: 0 for line in lines}
    left = piece_count
    for priority in sorted({line.priority for line in lines}):
        level = [line for line in lines if line.priority == priority]
        left -= _share_out(level, left, shares)
    return shares


def _share_out(lines: Sequence[LinePlan], left: int, shares: dict[str, int]) -> int:
    given = 0
    gains = {line.promise_code: _gain(line, 0) for line in lines}
    by_code = {line.promise_code: line for line in lines}
    while given < left:
        asking = [code for code in gains if shares[code] < asked_count(by_code[code])]
        if not asking:
            break
        best = max(asking, key=lambda code: gains[code])
        shares[best] += 1
        gains[best] = _gain(by_code[best], shares[best])
        given += 1
    return given


def asked_count(line: LinePlan) -> int:
    """Return the grafts still to make for a promise."""
    return max(0, line.graft_count - line.made_count)


def _gain(line: LinePlan, given_count: int) -> float:
    pairs = beta_pairs(line.rates)
    have = line.made_count + given_count
    before = expected_delivered(have, line.to_raise_count, pairs) if have else 0.0
    return expected_delivered(have + 1, line.to_raise_count, pairs) - before
