"""The sheets of what happened: last years' results, run sheets, tree checks, temperatures.

Synonyms and examples are common practice, no source.
"""

from typing import Final

from graftwright.intake.choices import BINDINGS, CAUSES, METHODS, SCIONS, STOCK_STATES
from graftwright.intake.column import Column, Kind, Sheet, words
from graftwright.intake.columns_wood import NOTE

_PLACE: Final = Column(
    name="place", field="place", kind=Kind.TEXT, example="Cold greenhouse",
    explanation="Name or code of the place.", also=words("where|location|stands in|put in"),
)  # fmt: skip

RESULTS: Final = Sheet(
    name="results", field="results",
    explanation="What earlier years' grafts came to. Each count is of the trees that came through "
    "the stage before; leave empty what was not counted.",
    also=words("last years|last year|earlier results|past results|results by variety|history"),
    columns=(
        Column(name="season", field="season", kind=Kind.COUNT, required=True, example="2026",
               explanation="The year of the spring in which they were grafted.",
               allowed=(1900, 2200), also=words("year|spring|winter")),
        Column(name="variety", field="variety", kind=Kind.TEXT, required=True, example="Discovery",
               explanation="The variety.", also=words("cultivar|sort|scion")),
        Column(name="stock", field="stock", kind=Kind.TEXT, required=True, example="M26",
               explanation="The rootstock.", also=words("rootstock|on|understock")),
        Column(name="grafted", field="grafted_count", kind=Kind.COUNT, required=True, example="12",
               explanation="Grafts made.", allowed=(0, 1_000_000),
               also=words("made|grafts|grafts made|number grafted|worked")),
        Column(name="taken", field="taken_count", kind=Kind.COUNT, required=True, example="10",
               explanation="Of these, how many took.", allowed=(0, 1_000_000),
               also=words("took|takes|take|number taken|knit")),
        Column(name="grown", field="grown_count", kind=Kind.COUNT, example="9",
               explanation="Of these, how many were growing at the end of summer.",
               allowed=(0, 1_000_000), also=words("grew|grown on|summer|through summer")),
        Column(name="wintered", field="wintered_count", kind=Kind.COUNT, example="9",
               explanation="Of these, how many came through the winter.", allowed=(0, 1_000_000),
               also=words("overwintered|through winter|survived winter")),
        Column(name="ready", field="ready_count", kind=Kind.COUNT, example="8",
               explanation="Of these, how many were fit to hand over.", allowed=(0, 1_000_000),
               also=words("fit|handed over|saleable|good trees|finished")),
        Column(name="stocks died", field="stocks_died_count", kind=Kind.COUNT, example="0",
               explanation="Grafts lost because the stock died; never held against the take.",
               allowed=(0, 1_000_000), also=words("stock died|dead stocks|stocks dead")),
        Column(name="method", field="method", kind=Kind.CHOICE, choices=METHODS,
               example="whip and tongue", explanation="How they were joined.",
               also=words("graft|kind of graft|technique")),
        Column(name="grafter", field="grafter", kind=Kind.TEXT, example="Ann",
               explanation="Who grafted them.", also=words("who|by|grafted by")),
    ),
)  # fmt: skip

RUNS: Final = Sheet(
    name="runs", field="runs",
    explanation="Run sheets as filled in at the bench: one bundle on one lot in each row.",
    also=words("run|run sheets|run sheet|grafted|grafts made|bench sheet|bench sheets"),
    columns=(
        Column(name="day", field="grafted_on", kind=Kind.DATE, required=True, example="2027-03-06",
               explanation="The day of grafting.", also=words("date|grafted on|on|when")),
        Column(name="run", field="run_number", kind=Kind.COUNT, example="3",
               explanation="The run's number on the plan.", allowed=(0, 100_000),
               also=words("run number|run no|no|number")),
        Column(name="bundle", field="bundle", kind=Kind.TEXT, required=True, example="K4T76",
               explanation="The wood: code or mark of the bundle, or the variety if there is one "
               "bundle of it.", also=words("wood|scion|variety|bundle code|scion wood")),
        Column(name="lot", field="lot", kind=Kind.TEXT, required=True, example="M26",
               explanation="The stocks: code or mark of the lot, or the stock if there is one lot "
               "of it in hand.", also=words("stock|rootstock|lot code|stock lot")),
        Column(name="grafts", field="graft_count", kind=Kind.COUNT, example="12",
               explanation="How many were made; may be left empty if all codes are given.",
               allowed=(1, 10_000), also=words("made|how many|count|number made|quantity|qty")),
        Column(name="tree codes", field="tree_codes", kind=Kind.CODES, example="22223, CKYFX",
               explanation="Codes on the labels used, each or from-to; next free ones if empty.",
               also=words("codes|labels|labels used|trees|tags")),
        Column(name="promise", field="promise", kind=Kind.TEXT, example="Skelbeck School",
               explanation="Whom they are for: code or mark of the promise, or who.",
               also=words("for|for whom|promised to|customer")),
        _PLACE,
        Column(name="method", field="method", kind=Kind.CHOICE, choices=METHODS,
               example="whip and tongue", explanation="How they were joined; whip and tongue if "
               "left empty.", also=words("graft|kind of graft|technique")),
        Column(name="binding", field="binding", kind=Kind.CHOICE, choices=BINDINGS,
               example="stretch film", explanation="What holds the join; stretch film if left "
               "empty.", also=words("tie|tied with|bound with|tape")),
        Column(name="seal", field="seal", kind=Kind.TEXT, example="wax",
               explanation="What the cuts were sealed with.", also=words("sealed with|wax")),
        Column(name="grafter", field="grafter", kind=Kind.TEXT, example="Ann",
               explanation="Who grafted.", also=words("who|by|grafted by")),
        Column(name="spoilt", field="spoilt_count", kind=Kind.COUNT, example="1",
               explanation="Pieces of wood spoilt in cutting.", allowed=(0, 10_000),
               also=words("spoiled|spoilt cuts|wasted|spoilt pieces")),
        NOTE,
    ),
)  # fmt: skip

TREE_CHECKS: Final = Sheet(
    name="tree checks", field="tree_checks",
    explanation="What was seen of each tree on a walk; several trees alike may share a row.",
    also=words("tree check|results by tree|checks|trees|walk|roll-call|take check"),
    columns=(
        Column(name="day", field="seen_on", kind=Kind.DATE, required=True, example="2027-06-12",
               explanation="The day of the walk.",
               also=words("date|seen on|checked on|on|when|checked")),
        Column(name="tree", field="tree_codes", kind=Kind.CODES, required=True, example="22223",
               explanation="The tree's code; several, or from-to, if they are all alike.",
               also=words("code|codes|tree code|tree codes|tag|trees")),
        Column(name="scion", field="scion", kind=Kind.CHOICE, choices=SCIONS, example="growing",
               explanation="How the scion is. Buds moving is not yet a take.",
               also=words("scion state|graft|top|take|state")),
        Column(name="stock", field="stock", kind=Kind.CHOICE, choices=STOCK_STATES,
               example="alive", explanation="How the stock is; alive if left empty.",
               also=words("stock state|rootstock|roots")),
        Column(name="growth", field="growth_mm", kind=Kind.LENGTH, unit="mm", example="180",
               explanation="New growth of the scion.", plausible=(10, 2500), allowed=(0, 5000),
               also=words("new growth|shoot|shoot length|grown")),
        Column(name="ready", field="ready", kind=Kind.YES_NO, example="no",
               explanation="Autumn grading: fit to hand over or not; empty on other walks.",
               also=words("fit|ready to hand over|graded|saleable")),
        Column(name="height", field="height_m", kind=Kind.LENGTH, unit="m", example="1.2",
               explanation="Height of the whole tree when graded.", plausible=(0.2, 5),
               allowed=(0, 10), also=words("tall|tree height")),
        Column(name="cause", field="cause", kind=Kind.CHOICE, choices=CAUSES, example="frost",
               explanation="What killed or hurt it.",
               also=words("why|reason|lost to|cause of loss|damage")),
        Column(name="union broke", field="union_broke", kind=Kind.YES_NO, example="no",
               explanation="Whether a union that had taken was broken.",
               also=words("broken|union broken|broke off|snapped")),
        _PLACE,
        NOTE,
    ),
)  # fmt: skip

_STATION: Final = Column(
    name="station", field="station", kind=Kind.TEXT, example="logger 2",
    explanation="Which thermometer.", also=words("logger|thermometer|sensor"),
)  # fmt: skip

DAYS: Final = Sheet(
    name="temperatures", field="days",
    explanation="Lowest and highest temperature of each day at a place; leave gaps empty.",
    also=words("temperature|daily temperatures|weather|min max|daily"),
    columns=(
        _PLACE,
        Column(name="day", field="on", kind=Kind.DATE, required=True, example="2027-02-01",
               explanation="The day.", also=words("date|on")),
        Column(name="lowest", field="low_c", kind=Kind.TEMPERATURE, unit="°C", example="-1.5",
               explanation="Lowest of the day.", allowed=(-90, 60),
               also=words("min|minimum|low|tmin|t min|temp min|min temp|minimum temperature|"
                          "night")),
        Column(name="highest", field="high_c", kind=Kind.TEMPERATURE, unit="°C", example="6.0",
               explanation="Highest of the day.", allowed=(-90, 60),
               also=words("max|maximum|high|tmax|t max|temp max|max temp|maximum temperature")),
        _STATION,
    ),
)  # fmt: skip

HOURS: Final = Sheet(
    name="hourly temperatures", field="hours",
    explanation="Temperature at each hour at a place, such as a logger writes.",
    also=words("hourly temperature|hourly|logger|logger file"),
    columns=(
        _PLACE,
        Column(name="time", field="at", kind=Kind.INSTANT, required=True,
               example="2027-02-01 13:00", explanation="Day and hour.",
               also=words("date and time|date time|datetime|timestamp|time utc|time local|hour|"
                          "date time utc|date")),
        Column(name="temperature", field="hourly_c", kind=Kind.TEMPERATURE, unit="°C",
               example="4.2", explanation="Temperature at that hour.", allowed=(-90, 70),
               also=words("temp|t|air temperature|air temp|value|reading")),
        _STATION,
    ),
)  # fmt: skip
