"""The best plan of a tiny case by trying everything; shares no code with the planner."""

from collections.abc import Iterator, Sequence
from functools import cache

from graftwright.wood import CuttingRules, Order, PairTable, Stick, Stock

_Piece = tuple[int, int, int, int]


def every_piece(stick: Stick, rules: CuttingRules) -> Iterator[_Piece]:
    """Yield first bud, last bud, diameter in tenths and number of buds, straight from the rules."""
    buds = stick.buds_mm
    begin = 0.06 * stick.length_mm if stick.usable_from_mm is None else stick.usable_from_mm
    end = 0.88 * stick.length_mm if stick.usable_to_mm is None else stick.usable_to_mm

    def thick(place: float) -> float:
        return stick.base_mm + (stick.tip_mm - stick.base_mm) * place / stick.length_mm

    for first in range(len(buds)):
        for last in range(first, len(buds)):
            count = last - first + 1
            if not rules.min_bud_count <= count <= rules.max_bud_count:
                continue
            cut = rules.cut_length_ratio * thick(buds[first])
            top = buds[last] + rules.top_cut_above_bud_mm
            base = min(buds[first] - rules.clear_above_slant_mm - cut, top - rules.min_piece_mm)
            lowest = buds[first - 1] + rules.base_cut_above_bud_mm if first else begin
            if base < max(lowest, begin) or top > end or top - base > rules.max_piece_mm:
                continue
            yield first, last, round(thick(base + cut / 2) * 10), count


def best_value(
    sticks: Sequence[Stick],
    stocks: Sequence[Stock],
    orders: Sequence[Order],
    rules: CuttingRules,
    table: PairTable,
) -> int:
    """Return the value of the best plan in ten-thousandths of a graft."""
    pieces = [list(every_piece(stick, rules)) for stick in sticks]
    weights = {1: 1_000_000, 2: 100_000, 3: 10_000}

    def gain(piece: _Piece, stock: Stock) -> int | None:
        row = piece[2] - table.scion_from_tenths
        column = round(stock.diameter_mm * 10) - table.stock_from_tenths
        if not (0 <= row < 81 and 0 <= column < 91):
            return None
        take = int(table.takes_per_10000[row, column])
        return None if take < 0 else take * (97 if piece[3] == 3 else 100) // 100

    @cache
    def best(stick: int, free_bud: int, stocks_used: int, made: tuple[int, ...]) -> int:
        if stick == len(sticks):
            return 0
        found = best(stick + 1, 0, stocks_used, made)
        for piece in pieces[stick]:
            if piece[0] < free_bud:
                continue
            for number, order in enumerate(orders):
                if order.variety != sticks[stick].variety or made[number] == order.wanted_count:
                    continue
                now_made = (*made[:number], made[number] + 1, *made[number + 1 :])
                for place, stock in enumerate(stocks):
                    score = gain(piece, stock)
                    if stocks_used >> place & 1 or stock.kind != order.stock_kind or score is None:
                        continue
                    rest = best(stick, piece[1] + 1, stocks_used | 1 << place, now_made)
                    found = max(found, weights[order.priority] + score + rest)
        return found

    return best(0, 0, 0, (0,) * len(orders))
