"""A small nursery whose trees can be led through any life; days are of 2009, at 54° north."""

from datetime import UTC, date, datetime, timedelta
from uuid import UUID

from graftwright.notebook.entries import (
    Binding,
    MotherTreeEntered,
    NurseryDescribed,
    PlaceEntered,
    PlaceKind,
    PromiseMade,
    RunGrafted,
    StickMeasured,
    StockGrade,
    StocksArrived,
    WoodCut,
    Written,
)
from graftwright.notebook.replay import replay
from graftwright.tagcode import code_from_number

GRAFTED_ON = date(2009, 3, 1)
MOTHER, BUNDLE, OTHER, LOT, GLASS, YARD, SCHOOL, CHURCH = (
    code_from_number(number) for number in range(1, 9)
)
STICKS = tuple(
    StickMeasured(number=n, length_mm=700, base_mm=9, tip_mm=6, bud_count=18) for n in range(1, 9)
)


def codes(count, *, start=20):
    """Return the codes of so many trees."""
    return tuple(code_from_number(start + number) for number in range(count))


def beginning():
    on = date(2009, 1, 5)
    return [
        NurseryDescribed(happened_on=on, name="Lantern Bank", latitude_deg=54.2, altitude_m=140.0),
        PlaceEntered(
            happened_on=on,
            code=GLASS,
            name="Cold greenhouse",
            place_kind=PlaceKind.COLD_GREENHOUSE,
            walking_order=1,
        ),
        PlaceEntered(
            happened_on=on,
            code=YARD,
            name="Pot standing",
            place_kind=PlaceKind.OUTDOORS,
            walking_order=2,
        ),
        MotherTreeEntered(happened_on=on, code=MOTHER, variety="Discovery", owner="Ada Fell"),
        WoodCut(
            happened_on=on, code=BUNDLE, variety="Discovery", mother_tree_code=MOTHER, sticks=STICKS
        ),
        WoodCut(
            happened_on=on,
            code=OTHER,
            variety="James Grieve",
            from_whom="a neighbour",
            sticks=STICKS,
        ),
        StocksArrived(
            happened_on=on,
            code=LOT,
            arrived_count=60,
            grade=StockGrade(stock="M26", low_mm=7, high_mm=9),
            supplier="Fell Nurseries",
        ),
        PromiseMade(
            happened_on=on,
            code=SCHOOL,
            who="The school",
            variety="Discovery",
            stock="M26",
            wanted_count=3,
            priority=2,
            due_on=date(2009, 11, 14),
        ),
        PromiseMade(
            happened_on=on + timedelta(days=1),
            code=CHURCH,
            who="The churchyard",
            variety="Discovery",
            stock="M26",
            wanted_count=1,
            priority=1,
            due_on=date(2009, 12, 5),
            second_choice="James Grieve",
        ),
    ]


def run(trees, *, binding=Binding.STRETCH_FILM, bundle=BUNDLE, promise="", place=GLASS):
    return RunGrafted(
        happened_on=GRAFTED_ON,
        tree_codes=trees,
        bundle_code=bundle,
        lot_code=LOT,
        promise_code=promise,
        place_code=place,
        binding=binding,
        grafter="TO",
    )


def notebook(*later):
    entries = [*beginning(), *later]
    start = datetime(2009, 1, 1, tzinfo=UTC)
    return replay(
        Written(entry_id=UUID(int=n + 1), written_at=start + timedelta(minutes=n), entry=entry)
        for n, entry in enumerate(entries)
    )
