"""The winter of 2008/09 as the growers kept it in their spreadsheet: promises, wood, stocks.

Invented like all of demo.world. Wood of two varieties is scarce, one order of stocks was cut, and
the pear Williams is promised on a stock it does not grow on without a piece in between.
"""

from datetime import date
from typing import Final

from graftwright.demo.lines import BundleLine, LotLine, PromiseLine, StickLine
from graftwright.demo.world import (
    ASHMEAD,
    BRAMLEY,
    CODLIN,
    CONFERENCE,
    DISCOVERY,
    FARMHOUSE,
    GRIEVE,
    RUSSET,
    VICTORIA,
    WILLIAMS,
)
from graftwright.notebook.entries import Condition, Waking

ENTERED_ON: Final = date(2009, 2, 14)
"""The day on which the spreadsheet counts as read in."""

_PLOTS, _SCHOOL, _PARISH = "Cuddy Lane Allotment Society", "Skelbeck School", "Parish of Skelbeck"
_FERROW, _FOLD = "Ferrow family, cider", "Trustees of Harrow Fold"
_PROMISED = (
    # key, who, variety, stock, wanted, sureness, priority, made on, due by, second choice, spot
    ("school d", _SCHOOL, DISCOVERY, "M26", 4, 0.95, 1, (11, 3), (11, 21), GRIEVE, "wall, 3 m"),
    ("school g", _SCHOOL, GRIEVE, "M26", 3, 0.95, 1, (11, 3), (11, 21), "", "wall, 3 m"),
    ("plots a", _PLOTS, ASHMEAD, "M26", 8, 0.9, 2, (11, 8), (11, 28), RUSSET, "plot ends"),
    ("plots r", _PLOTS, RUSSET, "M9", 6, 0.9, 2, (11, 8), (11, 28), "", "cordons, 0.8 m"),
    ("plots c", _PLOTS, CONFERENCE, "Quince C", 5, 0.9, 2, (11, 8), (11, 28), "", "plot ends"),
    ("balcony", "Imrie Vann, second floor", DISCOVERY, "M27", 1, 0.9, 3, (12, 2), (11, 14), GRIEVE,
     "pot on a balcony, 40 litre"),
    ("church b", _PARISH, BRAMLEY, "M25", 3, 0.95, 1, (11, 20), (11, 14), "", "churchyard grass"),
    ("church c", _PARISH, CODLIN, "M25", 2, 0.9, 2, (11, 20), (11, 14), "", "churchyard grass"),
    ("ferrow a", _FERROW, ASHMEAD, "M116", 8, 0.9, 2, (12, 6), (11, 28), "", "cider rows, 5 m"),
    ("ferrow c", _FERROW, CODLIN, "M116", 5, 0.9, 2, (12, 6), (11, 28), BRAMLEY, "cider rows"),
    ("workshop", "Workshop of twelve", GRIEVE, "M26", 12, 0.8, 2, (12, 13), (11, 28), DISCOVERY,
     "twelve gardens"),
    ("fold w", _FOLD, WILLIAMS, "Quince C", 4, 0.9, 2, (11, 22), (11, 21), CONFERENCE,
     "south wall"),
    ("fold v", _FOLD, VICTORIA, "St Julien A", 4, 0.9, 2, (11, 22), (11, 21), "", "courtyard"),
    ("tarn", "Wilfrida Tarn", FARMHOUSE, "M116", 3, 0.9, 1, (10, 4), (11, 28), "", "by the dairy"),
)  # fmt: skip
PROMISES: Final = tuple(
    PromiseLine(
        key=f"promise 2009 {key}",
        who=who,
        variety=variety,
        stock=stock,
        wanted_count=wanted,
        sureness_fraction=sureness,
        priority=priority,
        made_on=date(2008, *made),
        due_on=date(2009, *due),
        second_choice=second,
        spot=spot,
    )
    for (key, who, variety, stock, wanted, sureness, priority, made, due, second, spot) in _PROMISED
)


def _stick(length: str, base: str, tip: str, bud_count: int) -> StickLine:
    return StickLine(length=length, base=base, tip=tip, bud_count=bud_count)


_CUT = (
    # key, mother, variety, cut on, sticks in the growers' own units
    ("discovery", "discovery", DISCOVERY, date(2009, 1, 10), (
        _stick("330 mm", "9 mm", "6 mm", 10),
        _stick("310 mm", "8.5 mm", "6 mm", 9),
        _stick("345 mm", "9 mm", "5.5 mm", 10),
        _stick("290 mm", "8 mm", "5.5 mm", 8),
    )),
    ("grieve", "grieve", GRIEVE, date(2009, 1, 17), (
        _stick("36 cm", "0.95 cm", "0.6 cm", 11),
        _stick("34 cm", "0.9 cm", "0.6 cm", 10),
        _stick("38 cm", "0.95 cm", "0.55 cm", 11),
        _stick("35 cm", "0.9 cm", "0.55 cm", 10),
        _stick("32 cm", "0.85 cm", "0.6 cm", 9),
        _stick("37 cm", "0.9 cm", "0.6 cm", 11),
        _stick("36 cm", "0.9 cm", "0.6 cm", 11),
    )),
    ("grieve post", "", GRIEVE, date(2009, 2, 5), (
        _stick("350 mm", "9 mm", "6 mm", 10),
        _stick("330 mm", "8.5 mm", "6 mm", 10),
        _stick("360 mm", "9.5 mm", "6 mm", 11),
        _stick("340 mm", "9 mm", "6 mm", 10),
        _stick("355 mm", "9 mm", "6 mm", 11),
    )),
    ("ashmead", "ashmead", ASHMEAD, date(2009, 1, 24), (
        _stick("10 in", "5/16 in", "7/32 in", 7),
        _stick("11 in", "3/8 in", "1/4 in", 8),
        _stick("9 1/2 in", "5/16 in", "7/32 in", 7),
        _stick("10 in", "3/8 in", "1/4 in", 8),
        _stick("10 1/2 in", "5/16 in", "1/4 in", 8),
        _stick("11 in", "3/8 in", "1/4 in", 8),
        _stick("9 in", "5/16 in", "7/32 in", 7),
    )),
    ("russet", "russet", RUSSET, date(2009, 1, 17), (
        _stick("320 mm", "8.5 mm", "6 mm", 9),
        _stick("300 mm", "8 mm", "5.5 mm", 9),
        _stick("315 mm", "8.5 mm", "6 mm", 9),
        _stick("280 mm", "8 mm", "5.5 mm", 8),
    )),
    ("bramley", "bramley", BRAMLEY, date(2009, 1, 31), (
        _stick("44 cm", "1.05 cm", "0.75 cm", 12),
        _stick("41 cm", "1 cm", "0.7 cm", 11),
        _stick("40 cm", "1 cm", "0.7 cm", 11),
    )),
    ("codlin", "codlin", CODLIN, date(2008, 12, 20), (
        _stick("340 mm", "9 mm", "6 mm", 10),
        _stick("325 mm", "8.5 mm", "6 mm", 9),
        _stick("350 mm", "9 mm", "6 mm", 10),
        _stick("330 mm", "9 mm", "6 mm", 9),
        _stick("360 mm", "9.5 mm", "6 mm", 10),
    )),
    ("conference", "conference", CONFERENCE, date(2009, 2, 7), (
        _stick("15 in", "3/8 in", "1/4 in", 11),
        _stick("14 in", "3/8 in", "1/4 in", 10),
        _stick("14 1/2 in", "3/8 in", "1/4 in", 10),
    )),
    ("williams", "williams", WILLIAMS, date(2009, 1, 31), (
        _stick("360 mm", "9 mm", "6 mm", 10),
        _stick("370 mm", "9 mm", "6 mm", 10),
    )),
    ("victoria", "victoria", VICTORIA, date(2008, 12, 20), (
        _stick("390 mm", "9.5 mm", "6.5 mm", 11),
        _stick("400 mm", "9.5 mm", "6.5 mm", 11),
    )),
    ("farmhouse", "farmhouse", FARMHOUSE, date(2009, 2, 7), (
        _stick("160 mm", "6.5 mm", "5 mm", 5),
        _stick("150 mm", "6 mm", "4.5 mm", 5),
        _stick("140 mm", "6.5 mm", "5 mm", 4),
    )),
)  # fmt: skip
_FOUND = {
    "codlin": (Condition.SWOLLEN, "lowest buds fattening"),
    "victoria": (Condition.FIRM, "cut small, in dry weather"),
}
BUNDLES: Final = tuple(
    BundleLine(
        key=f"bundle 2009 {key}",
        variety=variety,
        mother_key=f"mother {mother}" if mother else "",
        from_whom="" if mother else "Ivo Garthside, by post",
        cut_on=cut_on,
        sticks=sticks,
        condition=_FOUND.get(key, (Condition.FIRM, ""))[0],
        condition_words=_FOUND.get(key, (Condition.FIRM, ""))[1],
        checked_on=date(2009, 2, 13),
    )
    for key, mother, variety, cut_on, sticks in _CUT
)

_ELLERBECK, _ROOK = "Ellerbeck Stocks", "Rook Hill Liners"
_M26_MM: Final = (
    8.1,
    8.3,
    8.4,
    8.6,
    8.6,
    8.7,
    8.8,
    8.9,
    9.0,
    9.0,
    9.1,
    9.1,
    9.2,
    9.3,
    9.4,
    9.4,
    9.5,
    9.6,
    9.6,
    9.7,
    9.8,
    9.8,
    9.9,
    9.9,
    10.0,
)
_M116_MM: Final = (
    8.0,
    8.2,
    8.3,
    8.5,
    8.5,
    8.6,
    8.8,
    8.9,
    9.0,
    9.0,
    9.1,
    9.2,
    9.3,
    9.3,
    9.5,
    9.6,
    9.7,
    9.8,
    9.9,
    10.0,
)


def _lot(key: str, stock: str, grade: tuple[float, float], supplier: str, **more: float) -> LotLine:
    """Return an offer; what was asked, confirmed and came follows from the counts given."""
    asked, confirmed = int(more.get("asked", 0)), more.get("confirmed")
    arrived = int(more.get("arrived", 0))
    measured = {"m26": _M26_MM, "m116": _M116_MM}.get(key, ())
    return LotLine(
        key=f"lot 2009 {key}",
        stock=stock,
        low_mm=float(grade[0]),
        high_mm=float(grade[1]),
        supplier=supplier,
        lot_size_count=int(more["size"]),
        price_per_lot=more["price"],
        available_count=int(more["available"]),
        offered_on=date(2008, 11, 15),
        asked_count=asked,
        asked_on=date(2008, 11, 29) if asked else None,
        confirmed_count=None if confirmed is None else int(confirmed),
        confirmed_on=None if confirmed is None else date(2009, 1, 12),
        arrived_count=arrived,
        arrived_on=date(2009, 2, 7) if arrived else None,
        diameters_mm=measured,
        waking=Waking.SWELLING if key == "julien" else Waking.DORMANT,
    )


LOTS: Final = (
    _lot("m26", "M26", (8, 10), _ELLERBECK, size=25, price=44.0, available=25,
         asked=50, confirmed=25, arrived=25),
    _lot("m116", "M116", (8, 10), _ELLERBECK, size=10, price=19.5, available=20,
         asked=20, confirmed=20, arrived=20),
    _lot("m25", "M25", (8, 10), _ELLERBECK, size=10, price=21.5, available=10,
         asked=10, confirmed=10, arrived=10),
    _lot("m9", "M9", (6, 8), _ROOK, size=10, price=18.0, available=10, asked=10, confirmed=10),
    _lot("m27", "M27", (6, 8), _ELLERBECK, size=10, price=19.5, available=10, asked=10),
    _lot("quince", "Quince C", (8, 10), _ROOK, size=10, price=20.5, available=10,
         asked=10, confirmed=10, arrived=10),
    _lot("julien", "St Julien A", (10, 12), _ROOK, size=10, price=24.0, available=10,
         asked=10, confirmed=10),
    _lot("m26 more", "M26", (8, 10), _ROOK, size=25, price=46.0, available=100),
    _lot("m26 thick", "M26", (10, 12), _ELLERBECK, size=10, price=21.0, available=30),
    _lot("m9 more", "M9", (8, 10), _ELLERBECK, size=25, price=41.0, available=50),
    _lot("m116 fifty", "M116", (6, 8), _ROOK, size=50, price=70.0, available=200),
    _lot("m116 ten", "M116", (8, 10), _ELLERBECK, size=10, price=19.5, available=40),
    _lot("quince more", "Quince C", (6, 8), _ROOK, size=10, price=18.5, available=20),
)  # fmt: skip
