"""A nursery's offer, from its own notebook and plan; names of people and codes stay at home."""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from math import floor
from typing import Final

from graftwright.errors import NoPlan
from graftwright.notebook.entries import BenchDayPlanned, Condition, Health, StickMeasured
from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import Bundle, StockLot
from graftwright.planting import Catalogue
from graftwright.season.bench_days import working_minutes
from graftwright.season.graft_counts import graft_counts
from graftwright.season.material import usable_bundles
from graftwright.season.naming import Names
from graftwright.season.planned import LinePlan, Plan
from graftwright.season.scheme.offered import Hands, Offer, Stocks, Want, Wood, WoodHealth
from graftwright.season.scheme.pooled_cells import pooled_counts
from graftwright.season.standing_names import own_catalogue
from graftwright.tongue import say

# Well kept wood lasts three months and more (facts SW-024, common practice).
_KEEPS_DAYS: Final = 90
_BUDS_A_PIECE: Final = 3  # as a bundle counts its usual pieces
_HEALTH = {Health.CLEAN: WoodHealth.CLEAN, Health.SUSPECT: WoodHealth.SUSPECT}


@dataclass(frozen=True, slots=True, kw_only=True)
class OfferWishes:
    """What a nursery allows the others: nothing leaves it unless it says so."""

    sends_wood: bool = False
    sends_stocks: bool = False
    works_for_others: bool = False
    shares_counts: bool = False


def offer_of(
    notebook: Notebook,
    *,
    plan: Plan,
    catalogue: Catalogue,
    wishes: OfferWishes,
    is_invented: bool = False,
) -> Offer:
    """Return what a nursery offers and asks for on the day its plan was made.

    Wood is counted in pieces of three buds, in classes of a whole millimetre. Raises NoPlan where
    the nursery has no name by which others could know it.
    """
    if not notebook.nursery.name.strip():
        raise NoPlan(say("the nursery has no name; give it one under Mother trees, then offer"))
    names = Names(own_catalogue(notebook, catalogue=catalogue))
    hands = _hands(notebook, today=plan.made_on, wishes=wishes)
    until = hands.bench_until if hands else None
    counted = graft_counts(notebook, names=names, today=plan.made_on)
    return Offer(
        nursery=notebook.nursery.name.strip(),
        season=plan.season,
        made_on=plan.made_on,
        wants=tuple(_wants(plan.lines)),
        wood=tuple(_wood(notebook, names, plan, until, wishes)),
        stocks=tuple(_stocks(notebook, names, plan.made_on, wishes)),
        hands=hands,
        counts=pooled_counts(counted, today=plan.made_on) if wishes.shares_counts else (),
        is_invented=is_invented,
    )


def _wants(lines: Sequence[LinePlan]) -> Iterator[Want]:
    for line in lines:
        if line.to_raise_count:
            yield Want(
                variety=line.variety,
                stock=line.stock,
                due_on=line.due_on,
                priority=line.priority,
                trees_count=line.to_raise_count,
                made_count=line.made_count,
                sureness_fraction=line.sureness_fraction,
            )


def _hands(notebook: Notebook, *, today: date, wishes: OfferWishes) -> Hands | None:
    closed = set(notebook.bench_days.closed_on)
    days = [
        day
        for day in notebook.bench_days.planned
        if day.bench_on >= today and day.bench_on not in closed
    ]
    if not days:
        return None
    return Hands(
        bench_from=min(day.bench_on for day in days),
        bench_until=max(day.bench_on for day in days),
        grafts_count=sum(map(_grafts_of_day, days)),
        works_for_others=wishes.works_for_others,
    )


def _grafts_of_day(day: BenchDayPlanned) -> int:
    return int(working_minutes(day.free_h) * day.grafts_per_h / 60.0 + 1e-9)


def _wood(
    notebook: Notebook, names: Names, plan: Plan, bench_until: date | None, wishes: OfferWishes
) -> Iterator[Wood]:
    found: Counter[tuple[str, int, date, WoodHealth, bool]] = Counter()
    for bundle in usable_bundles(notebook, season=plan.season):
        variety = names.variety(notebook.variety_of_bundle(bundle.code))
        keeps_until = _keeps_until(bundle, plan.made_on, bench_until)
        health = _health(bundle, notebook)
        may_go = wishes.sends_wood and _may_go(bundle, notebook)
        for low_mm in _classes(bundle):
            found[variety, low_mm, keeps_until, health, may_go] += 1
    for (variety, low_mm, keeps_until, health, may_go), count in sorted(found.items()):
        yield Wood(
            variety=variety,
            low_mm=float(low_mm),
            high_mm=low_mm + 1.0,
            pieces_count=count,
            ready_on=plan.made_on,
            keeps_until=keeps_until,
            health=health,
            may_be_sent=may_go,
        )


def _keeps_until(bundle: Bundle, today: date, bench_until: date | None) -> date:
    """Return how long it keeps; what is no longer firm is for the own bench alone."""
    if bundle.condition == Condition.FIRM:
        return max(today, bundle.cut_on + timedelta(days=_KEEPS_DAYS))
    return max(today, bench_until or today)


def _may_go(bundle: Bundle, notebook: Notebook) -> bool:
    """Firm wood of a mother tree whose owner said yes; nothing said is no."""
    mother = notebook.mother_trees.get(bundle.mother_tree_code)
    return bundle.condition == Condition.FIRM and mother is not None and mother.permission is True


def _health(bundle: Bundle, notebook: Notebook) -> WoodHealth:
    mother = notebook.mother_trees.get(bundle.mother_tree_code)
    if mother is None or mother.health is None:
        return WoodHealth.NOT_LOOKED_AT
    return _HEALTH.get(mother.health, WoodHealth.SUSPECT)


def _classes(bundle: Bundle) -> list[int]:
    """Return for each usual piece left the whole millimetre its lower cut lies in, the last cut
    first off the list: what was used is taken to have been the first.
    """
    classes = [
        floor(thick)
        for stick in sorted(bundle.sticks, key=lambda one: one.number)
        for thick in _lower_cuts_mm(stick)
    ]
    return classes[max(0, len(classes) - bundle.pieces_left) :]


def _lower_cuts_mm(stick: StickMeasured) -> list[float]:
    count = stick.bud_count // _BUDS_A_PIECE
    fall_mm = stick.base_mm - stick.tip_mm
    return [stick.base_mm - fall_mm * place / count for place in range(count)]


def _stocks(notebook: Notebook, names: Names, today: date, wishes: OfferWishes) -> Iterator[Stocks]:
    found: Counter[tuple[str, float, float]] = Counter()
    for lot in notebook.lots.values():
        if lot.grade is not None and lot.in_hand_count:
            found[_graded(lot, names)] += lot.in_hand_count
    for (stock, low_mm, high_mm), count in sorted(found.items()):
        yield Stocks(
            stock=stock,
            low_mm=low_mm,
            high_mm=high_mm,
            stocks_count=count,
            ready_on=today,
            may_be_sent=wishes.sends_stocks,
        )


def _graded(lot: StockLot, names: Names) -> tuple[str, float, float]:
    assert lot.grade is not None
    return names.stock(lot.stock), lot.grade.low_mm, lot.grade.high_mm
