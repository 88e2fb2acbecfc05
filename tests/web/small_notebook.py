"""A small notebook for tests of single pages: one lot, two bundles, no promise to plan."""

from dataclasses import dataclass
from datetime import date

from graftwright.notebook.entries import (
    Certainty,
    MotherTreeEntered,
    PlaceEntered,
    PlaceKind,
    RunGrafted,
    StickMeasured,
    StockGrade,
    StocksArrived,
    WoodCut,
)
from graftwright.notebook.entries.entry import Entry
from graftwright.store.append import write, write_many
from graftwright.store.codes import next_codes

CUT_ON = date(2009, 1, 20)
GRAFTED_ON = date(2009, 2, 16)


@dataclass(frozen=True, slots=True, kw_only=True)
class Small:
    """The codes of what stands in it."""

    mother: str
    bundle: str
    other_bundle: str
    lot: str
    greenhouse: str
    shed: str


def write_small() -> Small:
    """Write the small notebook down and return its codes."""
    codes = Small(
        **dict(
            zip(
                ("mother", "bundle", "other_bundle", "lot", "greenhouse", "shed"),
                next_codes(6, today=CUT_ON),
                strict=True,
            )
        )
    )
    entries: list[Entry] = [
        PlaceEntered(
            happened_on=CUT_ON,
            code=codes.greenhouse,
            name="Cold greenhouse",
            place_kind=PlaceKind.COLD_GREENHOUSE,
            walking_order=1,
        ),
        PlaceEntered(
            happened_on=CUT_ON,
            code=codes.shed,
            name="Brick shed",
            place_kind=PlaceKind.UNHEATED_ROOM,
            walking_order=2,
        ),
        MotherTreeEntered(
            happened_on=CUT_ON,
            code=codes.mother,
            variety="Discovery",
            certainty=Certainty.DNA,
            site="Harrow Fold",
        ),
        _wood(codes.bundle, "Discovery", codes.mother, codes.shed),
        _wood(codes.other_bundle, "James Grieve", "", codes.shed),
        StocksArrived(
            happened_on=CUT_ON,
            code=codes.lot,
            arrived_count=60,
            grade=StockGrade(stock="M26", low_mm=7.0, high_mm=9.0),
            place_code=codes.shed,
        ),
    ]
    write_many(entries)
    return codes


def _wood(code: str, variety: str, mother: str, place: str) -> WoodCut:
    sticks = tuple(
        StickMeasured(number=n, length_mm=400.0, base_mm=8.5, tip_mm=6.5, bud_count=9)
        for n in range(1, 11)
    )
    return WoodCut(
        happened_on=CUT_ON,
        code=code,
        variety=variety,
        mother_tree_code=mother,
        sticks=sticks,
        place_code=place,
    )


def graft(small: Small, count: int, *, happened_on: date = GRAFTED_ON) -> tuple[str, ...]:
    """Write a run down and return the codes of its trees."""
    codes = next_codes(count, today=happened_on)
    write(
        RunGrafted(
            happened_on=happened_on,
            tree_codes=codes,
            bundle_code=small.bundle,
            lot_code=small.lot,
            place_code=small.greenhouse,
            grafter="TO",
        )
    )
    return codes
