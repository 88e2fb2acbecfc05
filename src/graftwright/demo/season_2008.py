"""The season of 2008 as it was worked: promises, wood, stocks, runs, and what went wrong.

Invented like all of demo.world. What went wrong is clumped on purpose: one dry bundle, one lot
with dried roots, one wet corner, two trees bitten off, one broken union.
"""

from datetime import date
from typing import Final

from graftwright.demo.lines import BundleLine, LotLine, Mishap, PromiseLine, RunLine, StickLine
from graftwright.demo.world import (
    ASHMEAD,
    BRAMLEY,
    CODLIN,
    CONFERENCE,
    DISCOVERY,
    GRIEVE,
    HESTER,
    INES,
    RUSSET,
    TAM,
    VICTORIA,
)
from graftwright.notebook.entries import Cause, Condition, Method

_PROMISED = (
    # key, who, variety, stock, wanted, made on, hand over by, priority, spot
    (
        "school",
        "Skelbeck School, parents",
        DISCOVERY,
        "M26",
        7,
        (11, 5),
        (11, 22),
        1,
        "playground wall",
    ),
    ("plots", "Cuddy Lane Allotment Society", GRIEVE, "M26", 9, (11, 6), (11, 29), 2, "plot ends"),
    ("marrow", "Ottilie Marrow", RUSSET, "M26", 6, (11, 10), (11, 22), 2, "lawn, stake allowed"),
    (
        "church",
        "Friends of the churchyard",
        BRAMLEY,
        "M25",
        5,
        (11, 12),
        (11, 15),
        1,
        "churchyard grass",
    ),
    (
        "ferrow a",
        "Ferrow family, first rows",
        ASHMEAD,
        "M116",
        9,
        (11, 14),
        (11, 29),
        2,
        "cider rows",
    ),
    (
        "ferrow c",
        "Ferrow family, first rows",
        CODLIN,
        "M116",
        6,
        (11, 14),
        (11, 29),
        2,
        "cider rows",
    ),
    ("green", "Village hall committee", CODLIN, "M25", 4, (11, 20), (11, 15), 2, "village green"),
    ("plots r", "Cuddy Lane Allotment Society", RUSSET, "M9", 8, (11, 6), (11, 29), 2, "cordons"),
    ("hallows", "Pim Hallows", DISCOVERY, "M9", 4, (12, 1), (11, 22), 3, "small garden, posts"),
    ("yard d", "Station yard tubs", DISCOVERY, "M27", 5, (12, 3), (11, 15), 3, "tubs"),
    ("yard g", "Station yard tubs", GRIEVE, "M27", 2, (12, 3), (11, 15), 3, "tubs"),
    ("vicar", "Parish of Skelbeck", CONFERENCE, "Quince C", 5, (12, 8), (11, 15), 2, "south wall"),
    ("fold", "Harrow Fold almshouses", VICTORIA, "St Julien A", 5, (12, 9), (11, 22), 2, "court"),
)
PROMISES: Final = tuple(
    PromiseLine(
        key=f"promise 2008 {key}",
        who=who,
        variety=variety,
        stock=stock,
        wanted_count=wanted,
        made_on=date(2007, *made),
        due_on=date(2008, *due),
        priority=priority,
        spot=spot,
    )
    for key, who, variety, stock, wanted, made, due, priority, spot in _PROMISED
)


def _alike(stick_count: int, length: str, base: str, tip: str, bud_count: int) -> list[StickLine]:
    stick = StickLine(length=length, base=base, tip=tip, bud_count=bud_count)
    return [stick] * stick_count


_CUT = (
    # key, variety, cut on, sticks
    ("discovery", DISCOVERY, (1, 12), _alike(9, "330 mm", "8.5 mm", "5.5 mm", 10)),
    ("grieve", GRIEVE, (1, 19), _alike(7, "340 mm", "8.5 mm", "5.5 mm", 10)),
    ("russet", RUSSET, (1, 19), _alike(8, "310 mm", "8 mm", "5.5 mm", 9)),
    ("bramley", BRAMLEY, (1, 26), _alike(5, "430 mm", "10 mm", "7 mm", 11)),
    ("ashmead", ASHMEAD, (1, 26), _alike(9, "290 mm", "7.5 mm", "5 mm", 9)),
    ("codlin", CODLIN, (1, 5), _alike(7, "330 mm", "8 mm", "5.5 mm", 9)),
    ("conference", CONFERENCE, (2, 2), _alike(4, "380 mm", "8.5 mm", "6 mm", 9)),
    ("victoria", VICTORIA, (1, 5), _alike(4, "400 mm", "8.5 mm", "6 mm", 10)),
)
BUNDLES: Final = tuple(
    BundleLine(
        key=f"bundle 2008 {key}",
        variety=variety,
        mother_key=f"mother {key}",
        cut_on=date(2008, *cut),
        sticks=tuple(sticks),
        condition=Condition.DRY if key == "codlin" else Condition.FIRM,
        checked_on=date(2008, 2, 16),
        condition_words="bag stood open; bark wrinkled" if key == "codlin" else "",
    )
    for key, variety, cut, sticks in _CUT
)

_SUPPLIED = (
    # key, stock, low mm, high mm, supplier, lot size, price a lot, lots bought
    ("m26", "M26", 8.0, 10.0, "Ellerbeck Stocks", 25, 42.5, 2),
    ("m9", "M9", 8.0, 10.0, "Rook Hill Liners", 25, 40.0, 1),
    ("m116", "M116", 8.0, 10.0, "Ellerbeck Stocks", 25, 45.0, 1),
    ("m25", "M25", 8.0, 10.0, "Ellerbeck Stocks", 10, 21.0, 2),
    ("m27", "M27", 6.0, 8.0, "Rook Hill Liners", 10, 19.0, 1),
    ("quince", "Quince C", 8.0, 10.0, "Rook Hill Liners", 10, 20.0, 1),
    ("julien", "St Julien A", 8.0, 10.0, "Rook Hill Liners", 10, 23.0, 1),
)


def _spread_mm(low_mm: float, high_mm: float, count: int) -> tuple[float, ...]:
    """Return diameters as measured one by one, evenly spread over the grade."""
    step_mm = (high_mm - low_mm) / count
    return tuple(round(low_mm + step_mm * (place + 0.5), 1) for place in range(count))


LOTS: Final = tuple(
    LotLine(
        key=f"lot 2008 {key}",
        stock=stock,
        low_mm=low_mm,
        high_mm=high_mm,
        supplier=supplier,
        lot_size_count=size,
        price_per_lot=price,
        available_count=size * 10,
        offered_on=date(2007, 11, 12),
        asked_count=size * lots,
        asked_on=date(2007, 11, 17),
        confirmed_count=size * lots,
        confirmed_on=date(2007, 12, 1),
        arrived_count=size * lots,
        arrived_on=date(2008, 2, 9),
        diameters_mm=_spread_mm(low_mm, high_mm, size * lots),
        check_words="roots dry on arrival; soaked overnight" if key == "m9" else "",
    )
    for key, stock, low_mm, high_mm, supplier, size, price, lots in _SUPPLIED
)

_GRAFTED = (
    # day, bundle, lot, promise, grafts, grafter, spoilt
    ((2, 23), "discovery", "m26", "school", 11, HESTER, 0),
    ((2, 23), "bramley", "m25", "church", 8, HESTER, 0),
    ((2, 23), "grieve", "m26", "plots", 13, TAM, 1),
    ((2, 23), "codlin", "m116", "ferrow c", 9, TAM, 0),
    ((3, 1), "codlin", "m25", "green", 7, TAM, 1),
    ((3, 1), "ashmead", "m116", "ferrow a", 14, HESTER, 0),
    ((3, 1), "russet", "m26", "marrow", 9, HESTER, 0),
    ((3, 1), "russet", "m9", "plots r", 12, TAM, 0),
    ((3, 8), "discovery", "m9", "hallows", 6, TAM, 0),
    ((3, 8), "discovery", "m27", "yard d", 6, TAM, 0),
    ((3, 8), "grieve", "m27", "yard g", 3, TAM, 0),
    ((3, 8), "ashmead", "m26", "", 8, INES, 2),
    ((3, 8), "discovery", "m26", "", 5, INES, 1),
    ((3, 15), "conference", "quince", "vicar", 9, HESTER, 0),
    ((3, 15), "victoria", "julien", "fold", 9, HESTER, 1),
)
RUNS: Final = tuple(
    RunLine(
        number=number,
        grafted_on=date(2008, *day),
        bundle_key=f"bundle 2008 {bundle}",
        lot_key=f"lot 2008 {lot}",
        promise_key=f"promise 2008 {promise}" if promise else "",
        graft_count=grafts,
        grafter=grafter,
        method=Method.CLEFT if grafter == INES else Method.WHIP_AND_TONGUE,
        spoilt_count=spoilt,
    )
    for number, (day, bundle, lot, promise, grafts, grafter, spoilt) in enumerate(_GRAFTED, 1)
)

_DRY, _ROOTS = "wood of the dry bundle", "of the lot that came with dry roots"
_WET, _BITTEN = "stood in water by the down-pipe", "bitten off in the night"
MISHAPS: Final = (
    Mishap(
        run_number=4,
        position=3,
        tree_count=4,
        loss="take",
        cause=Cause.DRIED,
        happened_on=date(2008, 5, 10),
        words=_DRY,
    ),
    Mishap(
        run_number=5,
        position=2,
        tree_count=3,
        loss="take",
        cause=Cause.DRIED,
        happened_on=date(2008, 5, 10),
        words=_DRY,
    ),
    Mishap(
        run_number=8,
        position=5,
        tree_count=4,
        loss="stock",
        cause=Cause.ROOTS,
        happened_on=date(2008, 5, 24),
        words=_ROOTS,
    ),
    Mishap(
        run_number=9,
        position=2,
        tree_count=1,
        loss="stock",
        cause=Cause.ROOTS,
        happened_on=date(2008, 5, 24),
        words=_ROOTS,
    ),
    Mishap(
        run_number=3,
        position=9,
        tree_count=2,
        loss="scion",
        cause=Cause.ANIMAL,
        happened_on=date(2008, 6, 10),
        words=_BITTEN,
    ),
    Mishap(
        run_number=6,
        position=6,
        tree_count=1,
        loss="union",
        cause=Cause.WIND,
        happened_on=date(2008, 7, 12),
        words="",
    ),
    Mishap(
        run_number=7,
        position=4,
        tree_count=4,
        loss="stock",
        cause=Cause.WET,
        happened_on=date(2008, 10, 25),
        words=_WET,
    ),
)
