"""This winter's work, from promises, wood, stocks, places, temperatures and earlier results."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from statistics import median

from graftwright.errors import NoPlan, OutOfRange
from graftwright.notebook.entries import PlaceKind
from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import DailyTemperatures, StockLot
from graftwright.planting import Catalogue, Compatibility
from graftwright.season.belief import Beliefs, tallies
from graftwright.season.bench_days import Timetable, timetable
from graftwright.season.bench_ways import bench_ways, scarce_bud_count
from graftwright.season.closing import cutting_close
from graftwright.season.dating import batch_dates, batches_of
from graftwright.season.dividing import Divided, divide
from graftwright.season.lines import (
    in_order,
    line_plan,
    lucks_of,
    serve,
    stage_rates_of,
    with_planned,
)
from graftwright.season.material import StickInStore, sticks_in_store
from graftwright.season.naming import Names
from graftwright.season.ordering import Ordering
from graftwright.season.outlook_limits import limit_worths, scarce, sharing_ways
from graftwright.season.outlook_luck import LineLuck, chance_of_all, reckoning_words
from graftwright.season.pairing import Paired
from graftwright.season.planned import CuttingClose, Join, LinePlan, Plan, Run, Shortage, ShortOf
from graftwright.season.reckoning import (
    costs,
    expected_trees,
    graft_cost,
    material_needs,
)
from graftwright.season.rights_remarks import rights_remarks
from graftwright.season.shortages import (
    from_division,
    in_season,
    in_short,
    known_verdict,
    unfit,
    without_wood,
)
from graftwright.season.standing_names import own_catalogue
from graftwright.season.weather import Weather, weather_of
from graftwright.tongue import marked, say, told
from graftwright.wood import CuttingRules

PLACE_PRACTICE = marked("place after grafting")
SLANT_PRACTICE = marked("bud at the back of the slant")
_PLACE_ORDER = (
    PlaceKind.COLD_GREENHOUSE,
    PlaceKind.POLYTUNNEL,
    PlaceKind.UNHEATED_ROOM,
    PlaceKind.OUTDOORS,
)
_GAP_WORTH_SAYING_GRAFTS = 0.005
_DEFAULT_GRAFTS_PER_H = 15.0  # until a pace is known (common practice, no source)


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanWishes:
    """What a person may turn: one sureness for all (None: each promise's own), spare, cuts.

    Without rules of cutting, a bud may sit at the back of the slant (common practice, no source)
    unless the person's own practice says no.
    """

    sureness_fraction: float | None = None
    spare_stocks_fraction: float = 0.05
    rules: CuttingRules | None = None

    def __post_init__(self) -> None:
        if self.sureness_fraction is not None and not 0.0 < self.sureness_fraction < 1.0:
            raise OutOfRange(
                told(
                    "sureness {sureness_fraction}; it lies between 0 and 1, such as 0.9",
                    sureness_fraction=self.sureness_fraction,
                )
            )
        if not 0.0 <= self.spare_stocks_fraction <= 1.0:
            raise OutOfRange(
                told(
                    "spare of {spare_stocks_fraction}; expected 0 to 1",
                    spare_stocks_fraction=self.spare_stocks_fraction,
                )
            )


def plan_winter(
    notebook: Notebook,
    *,
    season: int,
    today: date,
    catalogue: Catalogue,
    wishes: PlanWishes | None = None,
    normals: DailyTemperatures | None = None,
) -> Plan:
    """Return the winter's plan for the buds that break in `season`.

    Parameters
    ----------
    notebook
        Everything as it stands on `today`; nothing dated later is looked at.
    catalogue
        Names, and which scion lives on which stock.
    normals
        Daily temperatures of other years to use where the nursery has too few of its own.

    Raises
    ------
    NoPlan
        If no promise is open.
    """
    wishes = _checked(wishes, notebook)
    catalogue = own_catalogue(notebook, catalogue=catalogue)
    names = Names(catalogue)
    weather = weather_of(notebook, today=today, normals=normals)
    beliefs = Beliefs(counted=tallies(notebook, names=names, today=today))
    lines, lucks = _lines(notebook, beliefs, names, season, today, wishes)
    sticks = sticks_in_store(notebook, names=names, season=season)
    refused = [short for line in lines if (short := unfit(line, catalogue=catalogue))]
    fit = [line for line in lines if line.promise_code not in {s.promise_code for s in refused}]
    divided = divide(
        fit,
        sticks=sticks,
        notebook=notebook,
        names=names,
        bench=bench_ways(
            notebook,
            names=names,
            today=today,
            rules=wishes.rules or rules_in_force(notebook),
            minutes_per_graft=60.0 / _pace(notebook),
            place_code=_place_after_grafting(notebook),
        ),
        spare_fraction=wishes.spare_stocks_fraction,
    )
    days = timetable(
        divided.paired.runs,
        free=notebook.bench_days.planned,
        closed_on=notebook.bench_days.closed_on,
        today=today,
    )
    close = cutting_close(season=season, weather=weather)
    found = _shortages(fit, refused, sticks, divided, days, notebook, names)
    shortages = tuple(in_season(short, close=close, today=today) for short in found)
    return _whole(
        notebook,
        season=season,
        today=today,
        lines=_with_outcome(lines, lucks, days, divided.paired.joins, shortages),
        lucks=lucks,
        reckoning=reckoning_words(beliefs),
        divided=divided,
        days=days,
        shortages=shortages,
        weather=weather,
        close=close,
        remarks=(
            *_remarks(lines, divided, weather, days, catalogue),
            *_rights(lines, notebook, catalogue, today),
        ),
    )


def _checked(wishes: PlanWishes | None, notebook: Notebook) -> PlanWishes:
    if not in_order(notebook):
        raise NoPlan(say("no promise is open; write down who wants which trees, then plan"))
    return wishes or PlanWishes()


def _rights(
    lines: Sequence[LinePlan], notebook: Notebook, catalogue: Catalogue, today: date
) -> tuple[str, ...]:
    varieties = {line.variety for line in lines}
    return tuple(rights_remarks(varieties, notebook, catalogue=catalogue, today=today))


def _lines(
    notebook: Notebook,
    beliefs: Beliefs,
    names: Names,
    season: int,
    today: date,
    wishes: PlanWishes,
) -> tuple[list[LinePlan], dict[str, LineLuck]]:
    served = serve(notebook, names=names, season=season)
    promises = in_order(notebook)
    lucks = lucks_of(
        promises, served=served, beliefs=beliefs, names=names, season=season, today=today
    )
    rates = stage_rates_of(promises, beliefs=beliefs, names=names, season=season)
    lines = [
        line_plan(
            promise,
            served=served[promise.code],
            luck=lucks[promise.code],
            rates=rates[promise.code],
            names=names,
            sureness_fraction=wishes.sureness_fraction,
            graft_cost=graft_cost(
                notebook.nursery,
                stock_price=_stock_price(notebook, names.stock(promise.stock), names),
                grafts_per_h=_pace(notebook),
            ),
        )
        for promise in promises
    ]
    return lines, lucks


def _stock_price(notebook: Notebook, stock: str, names: Names) -> float:
    prices = [
        lot.price_each
        for lot in notebook.lots.values()
        if names.stock(lot.stock) == stock and lot.price_each > 0.0
    ]
    return median(prices) if prices else 0.0


def rules_in_force(notebook: Notebook) -> CuttingRules:
    """Return how pieces are cut here: a bud behind the slant, unless own practice says no."""
    refused = any(
        one.practice == SLANT_PRACTICE and one.value.strip().lower() == "no"
        for one in notebook.nursery.practices
    )
    return CuttingRules(
        is_bud_allowed_behind_slant=not refused,
        scarce_min_bud_count=scarce_bud_count(notebook.nursery),
    )


def _pace(notebook: Notebook) -> float:
    paces = [day.grafts_per_h for day in notebook.bench_days.planned]
    return median(paces) if paces else _DEFAULT_GRAFTS_PER_H


def _place_after_grafting(notebook: Notebook) -> str:
    for practice in notebook.nursery.practices:
        if practice.practice == PLACE_PRACTICE and practice.value in notebook.places:
            return practice.value
    for kind in _PLACE_ORDER:
        places = [place for place in notebook.places.values() if place.place_kind is kind]
        if places:
            return min(places, key=lambda place: (place.walking_order, place.code)).code
    return ""


def _shortages(
    fit: Sequence[LinePlan],
    refused: Sequence[Shortage],
    sticks: Sequence[StickInStore],
    divided: Divided,
    days: Timetable,
    notebook: Notebook,
    names: Names,
) -> tuple[Shortage, ...]:
    woodless = {
        line.promise_code: short
        for line in fit
        if line.graft_count > line.made_count
        and (short := without_wood(line, sticks=sticks, notebook=notebook, names=names))
    }
    from_pairs = [
        short
        for short in from_division(divided, lines=fit, notebook=notebook, names=names)
        if short.promise_code not in woodless
    ]
    return (*refused, *woodless.values(), *from_pairs, *_out_of_hours(days))


def _out_of_hours(days: Timetable) -> Iterable[Shortage]:
    """Say which promises lose grafts for want of bench hours; without any day kept, nothing."""
    if not days.days:
        return
    late: dict[str, int] = {}
    for run in days.runs:
        if run.bench_on is None:
            late[run.promise_code] = late.get(run.promise_code, 0) + run.graft_count
    last_on = days.days[-1].bench_on
    for promise_code, count in late.items():
        yield Shortage(
            short_of=ShortOf.HOURS,
            promise_code=promise_code,
            missing_count=count,
            words=told("the bench days are full after {last_on:%-d %B}", last_on=last_on),
            way_out=say("keep another day free, or find a second pair of hands by then"),
        )


def _with_outcome(
    lines: Sequence[LinePlan],
    lucks: Mapping[str, LineLuck],
    days: Timetable,
    joins: Sequence[Join],
    shortages: Sequence[Shortage],
) -> tuple[LinePlan, ...]:
    promise_of = {join.number: join.promise_code for join in joins}
    planned: dict[str, int] = {}
    for run in days.runs:
        if run.bench_on is None and days.days:
            continue
        for number in run.join_numbers:
            planned[promise_of[number]] = planned.get(promise_of[number], 0) + 1
    return tuple(
        replace(
            with_planned(line, planned.get(line.promise_code, 0), luck=lucks[line.promise_code]),
            shortages=tuple(s for s in shortages if s.promise_code == line.promise_code),
        )
        for line in lines
    )


def _remarks(
    lines: Sequence[LinePlan],
    divided: Divided,
    weather: Weather,
    days: Timetable,
    catalogue: Catalogue,
) -> tuple[str, ...]:
    found = [weather.words]
    assumed = sum(stick.buds_assumed for stick in divided.paired.sticks)
    if assumed:
        found.append(
            told(
                "{assumed} sticks have their buds counted, not placed: they are taken "
                "as evenly spread",
                assumed=assumed,
            )
        )
    gap = divided.paired.cut_plan.gap
    if gap > _GAP_WORTH_SAYING_GRAFTS:
        found.append(
            told(
                "no pairing of this wood and these stocks can take better by more than "
                "{gap:.2f} of a graft; the search stopped there",
                gap=gap,
            )
        )
    if not days.days and days.runs:
        found.append(say("no day is kept for the bench yet, so the runs have no dates"))
    found += [
        told(
            "no offer written down covers the {stock} still to order: {count}, spare included",
            stock=stock,
            count=count,
        )
        for stock, count in divided.ordering.uncovered
    ]
    pairs = {(line.variety, line.stock) for line in lines}
    for variety, stock in sorted(pairs):
        recorded = known_verdict(variety, stock, catalogue=catalogue)
        if recorded is None:
            found.append(
                told(
                    "{variety} on {stock}: not in the catalogue, so nothing is known of it",
                    variety=variety,
                    stock=stock,
                )
            )
        elif recorded.compatibility in (Compatibility.SOURCES_DISAGREE, Compatibility.VARIABLE):
            found.append(in_short(recorded))
    return tuple(found)


def _whole(
    notebook: Notebook,
    *,
    season: int,
    today: date,
    lines: tuple[LinePlan, ...],
    lucks: Mapping[str, LineLuck],
    reckoning: str,
    divided: Divided,
    days: Timetable,
    shortages: tuple[Shortage, ...],
    weather: Weather,
    close: CuttingClose,
    remarks: tuple[str, ...],
) -> Plan:
    paired, ordering = divided.paired, divided.ordering
    shared = scarce(lines, runs=days.runs)
    materials = material_needs(
        notebook.nursery,
        graft_count=sum(line.planned_count - line.made_count for line in lines),
        tree_count=expected_trees(lines),
    )
    return Plan(
        season=season,
        made_on=today,
        nursery_name=notebook.nursery.name,
        lines=lines,
        stock_needs=ordering.needs,
        orders=ordering.orders,
        sticks=paired.sticks,
        joins=_renumbered(paired.joins, days.runs),
        runs=days.runs,
        bench_days=days.days,
        batches=batch_dates(batches_of(days.runs), notebook=notebook, weather=weather),
        cutting_close=close,
        materials=materials,
        costs=costs(
            notebook.nursery,
            lines=lines,
            orders=ordering.orders,
            materials=materials,
            bench_days=days.days,
            stocks_in_hand_cost=_in_hand_cost(notebook.lots, paired.joins, ordering),
        ),
        shortages=shortages,
        remarks=remarks,
        pairing_bound_gap_fraction=_gap_fraction(paired),
        all_kept_fraction=_all_kept(lines, lucks),
        reckoning_words=reckoning,
        limit_worths=limit_worths(shared, sticks=paired.sticks),
        sharing_ways=sharing_ways(shared),
    )


def _all_kept(lines: Sequence[LinePlan], lucks: Mapping[str, LineLuck]) -> float | None:
    """Return the chance that all promises are kept that anything is grafted or stands for."""
    filled = [line for line in lines if line.planned_count or line.living_count]
    if not filled:
        return None
    return chance_of_all(
        [(lucks[line.promise_code], line.planned_count - line.made_count) for line in filled]
    )


def _renumbered(joins: Sequence[Join], runs: Sequence[Run]) -> tuple[Join, ...]:
    run_of = {number: run.number for run in runs for number in run.join_numbers}
    return tuple(replace(join, run_number=run_of[join.number]) for join in joins)


def _in_hand_cost(lots: Mapping[str, StockLot], joins: Sequence[Join], ordering: Ordering) -> float:
    ordered = {order.offer_code for order in ordering.orders}
    return sum(lots[join.lot_code].price_each for join in joins if join.lot_code not in ordered)


def _gap_fraction(paired: Paired) -> float:
    plan = paired.cut_plan
    return plan.gap / plan.bound if plan.bound > 0 else 0.0
