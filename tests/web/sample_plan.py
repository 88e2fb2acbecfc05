"""A small winter at Lantern Bank, made by hand: what a page must show of a plan."""

from datetime import date

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


def _rate(stage: str, mean: float, low: float, high: float, tried: int, passed: int) -> StageRate:
    return StageRate(
        stage=stage,
        a=mean * 20,
        b=(1 - mean) * 20,
        mean_fraction=mean,
        low_fraction=low,
        high_fraction=high,
        own_tried_count=tried,
        own_passed_count=passed,
        words=f"{passed} of {tried} of your own, with what others report",
    )


RATES = (
    _rate("stock lives", 0.95, 0.9, 0.99, 40, 39),
    _rate("take", 0.78, 0.64, 0.89, 40, 31),
    _rate("grows to autumn", 0.9, 0.8, 0.97, 31, 28),
    _rate("first winter", 0.94, 0.86, 0.99, 28, 27),
)


def _steps(wanted: int) -> tuple[SurenessStep, ...]:
    figures = ((0.5, 1.6), (0.7, 1.8), (0.8, 2.0), (0.9, 2.3), (0.95, 2.6), (0.99, 3.3))
    return tuple(
        SurenessStep(sureness_fraction=s, graft_count=round(wanted * f), cost=wanted * f * 2.9)
        for s, f in figures
    )


def _line(
    code: str,
    who: str,
    variety: str,
    stock: str,
    wanted: int,
    *,
    graft: int,
    planned: int,
    chance: float,
    shortages: tuple[Shortage, ...] = (),
) -> LinePlan:
    return LinePlan(
        promise_code=code,
        who=who,
        variety=variety,
        stock=stock,
        wanted_count=wanted,
        living_count=0,
        to_raise_count=wanted,
        sureness_fraction=0.9,
        priority=2,
        due_on=date(2010, 2, 1),
        graft_count=graft,
        chance_fraction=0.914,
        planned_count=planned,
        planned_chance_fraction=chance,
        simple_rule_count=graft - 3,
        simple_rule_chance_fraction=0.58,
        rates=RATES,
        steps=_steps(wanted),
        shortages=shortages,
    )


SHORT_OF_WOOD = Shortage(
    short_of=ShortOf.WOOD,
    promise_code="4RJ2H",
    missing_count=5,
    words="bundle P8HWK gives 9 usual pieces, 14 are needed",
    way_out=(
        "cut two more sticks of Egremont Russet before 12 March, "
        "or make the last five with two buds each"
    ),
)
LINES = (
    _line(
        "2X4KC", "Skelbeck School", "Ashmead's Kernel", "M26", 6, graft=14, planned=14, chance=0.914
    ),
    _line(
        "4RJ2H",
        "Allotment society",
        "Egremont Russet",
        "M26",
        6,
        graft=14,
        planned=9,
        chance=0.63,
        shortages=(SHORT_OF_WOOD,),
    ),
    _line(
        "6WM3T",
        "St Oswin's churchyard",
        "Bramley's Seedling",
        "M25",
        2,
        graft=6,
        planned=6,
        chance=0.93,
    ),
)


def _stick(bundle: str, variety: str, number: int, length: float, joins: range) -> StickCut:
    step = 105.0
    pieces = tuple(
        PieceCut(
            piece_number=place + 1,
            join_number=join,
            base_cut_mm=12.0 + place * step,
            top_cut_mm=12.0 + place * step + 98.0,
            bud_count=3,
            scion_mm=9.2 - place * 0.9,
            goes_to=f"M26, stock {join}, {9.3 - place * 0.9:.1f} mm",
        )
        for place, join in enumerate(joins)
    )
    return StickCut(
        bundle_code=bundle,
        variety=variety,
        stick_number=number,
        length_mm=length,
        base_mm=9.6,
        tip_mm=4.8,
        buds_mm=tuple(20.0 + 33.0 * bud for bud in range(int((length - 30) // 33))),
        buds_assumed=number == 2,
        pieces=pieces,
    )


STICKS = (
    _stick("K4T76", "Ashmead's Kernel", 1, 520.0, range(1, 5)),
    _stick("K4T76", "Ashmead's Kernel", 2, 430.0, range(5, 8)),
    _stick("P8HWK", "Egremont Russet", 1, 360.0, range(8, 11)),
)


def _join(number: int, run: int, stick: StickCut, piece: PieceCut) -> Join:
    return Join(
        number=number,
        run_number=run,
        promise_code="2X4KC" if run == 1 else "4RJ2H",
        who="Skelbeck School" if run == 1 else "Allotment society",
        variety=stick.variety,
        stock="M26",
        bundle_code=stick.bundle_code,
        stick_number=stick.stick_number,
        piece_number=piece.piece_number,
        lot_code="7CF5L",
        stock_number=number,
        scion_mm=piece.scion_mm,
        stock_mm=piece.scion_mm + 0.1,
        method="whip and tongue",
        contact_share_fraction=0.94,
        words="fits within 0.1 mm",
    )


JOINS = tuple(
    _join(piece.join_number, 1 if stick.bundle_code == "K4T76" else 2, stick, piece)
    for stick in STICKS
    for piece in stick.pieces
)
RUNS = tuple(
    Run(
        number=number,
        bench_on=date(2009, 3, 7),
        promise_code=promise,
        who=who,
        variety=variety,
        stock="M26",
        bundle_code=bundle,
        lot_code="7CF5L",
        join_numbers=tuple(join.number for join in JOINS if join.run_number == number),
        method="whip and tongue",
        minutes=minutes,
        place_code="9HJ4E",
    )
    for number, promise, who, variety, bundle, minutes in (
        (1, "2X4KC", "Skelbeck School", "Ashmead's Kernel", "K4T76", 42.0),
        (2, "4RJ2H", "Allotment society", "Egremont Russet", "P8HWK", 18.0),
    )
)


def _band(early: date, middle: date, late: date | None) -> DateBand:
    return DateBand(early_on=early, middle_on=middle, late_on=late)


SAMPLE = Plan(
    season=2009,
    made_on=date(2009, 2, 17),
    nursery_name="Lantern Bank Growers",
    lines=LINES,
    stock_needs=(
        StockNeed(
            stock="M26",
            needed_count=23,
            spare_count=2,
            in_hand_count=6,
            carried_over_count=4,
            coming_count=0,
            to_order_count=15,
            words="four carried over from last winter are the thickest: work them first",
        ),
    ),
    orders=(
        StockOrder(
            offer_code="CRF2K",
            supplier="Fellfoot Stocks",
            stock="M26",
            low_mm=8.0,
            high_mm=10.0,
            lot_size_count=25,
            lot_count=1,
            ordered_count=25,
            price_per_lot=41.25,
            cost=41.25,
            words="sold in bundles of 25: ten over",
        ),
    ),
    sticks=STICKS,
    joins=JOINS,
    runs=RUNS,
    bench_days=(
        BenchDay(
            bench_on=date(2009, 3, 7),
            free_h=5.0,
            used_h=1.2,
            break_count=1,
            run_numbers=(1, 2),
            graft_count=10,
            words="one bundle open at a time",
        ),
    ),
    batches=(
        BatchDates(
            bench_on=date(2009, 3, 7),
            place_code="9HJ4E",
            place_name="Cold greenhouse",
            run_numbers=(1, 2),
            graft_count=10,
            joined=_band(date(2009, 4, 6), date(2009, 4, 17), date(2009, 4, 29)),
            buds_move=_band(date(2009, 4, 9), date(2009, 4, 21), date(2009, 5, 4)),
            tie_off=_band(date(2009, 6, 12), date(2009, 6, 28), None),
            words="from 28 springs at the weather station",
        ),
    ),
    cutting_close=CuttingClose(
        closes=_band(date(2009, 3, 3), date(2009, 3, 12), date(2009, 3, 21)),
        words="after this the buds of the earliest varieties swell",
    ),
    materials=(
        MaterialNeed(
            material="stretch film", unit="m", needed=9.0, in_hand=4.0, to_buy=5.0, cost=1.5
        ),
    ),
    costs=Costs(
        currency="GBP",
        lines=(
            CostLine(what="rootstocks", amount=41.25, words="one bundle of 25"),
            CostLine(what="hours", amount=14.0, words="1.2 hours at 12.00"),
        ),
        total=56.75,
        expected_living_trees=7.6,
        per_living_tree=7.47,
    ),
    shortages=(SHORT_OF_WOOD,),
    remarks=("No temperatures of this winter yet: dates rest on 28 springs of the station alone.",),
    pairing_bound_gap_fraction=0.0,
)
