"""A plan of cuts looked over again from the raw measurements, by other code than made it."""

from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from graftwright.tongue import say, told
from graftwright.wood.cutplan import CutPlan, Order, PieceAside, PlannedJoin, Reserve
from graftwright.wood.division import CuttingRules
from graftwright.wood.problem import PlanWeights
from graftwright.wood.score import PairTable
from graftwright.wood.stick import Stick, Stock, bud_positions_mm, diameter_at_mm, usable_zone_mm

_CLOSE = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class _Raw:
    """What was measured and asked, by name."""

    sticks: dict[str, Stick]
    stocks: dict[str, Stock]
    orders: dict[str, Order]
    rules: CuttingRules
    table: PairTable
    scarce: frozenset[str]


def check_cut_plan(
    plan: CutPlan,
    *,
    sticks: Sequence[Stick],
    stocks: Sequence[Stock],
    orders: Sequence[Order],
    rules: CuttingRules,
    pair_table: PairTable,
    weights: PlanWeights | None = None,
    reserves: Sequence[Reserve] = (),
) -> tuple[str, ...]:
    """Return every fault of a plan in words; none if it can be carried out as it stands.

    Looks at each cut against the buds and the rules, at each pair against the table, that no
    wood and no stock is used twice, that no order is overfilled, that reserves are kept, and
    that the sums are right.
    """
    raw = _Raw(
        sticks={stick.name: stick for stick in sticks},
        stocks={stock.name: stock for stock in stocks},
        orders={order.name: order for order in orders},
        rules=rules,
        table=pair_table,
        scarce=frozenset(plan.scarce_varieties),
    )
    faults: list[str] = []
    pieces: list[PlannedJoin | PieceAside] = [*plan.joins, *plan.aside]
    for piece in pieces:
        faults.extend(_piece_faults(piece, raw))
    for join in plan.joins:
        faults.extend(_join_faults(join, raw))
    faults.extend(_overlap_faults(plan))
    faults.extend(_count_faults(plan, raw))
    faults.extend(_reserve_faults(plan, reserves))
    faults.extend(_sum_faults(plan, raw, weights or PlanWeights()))
    return tuple(faults)


def _piece_faults(piece: PlannedJoin | PieceAside, raw: _Raw) -> Iterator[str]:
    stick, rules = raw.sticks[piece.stick_name], raw.rules
    name = told(
        "piece {piece_number} of stick {stick_name}",
        piece_number=piece.piece_number,
        stick_name=stick.name,
    )
    buds = bud_positions_mm(stick)
    first, last = piece.first_bud_index, piece.last_bud_index
    if not 0 <= first <= last < len(buds):
        yield told(
            "{name} names buds {first} to {last} of {count}",
            name=name,
            first=first,
            last=last,
            count=len(buds),
        )
        return
    is_scarce = stick.variety in raw.scarce
    least_count = rules.scarce_min_bud_count if is_scarce else rules.min_bud_count
    least_mm = rules.scarce_min_piece_mm if is_scarce else rules.min_piece_mm
    if not least_count <= last - first + 1 <= rules.max_bud_count:
        yield told("{name} has {last} buds", name=name, last=last - first + 1)
    length_mm = piece.top_cut_mm - piece.base_cut_mm
    if not least_mm - _CLOSE <= length_mm <= rules.max_piece_mm + _CLOSE:
        yield told("{name} is {length_mm:.1f} mm long", name=name, length_mm=length_mm)
    begin_mm, end_mm = usable_zone_mm(stick)
    if piece.base_cut_mm < begin_mm - _CLOSE or piece.top_cut_mm > end_mm + _CLOSE:
        yield told("{name} leaves the usable wood", name=name)
    yield from _cut_faults(piece, stick, rules, name)


def _cut_faults(
    piece: PlannedJoin | PieceAside, stick: Stick, rules: CuttingRules, name: str
) -> Iterator[str]:
    buds = bud_positions_mm(stick)
    first_mm, last_mm = buds[piece.first_bud_index], buds[piece.last_bud_index]
    cut_mm = rules.cut_length_ratio * diameter_at_mm(stick, first_mm)
    free_to_mm = piece.base_cut_mm + cut_mm + rules.clear_above_slant_mm
    if rules.is_bud_allowed_behind_slant:
        free_to_mm = piece.base_cut_mm + cut_mm / 2.0
    for position_mm in buds:
        if piece.base_cut_mm <= position_mm < free_to_mm - _CLOSE:
            yield told(
                "{name} has a bud in its slant, at {position_mm} mm",
                name=name,
                position_mm=position_mm,
            )
        below_mm = piece.base_cut_mm - rules.base_cut_above_bud_mm
        if below_mm + _CLOSE < position_mm < piece.base_cut_mm:
            yield told(
                "{name} is cut too close above the bud at {position_mm} mm",
                name=name,
                position_mm=position_mm,
            )
    if abs(piece.top_cut_mm - last_mm - rules.top_cut_above_bud_mm) > _CLOSE:
        yield told(
            "{name} has its top cut {top_cut_mm:.1f} mm above its last bud",
            name=name,
            top_cut_mm=piece.top_cut_mm - last_mm,
        )
    middle_mm = diameter_at_mm(stick, piece.base_cut_mm + cut_mm / 2.0)
    if abs(middle_mm - piece.scion_diameter_mm) > 0.05 + _CLOSE:
        yield told(
            "{name} is {middle_mm:.2f} mm thick, not {scion_diameter_mm} mm",
            name=name,
            middle_mm=middle_mm,
            scion_diameter_mm=piece.scion_diameter_mm,
        )


def _join_faults(join: PlannedJoin, raw: _Raw) -> Iterator[str]:
    stick, stock = raw.sticks[join.stick_name], raw.stocks[join.stock_name]
    order = raw.orders[join.order_name]
    name = told(
        "the graft of stick {stick_name} on stock {stock_name}",
        stick_name=stick.name,
        stock_name=stock.name,
    )
    if stick.variety != order.variety or stock.kind != order.stock_kind:
        yield told(
            "{name} is {variety} on {kind}, not what order {order_name} asks",
            name=name,
            variety=stick.variety,
            kind=stock.kind,
            order_name=order.name,
        )
    if join.bud_count != join.last_bud_index - join.first_bud_index + 1:
        yield told("{name} says {bud_count} buds", name=name, bud_count=join.bud_count)
    score = _score_per_10000(join, stick, stock, raw)
    if score is None:
        yield told(
            "{name} joins {scion_diameter_mm} mm on {diameter_mm} mm, not allowed",
            name=name,
            scion_diameter_mm=join.scion_diameter_mm,
            diameter_mm=stock.diameter_mm,
        )
    elif abs(score / 10_000 - join.take_score_fraction) > _CLOSE:
        yield told(
            "{name} scores {score} in ten thousand, not {take_score_fraction}",
            name=name,
            score=score,
            take_score_fraction=join.take_score_fraction,
        )


def _score_per_10000(join: PlannedJoin, stick: Stick, stock: Stock, raw: _Raw) -> int | None:
    scion_tenths, stock_tenths = round(join.scion_diameter_mm * 10), round(stock.diameter_mm * 10)
    takes = _table_take(raw.table, scion_tenths, stock_tenths)
    if takes < 0:
        return None
    parts = (-0.4, -0.2, 0.0, 0.2, 0.4)
    possible = [
        _table_take(
            raw.table,
            scion_tenths + round(round(stick.class_width_mm * 10) * scion_part),
            stock_tenths + round(round(stock.class_width_mm * 10) * stock_part),
        )
        for scion_part in parts
        for stock_part in parts
    ]
    possible = [take for take in possible if take >= 0]
    percents = raw.rules.bud_percent_by_count
    percent = percents[min(join.bud_count, len(percents)) - 1]
    mean = round(sum(possible) / len(possible)) if possible else takes
    return mean * percent // 100


def _table_take(table: PairTable, scion_tenths: int, stock_tenths: int) -> int:
    row, column = scion_tenths - table.scion_from_tenths, stock_tenths - table.stock_from_tenths
    height, width = table.takes_per_10000.shape
    if not (0 <= row < height and 0 <= column < width):
        return -1
    return int(table.takes_per_10000[row, column])


def _overlap_faults(plan: CutPlan) -> Iterator[str]:
    by_stick: dict[str, list[PlannedJoin | PieceAside]] = defaultdict(list)
    everything: list[PlannedJoin | PieceAside] = [*plan.joins, *plan.aside]
    for piece in everything:
        by_stick[piece.stick_name].append(piece)
    for stick_name, pieces in by_stick.items():
        pieces.sort(key=lambda piece: piece.base_cut_mm)
        if [piece.piece_number for piece in pieces] != list(range(1, len(pieces) + 1)):
            yield told(
                "the pieces of stick {stick_name} are not numbered from its base",
                stick_name=stick_name,
            )
        for lower, upper in pairwise(pieces):
            if upper.base_cut_mm < lower.top_cut_mm - _CLOSE:
                yield (
                    told(
                        "pieces {piece_number} and {piece_number_2} of stick {stick_name} use "
                        "the same wood",
                        piece_number=lower.piece_number,
                        piece_number_2=upper.piece_number,
                        stick_name=stick_name,
                    )
                )


def _count_faults(plan: CutPlan, raw: _Raw) -> Iterator[str]:
    for stock_name, count in Counter(join.stock_name for join in plan.joins).items():
        if count > 1:
            yield told(
                "stock {stock_name} is used {count} times", stock_name=stock_name, count=count
            )
    made = Counter(join.order_name for join in plan.joins)
    for order_name, count in made.items():
        if count > raw.orders[order_name].wanted_count:
            yield told(
                "order {order_name} gets {count} grafts of {wanted_count}",
                order_name=order_name,
                count=count,
                wanted_count=raw.orders[order_name].wanted_count,
            )
    short = {order.order_name for order in plan.orders_short}
    if short != {name for name, order in raw.orders.items() if made[name] < order.wanted_count}:
        yield say("the orders named as short are not those that get too few")
    used = {join.stock_name for join in plan.joins}
    if sorted(left.stock_name for left in plan.stocks_left) != sorted(set(raw.stocks) - used):
        yield say("the stocks named as left over are not those without a scion")


def _reserve_faults(plan: CutPlan, reserves: Sequence[Reserve]) -> Iterator[str]:
    held = Counter(piece.variety for piece in plan.aside)
    joined = Counter(join.variety for join in plan.joins)
    for reserve in reserves:
        if held[reserve.variety] < reserve.piece_count and joined[reserve.variety]:
            yield (
                told(
                    "only {held} of {piece_count} reserved pieces of {variety} are held "
                    "back while others are joined",
                    held=held[reserve.variety],
                    piece_count=reserve.piece_count,
                    variety=reserve.variety,
                )
            )


def _sum_faults(plan: CutPlan, raw: _Raw, weights: PlanWeights) -> Iterator[str]:
    counts = Counter(raw.orders[join.order_name].priority for join in plan.joins)
    if plan.counts_by_priority != (counts[1], counts[2], counts[3]):
        yield told(
            "the counts by priority are {dict}, not {counts_by_priority}",
            dict=dict(counts),
            counts_by_priority=plan.counts_by_priority,
        )
    takes = sum(join.take_score_fraction for join in plan.joins)
    if abs(takes - plan.take_score_sum) > _CLOSE * (1 + len(plan.joins)):
        yield told(
            "the take scores add up to {takes:.4f}, not {take_score_sum:.4f}",
            takes=takes,
            take_score_sum=plan.take_score_sum,
        )
    urgency = sum(raw.sticks[join.stick_name].urgency for join in plan.joins)
    value = takes + urgency * weights.use_first_per_10000 / 10_000
    value += sum(weights.by_priority[raw.orders[j.order_name].priority - 1] for j in plan.joins)
    if abs(value - plan.value) > _CLOSE * (1 + len(plan.joins)):
        yield told("the value is {value:.4f}, not {plan:.4f}", value=value, plan=plan.value)
    if plan.bound < plan.value - _CLOSE or abs(plan.bound - plan.value - plan.gap) > _CLOSE:
        yield told(
            "bound {bound:.4f}, value {plan:.4f} and gap {gap:.4f} disagree",
            bound=plan.bound,
            plan=plan.value,
            gap=plan.gap,
        )
