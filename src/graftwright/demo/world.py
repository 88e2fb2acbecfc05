"""The demo's world: Lantern Bank Growers of Skelbeck. All persons, places and counts are invented.

The temperatures are real (demo.record), the biology comes from the shipped tables.
"""

from datetime import date
from typing import Final

from graftwright.demo.lines import BenchLine, MaterialLine, PlaceLine, ResultLine
from graftwright.notebook.entries import PlaceKind

NURSERY_NAME: Final = "Lantern Bank Growers"
LATITUDE_DEG: Final = 54.2
ALTITUDE_M: Final = 140.0
CURRENCY: Final = "GBP"
HOUR_PRICE: Final = 12.0

HESTER: Final = "HQ"
TAM: Final = "TO"
INES: Final = "IW"
BARNABY: Final = "BS"
INITIALS: Final = {
    HESTER: "Hester Quill, grower",
    TAM: "Tam Orrock, grower",
    INES: "Ines Wadlow, helper, learning to graft",
    BARNABY: "Barnaby Sleddale, helper, waters and reads codes",
}

SHED, FRIDGE, GREENHOUSE = "place shed", "place fridge", "place greenhouse"
TUNNEL, STANDING, WEATHER = "place tunnel", "place standing", "place weather"
PLACES: Final = (
    PlaceLine(
        key=SHED,
        name="Brick shed",
        place_kind=PlaceKind.UNHEATED_ROOM,
        capacity_count=250,
        walking_order=1,
    ),
    PlaceLine(
        key=FRIDGE,
        name="Fridge in the shed",
        place_kind=PlaceKind.FRIDGE,
        capacity_count=None,
        walking_order=2,
    ),
    PlaceLine(
        key=GREENHOUSE,
        name="Cold greenhouse",
        place_kind=PlaceKind.COLD_GREENHOUSE,
        capacity_count=180,
        walking_order=3,
    ),
    PlaceLine(
        key=TUNNEL,
        name="Polytunnel",
        place_kind=PlaceKind.POLYTUNNEL,
        capacity_count=120,
        walking_order=4,
    ),
    PlaceLine(
        key=STANDING,
        name="Pot standing, sheltered",
        place_kind=PlaceKind.OUTDOORS,
        capacity_count=200,
        walking_order=5,
    ),
    PlaceLine(
        key=WEATHER,
        name="Weather, outdoors",
        place_kind=PlaceKind.OUTDOORS,
        capacity_count=None,
        walking_order=6,
    ),
)

ASHMEAD, RUSSET, GRIEVE = "Ashmead's Kernel", "Egremont Russet", "James Grieve"
DISCOVERY, BRAMLEY, CODLIN = "Discovery", "Bramley's Seedling", "Keswick Codlin"
CONFERENCE, WILLIAMS, VICTORIA = "pear Conference", "pear Williams", "plum Victoria"
FARMHOUSE: Final = "Sallow Rigg farmhouse apple"
"""The unknown tree; it is called by the place where it stands until it has been named."""

MATERIALS: Final = (
    MaterialLine(
        material="stretch film",
        unit="m",
        in_hand=14.0,
        need_per_graft=0.25,
        need_per_tree=0.0,
        price_per_unit=0.12,
    ),
    MaterialLine(
        material="sealing wax",
        unit="g",
        in_hand=200.0,
        need_per_graft=3.0,
        need_per_tree=0.0,
        price_per_unit=0.02,
    ),
    MaterialLine(
        material="labels",
        unit="piece",
        in_hand=60.0,
        need_per_graft=1.0,
        need_per_tree=1.0,
        price_per_unit=0.06,
    ),
    MaterialLine(
        material="pots, 4 litre",
        unit="piece",
        in_hand=90.0,
        need_per_graft=1.0,
        need_per_tree=0.0,
        price_per_unit=0.45,
    ),
    MaterialLine(
        material="potting compost",
        unit="litre",
        in_hand=120.0,
        need_per_graft=4.0,
        need_per_tree=6.0,
        price_per_unit=0.08,
    ),
    MaterialLine(
        material="canes",
        unit="piece",
        in_hand=40.0,
        need_per_graft=0.0,
        need_per_tree=1.0,
        price_per_unit=0.18,
    ),
)

BENCH_2008: Final = (
    BenchLine(bench_on=date(2008, 2, 23), free_h=5.0, grafts_per_h=10.0, who=f"{HESTER}, {TAM}"),
    BenchLine(bench_on=date(2008, 3, 1), free_h=5.0, grafts_per_h=10.0, who=f"{HESTER}, {TAM}"),
    BenchLine(bench_on=date(2008, 3, 8), free_h=6.0, grafts_per_h=8.0, who=f"{TAM}, {INES}"),
    BenchLine(bench_on=date(2008, 3, 15), free_h=4.0, grafts_per_h=10.0, who=HESTER),
)
BENCH_2009: Final = (
    BenchLine(bench_on=date(2009, 3, 7), free_h=5.0, grafts_per_h=10.0, who=f"{HESTER}, {TAM}"),
    BenchLine(bench_on=date(2009, 3, 14), free_h=5.0, grafts_per_h=10.0, who=f"{HESTER}, {TAM}"),
    BenchLine(bench_on=date(2009, 3, 21), free_h=4.5, grafts_per_h=10.0, who=HESTER),
    BenchLine(bench_on=date(2009, 3, 28), free_h=4.0, grafts_per_h=6.0, who="workshop"),
)

_EARLIER = (
    # season, variety, stock, grafted, taken, grown, wintered, ready, grafter, stocks died
    (2006, DISCOVERY, "M26", 12, 9, 9, 8, 8, HESTER, 0),
    (2006, GRIEVE, "M26", 10, 7, 6, 6, 5, TAM, 1),
    (2006, BRAMLEY, "M25", 8, 7, 7, 7, 6, HESTER, 0),
    (2006, RUSSET, "M9", 9, 6, 5, 5, 4, TAM, 1),
    (2006, CONFERENCE, "Quince C", 6, 3, 3, 3, 2, TAM, 0),
    (2007, DISCOVERY, "M26", 14, 12, 11, 11, 10, HESTER, 0),
    (2007, GRIEVE, "M26", 12, 10, 9, 9, 8, TAM, 0),
    (2007, ASHMEAD, "M116", 10, 8, 7, 7, 7, HESTER, 0),
    (2007, BRAMLEY, "M25", 9, 8, 8, 8, 7, HESTER, 0),
    (2007, CODLIN, "M116", 8, 6, 6, 5, 5, TAM, 1),
    (2007, RUSSET, "M9", 10, 8, 7, 7, 6, TAM, 0),
    (2007, CONFERENCE, "Quince C", 8, 6, 5, 5, 5, HESTER, 0),
    (2007, VICTORIA, "St Julien A", 9, 5, 5, 4, 4, HESTER, 1),
)
RESULTS: Final = tuple(
    ResultLine(
        season=season,
        variety=variety,
        stock=stock,
        grafted_count=grafted,
        taken_count=taken,
        grown_count=grown,
        wintered_count=wintered,
        ready_count=ready,
        grafter=grafter,
        stocks_died_count=died,
    )
    for season, variety, stock, grafted, taken, grown, wintered, ready, grafter, died in _EARLIER
)
