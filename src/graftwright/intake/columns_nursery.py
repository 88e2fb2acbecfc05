"""The sheets of rootstocks, places, bench days, materials and the nursery's own facts.

Synonyms and examples are common practice, no source.
"""

from typing import Final

from graftwright.intake.choices import FACTS, LOT_STATES, PLACE_KINDS, WAKINGS
from graftwright.intake.column import Column, Kind, Sheet, words
from graftwright.intake.columns_wood import CODE, MARK, NOTE

LOTS: Final = Sheet(
    name="stock lots", field="lots",
    explanation="Rootstocks in hand, carried over, asked for, confirmed, or offered at a price. "
    "Several rows with one code or mark tell of the same lot.",
    also=words("lots|lot|stocks|rootstocks|stock|rootstock lots|understocks"),
    columns=(
        CODE,
        MARK,
        Column(name="stock", field="stock", kind=Kind.TEXT, required=True, example="M26",
               explanation="Which rootstock.", also=words("rootstock|kind|understock|variety")),
        Column(name="state", field="state", kind=Kind.CHOICE, choices=LOT_STATES, required=True,
               example="in hand", explanation="How far the lot has come.",
               also=words("status|how far|where it stands")),
        Column(name="count", field="stock_count", kind=Kind.COUNT, required=True, example="25",
               explanation="How many stocks in that state; for an offer, how many can be had.",
               unit="stocks", allowed=(0, 100_000),
               also=words("how many|quantity|qty|number|in hand|available|stocks")),
        Column(name="grade", field="grade_mm", kind=Kind.RANGE, unit="mm", example="6-8",
               explanation="Thinnest to thickest, as the supplier grades them.",
               also=words("size|calibre|caliper|grading|thickness"), plausible=(3, 30),
               allowed=(2, 60)),
        Column(name="thinnest", field="low_mm", kind=Kind.LENGTH, unit="mm", example="6",
               explanation="Thinnest stock of the grade, if the grade is not given as a range.",
               also=words("from|low|min|minimum|grade from|thin end"), plausible=(3, 30),
               allowed=(2, 60)),
        Column(name="thickest", field="high_mm", kind=Kind.LENGTH, unit="mm", example="8",
               explanation="Thickest stock of the grade, if the grade is not given as a range.",
               also=words("to|high|max|maximum|grade to|thick end"), plausible=(3, 30),
               allowed=(2, 60)),
        Column(name="supplier", field="supplier", kind=Kind.TEXT, example="Fell Foot Stocks",
               explanation="Who sells or sent them.", also=words("nursery|seller|bought from")),
        Column(name="lot size", field="lot_size_count", kind=Kind.COUNT, example="25",
               explanation="Stocks in one bundle as it is sold; one if left empty.",
               allowed=(1, 10_000), also=words("bundle size|pack size|sold in|bundle of|per lot")),
        Column(name="price per lot", field="price_per_lot", kind=Kind.MONEY, example="42.50",
               explanation="Price of one such bundle; needed for an offer.",
               allowed=(0, 1_000_000), also=words("lot price|bundle price|price|pack price")),
        Column(name="price each", field="price_each", kind=Kind.MONEY, example="1.70",
               explanation="Price of one stock, for those in hand.", allowed=(0, 10_000),
               also=words("each|unit price|price per stock|cost each")),
        Column(name="asked", field="asked_count", kind=Kind.COUNT, example="50",
               explanation="How many were asked for, where the count says how many are confirmed.",
               allowed=(1, 100_000), also=words("ordered|asked for|on order")),
        Column(name="date", field="on", kind=Kind.DATE, example="2027-01-20",
               explanation="The day of that state; the day of reading if left empty.",
               also=words("on|when|arrived on|ordered on|day|arrived|received")),
        Column(name="place", field="place", kind=Kind.TEXT, example="Brick shed",
               explanation="Where they are kept: name or code of a place.",
               also=words("where|kept in|stored in|heeled in at")),
        Column(name="measured", field="diameters_mm", kind=Kind.LENGTHS, unit="mm",
               example="6.5; 7; 7.5; 8", allowed=(2, 60), plausible=(3, 30),
               explanation="Stocks measured one by one where the cut will come.",
               also=words("diameters|measured diameters|thicknesses")),
        Column(name="waking", field="waking", kind=Kind.CHOICE, choices=WAKINGS,
               example="dormant", explanation="How awake they are.",
               also=words("how awake|dormancy|buds")),
        NOTE,
    ),
)  # fmt: skip

PLACES: Final = Sheet(
    name="places", field="places",
    explanation="Where wood, stocks and trees are kept.",
    also=words("place|locations|houses|benches and beds"),
    columns=(
        CODE,
        Column(name="name", field="name", kind=Kind.TEXT, required=True, example="Cold greenhouse",
               explanation="What you call it.", also=words("place|place name|called")),
        Column(name="kind", field="place_kind", kind=Kind.CHOICE, choices=PLACE_KINDS,
               required=True, example="cold greenhouse", explanation="What kind of place it is.",
               also=words("type|kind of place|what it is")),
        Column(name="room for", field="capacity_count", kind=Kind.COUNT, example="300",
               explanation="How many trees it holds.", unit="trees", allowed=(0, 1_000_000),
               also=words("capacity|holds|trees|space for")),
        Column(name="walking order", field="walking_order", kind=Kind.COUNT, example="2",
               explanation="Where it comes on the round.", allowed=(0, 10_000),
               also=words("order|round|stop")),
    ),
)  # fmt: skip

BENCH_DAYS: Final = Sheet(
    name="bench days", field="bench_days",
    explanation="Days kept free for grafting.",
    also=words("bench day|grafting days|days|days free"),
    columns=(
        Column(name="day", field="bench_on", kind=Kind.DATE, required=True, example="2027-03-06",
               explanation="The day.", also=words("date|bench day|on|when")),
        Column(name="hours", field="free_h", kind=Kind.NUMBER, required=True, example="5.5",
               explanation="Hours at the bench that day, breaks left out.", unit="h",
               allowed=(0.1, 14), also=words("free hours|hours free|time|how long")),
        Column(name="grafts an hour", field="grafts_per_h", kind=Kind.NUMBER, required=True,
               example="12", explanation="The pace to reckon with.", allowed=(0.5, 120),
               also=words("grafts per hour|pace|per hour|an hour|grafts/h")),
        Column(name="who", field="who", kind=Kind.TEXT, example="Ann",
               explanation="Who will be at the bench.", also=words("grafter|name|by")),
    ),
)  # fmt: skip

MATERIALS: Final = Sheet(
    name="materials", field="materials",
    explanation="Materials in hand, what each graft or tree needs of them, and their prices.",
    also=words("material|supplies|consumables|prices|materials and prices"),
    columns=(
        Column(name="material", field="material", kind=Kind.TEXT, required=True,
               example="stretch film", explanation="What it is.", also=words("item|what|name")),
        Column(name="unit", field="unit", kind=Kind.TEXT, required=True, example="m",
               explanation="What it is counted in.", also=words("counted in|measured in|per")),
        Column(name="in hand", field="in_hand", kind=Kind.NUMBER, example="60",
               explanation="How much there is.", allowed=(0, 1e9),
               also=words("have|stock|quantity|qty|amount")),
        Column(name="need per graft", field="need_per_graft", kind=Kind.NUMBER, example="0.15",
               explanation="What one graft uses.", allowed=(0, 1e6),
               also=words("per graft|each graft|use per graft")),
        Column(name="need per tree", field="need_per_tree", kind=Kind.NUMBER, example="0",
               explanation="What one living tree uses later.", allowed=(0, 1e6),
               also=words("per tree|each tree|use per tree")),
        Column(name="price per unit", field="price_per_unit", kind=Kind.MONEY, example="0.20",
               explanation="Price of one unit.", allowed=(0, 1e9),
               also=words("price|cost|unit price|price each")),
    ),
)  # fmt: skip

FACTS_SHEET: Final = Sheet(
    name="nursery", field="facts",
    explanation="The nursery's own facts, one in each row.",
    also=words("nursery facts|facts|about us|about the nursery"),
    columns=(
        Column(name="fact", field="fact", kind=Kind.CHOICE, choices=FACTS, required=True,
               example="latitude", explanation="Which fact.", also=words("what|item")),
        Column(name="value", field="value", kind=Kind.TEXT, required=True, example="54.2 N",
               explanation="Latitude in degrees (N or S), altitude in m or ft, the rest as it is.",
               also=words("is|figure|answer")),
    ),
)  # fmt: skip

PRACTICES: Final = Sheet(
    name="own practice", field="practices",
    explanation="Your own rules where they differ from the usual ones.",
    also=words("practice|practices|own rules|my rules|rules"),
    columns=(
        Column(name="practice", field="practice", kind=Kind.TEXT, required=True,
               example="binding off after weeks", explanation="Which rule.",
               also=words("rule|what")),
        Column(name="value", field="value", kind=Kind.TEXT, required=True, example="10",
               explanation="What you go by.", also=words("is|figure|own value")),
        Column(name="reason", field="reason", kind=Kind.TEXT, example="late frosts here",
               explanation="Why; shown wherever the rule decides.", also=words("why|words|note")),
    ),
)  # fmt: skip
