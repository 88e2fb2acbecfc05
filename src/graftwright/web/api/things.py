"""The kinds of things a program may read, as its address names them."""

from dataclasses import dataclass

from graftwright.notebook.notebook import Thing
from graftwright.notebook.standing import (
    BenchDays,
    Bundle,
    DailyTemperatures,
    EarlierResults,
    ForecastBook,
    MotherTree,
    NamesAndRights,
    Nursery,
    Place,
    PlaceHours,
    Promise,
    Spot,
    StockLot,
    Tree,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class ThingKind:
    """A kind of thing: the word it is stored under, and what it looks like."""

    stored: str
    value: type[Thing]


THING_KINDS = {
    "bench-days": ThingKind(stored="bench days", value=BenchDays),
    "bundles": ThingKind(stored="bundle", value=Bundle),
    "forecasts": ThingKind(stored="forecasts", value=ForecastBook),
    "hours": ThingKind(stored="hours", value=PlaceHours),
    "lots": ThingKind(stored="lot", value=StockLot),
    "mother-trees": ThingKind(stored="mother tree", value=MotherTree),
    "names-and-rights": ThingKind(stored="names and rights", value=NamesAndRights),
    "nursery": ThingKind(stored="nursery", value=Nursery),
    "places": ThingKind(stored="place", value=Place),
    "promises": ThingKind(stored="promise", value=Promise),
    "results": ThingKind(stored="results", value=EarlierResults),
    "spots": ThingKind(stored="spot", value=Spot),
    "temperatures": ThingKind(stored="temperatures", value=DailyTemperatures),
    "trees": ThingKind(stored="tree", value=Tree),
}
