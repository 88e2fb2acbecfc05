"""A small record with something in nearly every table, its words and figures to be chosen."""

from collections.abc import Iterable
from datetime import UTC, date, datetime, timedelta
from uuid import UUID

from graftwright.notebook.entries import (
    CertaintyJudged,
    EarlierResultsCounted,
    Entry,
    EvidenceKind,
    EvidenceNoted,
    GrowthMeasured,
    MaterialCounted,
    MotherTreeEntered,
    NameDecided,
    PlaceEntered,
    PlaceKind,
    PlaceLimitsSet,
    PromiseChanged,
    PromiseMade,
    RescuePlanned,
    RunGrafted,
    StickMeasured,
    StockGrade,
    StocksArrived,
    TakeJudged,
    TreeMoved,
    WoodCut,
    Written,
)
from graftwright.notebook.entries.trees import Scion
from graftwright.notebook.entries.wood import Certainty

FIRST = datetime(2009, 2, 17, 8, tzinfo=UTC)
TREES = ("FNX5W", "T9WK5", "6XW2H")
DAY = date(2009, 2, 17)


def written(entries: Iterable[Entry]) -> tuple[Written, ...]:
    """Return entries with marks, in the order given."""
    return tuple(
        Written(
            entry_id=UUID(int=number),
            written_at=FIRST + timedelta(microseconds=number),
            written_by="ib",
            entry=entry,
        )
        for number, entry in enumerate(entries, 1)
    )


def small_record(
    words: str = "damp paper", count: int = 4, length: float = 310.5
) -> tuple[Written, ...]:
    """Return the record of one small winter; its places, people and trees are invented."""
    day = DAY
    sticks = (
        StickMeasured(number=1, length_mm=length, base_mm=9.1, tip_mm=5.5, bud_count=9),
        StickMeasured(
            number=2,
            length_mm=250.0,
            base_mm=8.0,
            tip_mm=6.0,
            bud_count=3,
            buds_mm=(20.0, 90.5),
        ),
    )
    return written(
        (
            PlaceEntered(
                happened_on=day, code="CKYFX", name="Loft", place_kind=PlaceKind.UNHEATED_ROOM
            ),
            PlaceLimitsSet(happened_on=day, place_code="CKYFX", low_c=1.0, high_c=8.0),
            MotherTreeEntered(happened_on=day, code="L7T3K", variety="Codlin", site=words),
            NameDecided(happened_on=day, code="L7T3K", variety="Keswick Codlin", evidence=words),
            CertaintyJudged(happened_on=day, code="L7T3K", certainty=Certainty.OWNER),
            EvidenceNoted(
                happened_on=day, code="L7T3K", evidence=EvidenceKind.FRUIT, words="ribbed"
            ),
            RescuePlanned(
                happened_on=day, code="L7T3K", access_until=date(2009, 4, 1), wanted_count=count
            ),
            WoodCut(
                happened_on=day,
                code="9WYT4",
                variety="Codlin",
                mother_tree_code="L7T3K",
                sticks=sticks,
                packing=words,
            ),
            StocksArrived(
                happened_on=day,
                code="TL8L4",
                arrived_count=count + 20,
                grade=StockGrade(stock="M26", low_mm=8.0, high_mm=10.0),
                supplier=words,
                price_each=1.25,
            ),
            PromiseMade(
                happened_on=day, code="YNKYC", who=words, variety="Keswick Codlin", stock="M26",
                wanted_count=count,
            ),
            PromiseChanged(happened_on=day, code="YNKYC", due_on=date(2009, 11, 30)),
            MaterialCounted(happened_on=day, material="film", unit="m", in_hand=length),
            EarlierResultsCounted(
                happened_on=day, season=2008, variety="Codlin", stock="M26",
                grafted_count=count + 9, taken_count=count,
            ),
            RunGrafted(
                happened_on=day, tree_codes=TREES, bundle_code="9WYT4", lot_code="TL8L4",
                promise_code="YNKYC", seal=words,
            ),
            TreeMoved(happened_on=day, tree_codes=TREES, place_code="CKYFX", position=words),
            TakeJudged(
                happened_on=date(2009, 5, 2), tree_codes=TREES, scion=Scion.GROWING, words=words
            ),
            GrowthMeasured(happened_on=date(2009, 6, 2), tree_codes=TREES, growth_mm=length),
        )
    )  # fmt: skip
