"""Joint plans of invented nurseries: the proven best beside each for itself and a plan by hand.

    python -m benchmarks.scheme [--nurseries N...] [--seconds S] [--json]

Everything about the nurseries is made up, from a seed. By hand means: promises by priority, each
with its own wood and stocks first, then with whatever costs the least postage, posting where the
rest of the promise brings more than it costs. All three are valued alike; times are of the
processor.
"""

import argparse
import time
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from math import ceil
from random import Random

from benchmarks.figures import Figure, as_json, table
from graftwright.season.scheme import Hands, Offer, SchemeWishes, Stocks, Want, Wood, WoodHealth
from graftwright.season.scheme.joined import Joined, Line, fits, join_offers
from graftwright.season.scheme.solving import (
    LIVING_DIVISOR,
    PENCE,
    WEIGHTS,
    solve_alone,
    solve_together,
    tree_unit,
)

TODAY = date(2009, 2, 17)
_VARIETIES = ("Discovery", "James Grieve", "Egremont Russet", "Ashmead's Kernel", "Keswick Codlin")
_STOCKS = ("M9", "M26", "M116", "M25")
_OWN = 0.8
"""How often a want is for what the nursery itself works with."""


def invented_offers(nursery_count: int, *, seed: int) -> list[Offer]:
    """Return so many invented offers, each from its own number."""
    return [_offer(Random(7919 * seed + number), number) for number in range(nursery_count)]


def _offer(random: Random, number: int) -> Offer:
    first = TODAY + timedelta(days=random.randint(8, 20))
    varieties, kinds = random.sample(_VARIETIES, 3), random.sample(_STOCKS, 2)
    return Offer(
        nursery=f"Invented nursery {number + 1}",
        season=2009,
        made_on=TODAY,
        wants=tuple(
            Want(
                variety=random.choice(varieties if random.random() < _OWN else _VARIETIES),
                stock=random.choice(kinds if random.random() < _OWN else _STOCKS),
                due_on=date(2009, 11, 28),
                priority=random.randint(1, 3),
                trees_count=random.randint(1, 6),
                sureness_fraction=0.9,
            )
            for _ in range(random.randint(2, 5))
        ),
        wood=tuple(
            Wood(
                variety=random.choice(varieties),
                low_mm=(low := float(random.randint(6, 9))),
                high_mm=low + 1.0,
                pieces_count=random.randint(3, 20),
                ready_on=TODAY,
                keeps_until=date(2009, 4, 20),
                health=WoodHealth.CLEAN,
                may_be_sent=random.random() < 0.8,
            )
            for _ in range(random.randint(2, 4))
        ),
        stocks=tuple(
            Stocks(
                stock=random.choice(kinds),
                low_mm=7.0,
                high_mm=10.0,
                stocks_count=random.randint(5, 25),
                ready_on=TODAY,
                may_be_sent=random.random() < 0.8,
            )
            for _ in range(random.randint(1, 3))
        ),
        hands=Hands(
            bench_from=first,
            bench_until=first + timedelta(days=random.randint(7, 21)),
            grafts_count=random.randint(20, 80),
            works_for_others=random.random() < 0.3,
        ),
        is_invented=True,
    )


@dataclass(slots=True)
class ByHand:
    """What is used so far while promises are gone through one after another."""

    joined: Joined
    wood: Counter[int] = field(default_factory=Counter)
    stocks: Counter[int] = field(default_factory=Counter)
    hands: Counter[int] = field(default_factory=Counter)
    loads: Counter[tuple[int, int, date]] = field(default_factory=Counter)
    worth: int = 0

    def plan(self) -> int:
        """Go through all promises; return what the plan is worth, postage taken off."""
        for line in sorted(self.joined.lines, key=lambda line: (line.want.priority, line.number)):
            self._serve(line)
        return self.worth - self._postage(self.loads)

    def _serve(self, line: Line) -> None:
        unit = tree_unit(self.joined)
        living = unit * line.stakes.living_units // LIVING_DIVISOR
        gains = [WEIGHTS[line.want.priority] * unit * g + living for g in line.stakes.gains]
        for place in range(line.grafts_count):
            found = min(self._ways(line), key=lambda way: way[0], default=None)
            if found is None or found[0] > sum(gains[place:]):
                return
            _, lot, stocks, loads = found
            self.wood[lot] += 1
            self.stocks[stocks] += 1
            self.hands[line.nursery] += 1
            self.loads += loads
            self.worth += gains[place]

    def _ways(self, line: Line) -> Iterator[tuple[int, int, int, Counter[tuple[int, int, date]]]]:
        hands = self.joined.offers[line.nursery].hands
        if hands and self.hands[line.nursery] >= hands.grafts_count:
            return
        before = self._postage(self.loads)
        for lot, (owner, wood) in enumerate(self.joined.wood):
            days = self.joined.wood_days(lot, line.nursery)
            is_left = self.wood[lot] < wood.pieces_count
            if wood.variety != line.want.variety or days is None or not is_left:
                continue
            for number, (holder, stocks) in enumerate(self.joined.stocks):
                other = self.joined.stock_days(number, line.nursery)
                if stocks.stock != line.want.stock or other is None or not fits(wood, stocks):
                    continue
                if self.stocks[number] >= stocks.stocks_count:
                    continue
                loads: Counter[tuple[int, int, date]] = Counter()
                if owner != line.nursery:
                    loads[owner, line.nursery, days.last_on] += 1
                if holder != line.nursery:
                    size = self.joined.wishes.pieces_per_stock_count
                    loads[holder, line.nursery, other.last_on] += size
                yield self._postage(self.loads + loads) - before, lot, number, loads

    def _postage(self, loads: Counter[tuple[int, int, date]]) -> int:
        room = self.joined.wishes.parcel_pieces_count
        boxes = sum(ceil(load / room) for load in loads.values())
        return boxes * round(self.joined.wishes.parcel_price * PENCE)


def measured(nursery_count: int, *, seed: int, longest_s: float) -> list[Figure]:
    """Return the figures of one invented scheme."""
    offers = invented_offers(nursery_count, seed=seed)
    wishes = SchemeWishes(time_limit_s=longest_s)
    apart = join_offers(offers, wishes=wishes, today=TODAY, is_together=False)
    joined = join_offers(offers, wishes=wishes, today=TODAY)
    start = time.process_time()
    alone = solve_alone(apart, time_limit_s=longest_s)
    together = solve_together(joined, alone=alone, time_limit_s=longest_s)
    exact_s = time.process_time() - start
    start = time.process_time()
    by_hand = ByHand(joined).plan()
    hand_s = time.process_time() - start
    name = f"{nursery_count} nurseries, {len(joined.lines)} wants"
    pounds = 1.0 / PENCE
    return [
        Figure(what=f"{name}: worth", measured=together.value * pounds, unit="",
               baseline=alone.value * pounds, baseline_words="each for itself"),
        Figure(what=f"{name}: worth", measured=together.value * pounds, unit="",
               baseline=by_hand * pounds, baseline_words="by hand"),
        Figure(what=f"{name}: worth", measured=together.value * pounds, unit="",
               baseline=together.bound * pounds, baseline_words="no plan is worth more"),
        Figure(what=f"{name}: processor time", measured=exact_s, unit="s",
               baseline=hand_s, baseline_words="by hand"),
    ]  # fmt: skip


def main(arguments: Sequence[str] | None = None) -> int:
    """Measure schemes of several sizes and print the table."""
    parser = argparse.ArgumentParser(description="Joint plans of invented nurseries.")
    parser.add_argument("--nurseries", type=int, nargs="+", default=[3, 6, 12])
    parser.add_argument("--seconds", type=float, default=20.0)
    parser.add_argument("--json", action="store_true")
    asked = parser.parse_args(arguments)
    figures = [
        figure
        for count in asked.nurseries
        for figure in measured(count, seed=17, longest_s=asked.seconds)
    ]
    print(as_json(figures) if asked.json else table(figures))
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
