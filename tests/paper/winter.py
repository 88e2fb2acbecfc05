"""A small invented winter at Lantern Bank Growers, to print."""

from dataclasses import replace
from datetime import date, timedelta

from graftwright.paper import Label, labels_of
from graftwright.season.planned import (
    BatchDates,
    BenchDay,
    CostLine,
    Costs,
    CuttingClose,
    DateBand,
    Join,
    LinePlan,
    MaterialNeed,
    PieceCut,
    Plan,
    Run,
    Shortage,
    ShortOf,
    StageRate,
    StickCut,
    StockNeed,
    StockOrder,
    SurenessStep,
)
from graftwright.tagcode import code_from_number

BENCH_DAYS = (date(2027, 3, 6), date(2027, 3, 13))
MADE_ON = date(2027, 1, 24)

# who, variety, stock, wanted, grafts, pieces per stick, method, bench day
_LINES = (
    ("Skelbeck school", "Ashmead’s Kernel", "M26", 4, 7, 3, "whip and tongue", 0),
    ("Skelbeck school", "Discovery", "M26", 4, 7, 4, "whip and tongue", 0),
    ("Fell Road allotments", "Egremont Russet", "M26", 6, 9, 3, "whip and tongue", 0),
    ("Fell Road allotments", "Victoria", "St Julien A", 3, 6, 2, "cleft", 0),
    ("the flat at 9 Mill Row", "James Grieve", "M27", 1, 3, 3, "side veneer", 0),
    ("St Bride’s churchyard", "Bramley’s Seedling", "M25", 2, 4, 2, "whip and tongue", 1),
    (
        "St Bride’s churchyard",
        "the unknown tree at High Garth farmhouse",
        "M25",
        2,
        5,
        5,
        "whip",
        1,
    ),
    ("the Rowlands, for cider", "Keswick Codlin", "M116", 8, 12, 4, "whip and tongue", 1),
    ("workshop of twelve", "Conference", "Quince C", 12, 18, 3, "whip and tongue", 1),
    ("the Rowlands, for cider", "Gellygen Ŵy", "Quince C", 1, 2, 2, "chip bud", 1),
)


def _rates() -> tuple[StageRate, ...]:
    stages = (("take", 0.78, 0.66, 0.88, 41, 32), ("first winter", 0.93, 0.86, 0.97, 32, 30))
    return tuple(
        StageRate(
            stage=stage,
            a=30.0,
            b=8.0,
            mean_fraction=mean,
            low_fraction=low,
            high_fraction=high,
            own_tried_count=tried,
            own_passed_count=passed,
            words=f"{passed} of {tried} of your own",
        )
        for stage, mean, low, high, tried, passed in stages
    )


def _bundle_code(line_number: int) -> str:
    return code_from_number(4_000 + 37 * line_number)


def _lot_code(stock: str) -> str:
    order = sorted({line[2] for line in _LINES})
    return code_from_number(9_100 + 11 * order.index(stock))


def _promise_code(line_number: int) -> str:
    return code_from_number(70_000 + line_number)


def _joins() -> tuple[Join, ...]:
    joins = []
    used: dict[str, int] = {}
    for line_number, line in enumerate(_LINES):
        who, variety, stock, _, graft_count, per_stick, method, _ = line
        for graft in range(graft_count):
            used[stock] = used.get(stock, 0) + 1
            joins.append(
                Join(
                    number=len(joins) + 1,
                    run_number=line_number + 1,
                    promise_code=_promise_code(line_number),
                    who=who,
                    variety=variety,
                    stock=stock,
                    bundle_code=_bundle_code(line_number),
                    stick_number=graft // per_stick + 1,
                    piece_number=graft % per_stick + 1,
                    lot_code=_lot_code(stock),
                    stock_number=used[stock],
                    scion_mm=7.4,
                    stock_mm=7.7,
                    method=method,
                    contact_share_fraction=0.94,
                    words="both sides meet",
                )
            )
    return tuple(joins)


def _stick(line_number: int, stick_number: int, joins: tuple[Join, ...]) -> StickCut:
    per_stick = _LINES[line_number][5]
    length_mm = 250.0 + 31.0 * ((line_number * 3 + stick_number) % 6)
    bud_count = round(length_mm / 27.0)
    buds_mm = tuple(
        round(14.0 + (length_mm - 26.0) * bud / (bud_count - 1), 1) for bud in range(bud_count)
    )
    usable = (buds_mm[1] - 5.0, buds_mm[-2] + 6.0)
    step_mm = (usable[1] - usable[0]) / per_stick
    base_mm, tip_mm = 9.2 - 0.1 * line_number, 5.4
    pieces = tuple(
        PieceCut(
            piece_number=join.piece_number,
            join_number=join.number,
            base_cut_mm=round(usable[0] + step_mm * place, 1),
            top_cut_mm=round(usable[0] + step_mm * (place + 1), 1),
            bud_count=3,
            scion_mm=7.0,
            goes_to=f"{join.stock} {join.lot_code}/{join.stock_number}",
        )
        for place, join in enumerate(joins)
    )
    return StickCut(
        bundle_code=_bundle_code(line_number),
        variety=_LINES[line_number][1],
        stick_number=stick_number,
        length_mm=length_mm,
        base_mm=base_mm,
        tip_mm=tip_mm,
        buds_mm=buds_mm,
        buds_assumed=line_number % 3 == 2,
        pieces=pieces,
    )


def _sticks(joins: tuple[Join, ...]) -> tuple[StickCut, ...]:
    keys = list(dict.fromkeys((join.run_number - 1, join.stick_number) for join in joins))
    return tuple(
        _stick(
            line,
            stick,
            tuple(j for j in joins if (j.run_number - 1, j.stick_number) == (line, stick)),
        )
        for line, stick in keys
    )


def _line_plans() -> tuple[LinePlan, ...]:
    plans = []
    for line_number, (who, variety, stock, wanted, grafts, _, _, _) in enumerate(_LINES):
        is_short = variety == "Gellygen Ŵy"
        shortages = (_shortage(),) if is_short else ()
        plans.append(
            LinePlan(
                promise_code=_promise_code(line_number),
                who=who,
                variety=variety,
                stock=stock,
                wanted_count=wanted,
                living_count=0,
                to_raise_count=wanted,
                sureness_fraction=0.9,
                priority=1,
                due_on=date(2028, 11, 30),
                graft_count=grafts + (2 if is_short else 0),
                chance_fraction=0.92,
                planned_count=grafts,
                planned_chance_fraction=0.81 if is_short else 0.92,
                simple_rule_count=round(wanted / 0.72),
                simple_rule_chance_fraction=0.55,
                rates=_rates(),
                steps=(
                    SurenessStep(sureness_fraction=0.8, graft_count=grafts - 1, cost=22.0),
                    SurenessStep(sureness_fraction=0.9, graft_count=grafts, cost=26.0),
                    SurenessStep(sureness_fraction=0.95, graft_count=grafts + 1, cost=30.0),
                ),
                shortages=shortages,
            )
        )
    return tuple(plans)


def _shortage() -> Shortage:
    return Shortage(
        short_of=ShortOf.WOOD,
        promise_code=_promise_code(9),
        missing_count=2,
        words="two sticks in store give 2 pieces of Gellygen Ŵy, and 4 are wanted",
        way_out="cut two more sticks from the tree at the Rowlands’ before the wood wakes",
    )


def _runs(joins: tuple[Join, ...]) -> tuple[Run, ...]:
    runs = []
    for line_number, (who, variety, stock, _, grafts, _, method, day) in enumerate(_LINES):
        numbers = tuple(j.number for j in joins if j.run_number == line_number + 1)
        runs.append(
            Run(
                number=line_number + 1,
                bench_on=BENCH_DAYS[day],
                promise_code=_promise_code(line_number),
                who=who,
                variety=variety,
                stock=stock,
                bundle_code=_bundle_code(line_number),
                lot_code=_lot_code(stock),
                join_numbers=numbers,
                method=method,
                minutes=grafts * 4.0,
                place_code=code_from_number(120),
            )
        )
    return tuple(runs)


def _bench_days(runs: tuple[Run, ...]) -> tuple[BenchDay, ...]:
    return tuple(
        BenchDay(
            bench_on=day,
            free_h=5.0,
            used_h=sum(run.minutes for run in runs if run.bench_on == day) / 60.0,
            break_count=2,
            run_numbers=tuple(run.number for run in runs if run.bench_on == day),
            graft_count=sum(run.graft_count for run in runs if run.bench_on == day),
            words="15 grafts an hour, 10 minutes’ rest in the hour",
        )
        for day in BENCH_DAYS
    )


def _band(middle: date, width_days: int) -> DateBand:
    width = timedelta(days=width_days)
    return DateBand(early_on=middle - width, middle_on=middle, late_on=middle + width)


def _batches(days: tuple[BenchDay, ...]) -> tuple[BatchDates, ...]:
    return tuple(
        BatchDates(
            bench_on=day.bench_on,
            place_code=code_from_number(120),
            place_name="cold greenhouse",
            run_numbers=day.run_numbers,
            graft_count=day.graft_count,
            joined=_band(day.bench_on + timedelta(days=31), 6),
            buds_move=_band(day.bench_on + timedelta(days=40), 8),
            tie_off=DateBand(
                early_on=day.bench_on + timedelta(days=95),
                middle_on=day.bench_on + timedelta(days=110),
                late_on=None,
            ),
            words="by 13 years of weather at this place",
        )
        for day in days
    )


def _orders() -> tuple[StockOrder, ...]:
    offers = (
        ("Harrow Lane Stocks", "M26", 7.0, 9.0, 10, 2, 14.0),
        ("Harrow Lane Stocks", "M25", 8.0, 10.0, 10, 1, 15.5),
        ("Harrow Lane Stocks", "M116", 7.0, 9.0, 10, 1, 14.0),
        ("=Brook & Sons", "Quince C", 6.0, 8.0, 25, 1, 31.25),
    )
    return tuple(
        StockOrder(
            offer_code=f"offer {place}",
            supplier=supplier,
            stock=stock,
            low_mm=low_mm,
            high_mm=high_mm,
            lot_size_count=size,
            lot_count=lots,
            ordered_count=size * lots,
            price_per_lot=price,
            cost=price * lots,
            words="78 % of the wood in store suits this grade; price breaks at two bundles",
        )
        for place, (supplier, stock, low_mm, high_mm, size, lots, price) in enumerate(offers)
    )


def _stock_needs(joins: tuple[Join, ...]) -> tuple[StockNeed, ...]:
    stocks = sorted({join.stock for join in joins})
    return tuple(
        StockNeed(
            stock=stock,
            needed_count=sum(join.stock == stock for join in joins),
            spare_count=1,
            in_hand_count={"M26": 4, "M27": 2}.get(stock, 0),
            carried_over_count=2 if stock == "M27" else 0,
            coming_count=0,
            to_order_count=20 if stock == "M26" else 10,
            words="one in twenty spare",
        )
        for stock in stocks
    )


def _costs() -> Costs:
    lines = (
        CostLine(what="Stocks to order", amount=88.75, words="65 stocks in whole bundles"),
        CostLine(what="Materials to buy", amount=21.4, words="a tenth spare"),
        CostLine(what="Bench hours", amount=73.5, words="4.9 hours at 15.00"),
    )
    return Costs(
        currency="GBP",
        lines=lines,
        total=183.65,
        expected_living_trees=52.6,
        per_living_tree=3.49,
    )


def winter() -> Plan:
    """Return the whole winter."""
    joins = _joins()
    runs = _runs(joins)
    days = _bench_days(runs)
    return Plan(
        season=2027,
        made_on=MADE_ON,
        nursery_name="Lantern Bank Growers",
        lines=_line_plans(),
        stock_needs=_stock_needs(joins),
        orders=_orders(),
        sticks=_sticks(joins),
        joins=joins,
        runs=runs,
        bench_days=days,
        batches=_batches(days),
        cutting_close=CuttingClose(
            closes=_band(date(2027, 3, 19), 9),
            words="buds of Discovery swell first; by the warmth of 13 years",
        ),
        materials=(
            MaterialNeed(
                material="grafting tape",
                unit="m",
                needed=24.0,
                in_hand=10.0,
                to_buy=14.0,
                cost=9.9,
            ),
            MaterialNeed(
                material="wax", unit="g", needed=180.0, in_hand=0.0, to_buy=180.0, cost=11.5
            ),
        ),
        costs=_costs(),
        shortages=(_shortage(),),
        remarks=("Bramley’s Seedling is triploid: it needs two partners and is none itself",),
        pairing_bound_gap_fraction=0.0,
    )


def empty_winter() -> Plan:
    """Return a winter in which nothing is planned."""
    nobody = DateBand(early_on=None, middle_on=None, late_on=None)
    return replace(
        winter(),
        lines=(),
        stock_needs=(),
        orders=(),
        sticks=(),
        joins=(),
        runs=(),
        bench_days=(),
        batches=(),
        cutting_close=CuttingClose(closes=nobody, words="no weather is known"),
        materials=(),
        costs=Costs(
            currency="GBP", lines=(), total=0.0, expected_living_trees=0.0, per_living_tree=None
        ),
        shortages=(),
        remarks=(),
    )


def winter_labels() -> tuple[Label, ...]:
    """Return one label for each graft of the winter."""
    plan = winter()
    codes = [code_from_number(50_000 + number) for number in range(len(plan.joins))]
    return labels_of(plan, codes=codes, certainty_of=lambda _: "name sure, fruit seen")
