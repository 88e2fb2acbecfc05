"""The small notebook that malformed things are sent to. Django is set up before this is loaded."""

from datetime import date

from benchmarks.malformed_cases import Nursery
from graftwright.notebook.entries import (
    MotherTreeEntered,
    PlaceEntered,
    PlaceKind,
    PromiseMade,
    RunGrafted,
    StickMeasured,
    StockGrade,
    StocksArrived,
    WoodCut,
)
from graftwright.store.append import write_many
from graftwright.store.codes import next_codes

_DAY = date(2009, 1, 20)


def nursery() -> Nursery:
    """Write a few things down and return the nursery that takes malformed ones."""
    mother, bundle, lot, place, promise, *trees = next_codes(11, today=_DAY)
    stick = StickMeasured(number=1, length_mm=400.0, base_mm=8.5, tip_mm=6.5, bud_count=9)
    grade = StockGrade(stock="M26", low_mm=7.0, high_mm=9.0)
    write_many(
        [
            PlaceEntered(
                happened_on=_DAY,
                code=place,
                name="Cold greenhouse",
                place_kind=PlaceKind.COLD_GREENHOUSE,
                walking_order=1,
            ),
            MotherTreeEntered(happened_on=_DAY, code=mother, variety="Discovery"),
            WoodCut(
                happened_on=_DAY,
                code=bundle,
                variety="Discovery",
                mother_tree_code=mother,
                sticks=(stick,),
                place_code=place,
            ),
            StocksArrived(
                happened_on=_DAY, code=lot, arrived_count=60, grade=grade, place_code=place
            ),
            PromiseMade(
                happened_on=_DAY,
                code=promise,
                who="The school",
                variety="Discovery",
                stock="M26",
                wanted_count=3,
            ),
            RunGrafted(
                happened_on=date(2009, 2, 16),
                tree_codes=tuple(trees),
                bundle_code=bundle,
                lot_code=lot,
                place_code=place,
                grafter="TO",
            ),
        ]
    )
    return Nursery()
