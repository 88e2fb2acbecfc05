"""All promises at once, when stocks, wood, pots or time are short.

Two aims, two problems. Trees delivered: every further graft of a line gains no more than the one
before, so the linear programme is almost whole by itself; it is solved on a window of each line's
grafts, widened until no graft outside could gain. Lines filled completely: no such shape, a
whole-number programme under a time limit, whose bound and gap are always told.
"""

import heapq
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

import numpy as np

from graftwright.losses.chain import FloatArray
from graftwright.losses.orders import JointLimit, JointLine, Uses, gains_of, uses_of
from graftwright.losses.programme import Programme, Solved, solved
from graftwright.losses.sizing import chances_by_grafts

_WINDOW_COUNT: Final = 2
_ROUNDING: Final = 1e-9
_LONG_S: Final = 600.0
# a chance above this is as good as sure: more grafts of the line are not looked at
_AS_GOOD_AS_SURE: Final = 0.9995


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitPrice:
    """What one more of a limited thing is worth, in trees (or lines) expected."""

    limit: JointLimit
    used_amount: float
    worth_per_unit: float


@dataclass(frozen=True, slots=True, kw_only=True)
class JointPlan:
    """Grafts for each line in the order given; `value` can never exceed `bound`."""

    grafts_counts: tuple[int, ...]
    value: float
    bound: float
    is_proven: bool
    prices: tuple[LimitPrice, ...]

    @property
    def gap_fraction(self) -> float:
        """How far the plan may be from the best there is, as a share of the bound."""
        return max(0.0, self.bound - self.value) / self.bound if self.bound > 0.0 else 0.0


def plan_most_trees(
    lines: Sequence[JointLine], limits: Sequence[JointLimit], *, time_limit_s: float = 20.0
) -> JointPlan:
    """Plan for the most trees delivered: the sum of worth times E[min(ready, wanted)].

    Parameters
    ----------
    lines
        The promises.
    limits
        What may run out; anything not named is plentiful.
    time_limit_s
        For closing the last gap by whole numbers; the linear part always runs to its end. [s]

    Returns
    -------
    JointPlan
        `prices` say what one more of each thing would bring.
    """
    gains = [gains_of(line) for line in lines]
    uses = uses_of(lines, limits)
    amounts = np.array([limit.amount for limit in limits], dtype=np.float64)
    start = _filled(gains, uses, amounts, [0] * len(lines))
    relaxed, low_counts, high_counts = _relaxed(gains, uses, amounts, start)
    within = np.split(relaxed.values, np.cumsum(np.subtract(high_counts, low_counts)))
    rounded = [
        low + int(np.floor(values.sum() + 1e-7))
        for low, values in zip(low_counts, within, strict=False)
    ]
    bound = relaxed.value + sum(
        float(gain[:low].sum()) for gain, low in zip(gains, low_counts, strict=True)
    )
    counts: Sequence[int] = max(
        (_filled(gains, uses, amounts, rounded), start),
        key=lambda plan: _delivered(gains, plan),
    )
    is_proven = _closed(bound, _delivered(gains, counts))
    if not is_proven:
        counts, bound, is_proven = _whole(
            gains, uses, amounts, counts, relaxed.prices, bound, time_limit_s
        )
    return JointPlan(
        grafts_counts=tuple(counts),
        value=_delivered(gains, counts),
        bound=bound,
        is_proven=is_proven,
        prices=_prices(limits, uses, counts, relaxed.prices),
    )


def plan_most_lines(
    lines: Sequence[JointLine], limits: Sequence[JointLimit], *, time_limit_s: float = 20.0
) -> JointPlan:
    """Plan for the most lines filled completely: the sum of P(ready >= wanted).

    A line gets either nothing or a number of grafts between the trees wanted and where its chance
    is as good as sure (0.9995). Call the plan the best only where `is_proven`; the prices are those
    of the relaxed problem and only a hint.
    """
    uses = uses_of(lines, limits)
    amounts = np.array([limit.amount for limit in limits], dtype=np.float64)
    choices = [_choices(line) for line in lines]
    programme = _one_choice_a_line(choices, uses, amounts, whole=True)
    best = solved(programme, time_limit_s=time_limit_s)
    linear = Programme(
        gains=programme.gains,
        upper=programme.upper,
        starts=programme.starts,
        rows=programme.rows,
        coefficients=programme.coefficients,
        amounts=programme.amounts,
        whole=False,
    )
    relaxed = solved(linear, time_limit_s=_LONG_S)
    counts = _chosen(choices, best.values)
    in_order = _filled_lines(choices, uses, amounts)
    value = _filled_value(choices, counts)
    if _filled_value(choices, in_order) > value:
        counts, value = in_order, _filled_value(choices, in_order)
    bound = min(best.bound, relaxed.value)
    return JointPlan(
        grafts_counts=tuple(counts),
        value=value,
        bound=max(bound, value),
        is_proven=best.is_proven or _closed(bound, value),
        prices=_prices(limits, uses, counts, relaxed.prices[: len(limits)]),
    )


def _relaxed(
    gains: Sequence[FloatArray], uses: Uses, amounts: FloatArray, start: Sequence[int]
) -> tuple[Solved, list[int], list[int]]:
    """Solve the linear programme on windows of grafts, widened until nothing outside gains."""
    lows = [max(0, count - _WINDOW_COUNT) for count in start]
    highs = [
        min(len(gain), count + _WINDOW_COUNT) for gain, count in zip(gains, start, strict=True)
    ]
    while True:
        best = solved(_window(gains, uses, amounts, lows, highs), time_limit_s=_LONG_S)
        is_wide_enough = True
        for place, gain in enumerate(gains):
            price = uses.price(place, best.prices)
            sure_count = int(np.searchsorted(-gain, -(price + _ROUNDING), side="left"))
            perhaps_count = int(np.searchsorted(-gain, -(price - _ROUNDING), side="right"))
            # grafts below the window are taken as made: they must gain; above it, they must not
            if perhaps_count < lows[place] or sure_count > highs[place]:
                is_wide_enough = False
                lows[place] = min(lows[place], max(0, perhaps_count - _WINDOW_COUNT))
                highs[place] = max(highs[place], min(len(gain), sure_count + _WINDOW_COUNT))
        if is_wide_enough:
            return best, lows, highs


def _window(
    gains: Sequence[FloatArray],
    uses: Uses,
    amounts: FloatArray,
    lows: Sequence[int],
    highs: Sequence[int],
    *,
    whole: bool = False,
) -> Programme:
    left = amounts - uses.total(lows, limits_count=len(amounts))
    repeats = [high - low for low, high in zip(lows, highs, strict=True)]
    lengths = np.repeat([len(places) for places in uses.limits], repeats)
    rows, coefficients = list[int](), list[float]()
    for places, per_graft, count in zip(uses.limits, uses.amounts_per_graft, repeats, strict=True):
        rows += places * count
        coefficients += per_graft * count
    window_gains = [gain[low:high] for gain, low, high in zip(gains, lows, highs, strict=True)]
    flat_gains = np.concatenate([*window_gains, np.zeros(0)])
    return Programme(
        gains=flat_gains,
        upper=np.ones(len(flat_gains)),
        starts=np.concatenate(([0], np.cumsum(lengths))).astype(np.intp),
        rows=np.array(rows, dtype=np.intp),
        coefficients=np.array(coefficients, dtype=np.float64),
        amounts=np.maximum(left, 0.0),
        whole=whole,
    )


def _whole(
    gains: Sequence[FloatArray],
    uses: Uses,
    amounts: FloatArray,
    counts: Sequence[int],
    prices: FloatArray,
    bound: float,
    time_limit_s: float,
) -> tuple[Sequence[int], float, bool]:
    """Close the gap: a graft whose gain is further from its price than the gap stays as it is."""
    gap = bound - _delivered(gains, counts) + _ROUNDING
    lows, highs = [], []
    for place, gain in enumerate(gains):
        price = uses.price(place, prices)
        lows.append(int(np.searchsorted(-gain, -(price + gap), side="left")))
        highs.append(int(np.searchsorted(-gain, -(price - gap), side="right")))
    programme = _window(gains, uses, amounts, lows, highs, whole=True)
    best = solved(programme, time_limit_s=time_limit_s)
    edges = np.concatenate(([0], np.cumsum(np.subtract(highs, lows))))
    found = [
        low + round(float(best.values[first:last].sum()))
        for low, (first, last) in zip(lows, pairwise(edges), strict=True)
    ]
    made = sum(float(gain[:low].sum()) for gain, low in zip(gains, lows, strict=True))
    better = max((found, counts), key=lambda plan: _delivered(gains, plan))
    closed_bound = min(bound, made + best.bound)
    is_proven = best.is_proven or _closed(closed_bound, _delivered(gains, better))
    return better, max(closed_bound, _delivered(gains, better)), is_proven


def _filled(
    gains: Sequence[FloatArray], uses: Uses, amounts: FloatArray, start: Sequence[int]
) -> list[int]:
    """Add one graft at a time, the largest gain per minute first, while anything fits."""
    counts = list(start)
    left = (amounts - uses.total(counts, limits_count=len(amounts)) + _ROUNDING).tolist()
    weights = [(per_graft[-1] if per_graft else 1.0) or 1.0 for per_graft in uses.amounts_per_graft]
    needs = [
        tuple(zip(places, per_graft, strict=True))
        for places, per_graft in zip(uses.limits, uses.amounts_per_graft, strict=True)
    ]
    ranks = [(-gain / weight).tolist() for gain, weight in zip(gains, weights, strict=True)]
    queue = [
        (rank[count], place)
        for place, (rank, count) in enumerate(zip(ranks, counts, strict=True))
        if count < len(rank)
    ]
    heapq.heapify(queue)
    while queue:
        place = queue[0][1]
        count = counts[place] + 1
        if not _taken(left, needs[place]):
            heapq.heappop(queue)
            continue
        counts[place] = count
        if count < len(ranks[place]) and ranks[place][count] < 0.0:
            heapq.heapreplace(queue, (ranks[place][count], place))
        else:
            heapq.heappop(queue)
    return counts


def _taken(left: list[float], needs: Sequence[tuple[int, float]]) -> bool:
    """Take what one graft needs, if all of it is there."""
    for limit, amount in needs:
        if left[limit] < amount:
            return False
    for limit, amount in needs:
        left[limit] -= amount
    return True


def _choices(line: JointLine) -> list[tuple[int, float]]:
    """Give the useful numbers of grafts of a line, with the chance that each fills it."""
    if line.wanted_count == 0:
        return []
    chances = chances_by_grafts(line.max_grafts_count, line.wanted_count, line.stage_rates)
    useful = []
    for grafts_count in range(line.wanted_count, line.max_grafts_count + 1):
        if chances[grafts_count] >= _AS_GOOD_AS_SURE:
            break
        useful.append((grafts_count, line.worth * float(chances[grafts_count])))
    return useful


def _one_choice_a_line(
    choices: Sequence[Sequence[tuple[int, float]]], uses: Uses, amounts: FloatArray, *, whole: bool
) -> Programme:
    gains, rows, coefficients, starts = [], [], [], [0]
    for place, offered in enumerate(choices):
        for grafts_count, chance in offered:
            gains.append(chance)
            rows += [*uses.limits[place], len(amounts) + place]
            coefficients += [grafts_count * use for use in uses.amounts_per_graft[place]]
            coefficients.append(1.0)
            starts.append(len(rows))
    return Programme(
        gains=np.array(gains, dtype=np.float64),
        upper=np.ones(len(gains)),
        starts=np.array(starts, dtype=np.intp),
        rows=np.array(rows, dtype=np.intp),
        coefficients=np.array(coefficients, dtype=np.float64),
        amounts=np.concatenate([amounts, np.ones(len(choices))]),
        whole=whole,
    )


def _chosen(choices: Sequence[Sequence[tuple[int, float]]], values: FloatArray) -> list[int]:
    counts, first = [], 0
    for offered in choices:
        picked = values[first : first + len(offered)]
        first += len(offered)
        is_picked = len(picked) > 0 and float(picked.max()) > 0.5
        counts.append(offered[int(picked.argmax())][0] if is_picked else 0)
    return counts


def _filled_lines(
    choices: Sequence[Sequence[tuple[int, float]]], uses: Uses, amounts: FloatArray
) -> list[int]:
    """Fill lines one after another, the most chance a graft first, while they fit."""
    best = [max(offered, key=lambda pair: pair[1] / pair[0], default=None) for offered in choices]
    order = sorted(
        (-(pair[1] / pair[0]), place, pair[0]) for place, pair in enumerate(best) if pair
    )
    counts, left = [0] * len(choices), amounts.copy()
    for _, place, grafts_count in order:
        pairs = list(zip(uses.limits[place], uses.amounts_per_graft[place], strict=True))
        if all(left[limit] + _ROUNDING >= grafts_count * use for limit, use in pairs):
            counts[place] = grafts_count
            for limit, use in pairs:
                left[limit] -= grafts_count * use
    return counts


def _filled_value(choices: Sequence[Sequence[tuple[int, float]]], counts: Sequence[int]) -> float:
    return sum(
        dict(offered).get(count, 0.0) for offered, count in zip(choices, counts, strict=True)
    )


def _delivered(gains: Sequence[FloatArray], counts: Sequence[int]) -> float:
    return sum(float(gain[:count].sum()) for gain, count in zip(gains, counts, strict=True))


def _closed(bound: float, value: float) -> bool:
    return bound - value <= _ROUNDING * max(1.0, abs(bound))


def _prices(
    limits: Sequence[JointLimit], uses: Uses, counts: Sequence[int], prices: FloatArray
) -> tuple[LimitPrice, ...]:
    used = uses.total(counts, limits_count=len(limits))
    return tuple(
        LimitPrice(limit=limit, used_amount=float(amount), worth_per_unit=max(0.0, float(price)))
        for limit, amount, price in zip(limits, used, prices, strict=True)
    )
