"""The season of 2009 as it went after the day of planning: second thoughts, runs, mishaps.

Invented like all of demo.world; the two hot days of June 2009 are in the record.
"""

from dataclasses import replace
from datetime import date
from typing import Final

from graftwright.demo import season_2008
from graftwright.demo.lines import Mishap, RunLine
from graftwright.demo.world import HESTER, INES, TAM
from graftwright.notebook.entries import Cause, Method

MORE_ASKED_ON, MORE_ARRIVED_ON = date(2009, 2, 20), date(2009, 3, 4)
MORE_ASKED: Final = (("lot 2009 m26 more", 25), ("lot 2009 m116 ten", 10))
"""Offers taken up after the plan, in whole bundles."""
STILL_TO_COME: Final = (("lot 2009 m9", 10), ("lot 2009 m27", 10), ("lot 2009 julien", 10))
STILL_TO_MEASURE: Final = ("lot 2009 m25", "lot 2009 quince")

_GRAFTED = (
    # day, bundle, lot, promise, grafts, grafter, spoilt
    ((3, 7), "codlin", "m116", "ferrow c", 8, HESTER, 0),
    ((3, 7), "codlin", "m25 old", "church c", 4, HESTER, 0),
    ((3, 7), "discovery", "m26", "school d", 7, HESTER, 0),
    ((3, 7), "grieve", "m26 old", "school g", 5, TAM, 0),
    ((3, 7), "russet", "m9", "plots r", 10, TAM, 1),
    ((3, 14), "victoria", "julien", "fold v", 7, HESTER, 0),
    ((3, 14), "farmhouse", "m116", "tarn", 5, HESTER, 0),
    ((3, 14), "bramley", "m25", "church b", 6, TAM, 0),
    ((3, 14), "ashmead", "m116 ten", "ferrow a", 8, HESTER, 0),
    ((3, 14), "ashmead", "m26", "plots a", 8, TAM, 0),
    ((3, 21), "conference", "quince", "plots c", 7, HESTER, 0),
    ((3, 21), "conference", "quince", "fold w", 3, HESTER, 0),
    ((3, 21), "discovery", "m27", "balcony", 3, HESTER, 0),
    ((3, 28), "grieve", "m26 more", "workshop", 12, INES, 2),
    ((3, 28), "grieve post", "m26 more", "workshop", 8, INES, 1),
)
CARRIED_LOTS: Final = tuple(
    replace(lot, key=f"{lot.key} carried over", arrived_count=0) for lot in season_2008.LOTS
)
"""The lots carried over from the year before, under the keys the autumn gave them."""


def _lot_key(lot: str) -> str:
    kind = lot.removesuffix(" old")
    return f"lot 2009 {lot}" if kind == lot else f"lot 2008 {kind} carried over"


RUNS: Final = tuple(
    RunLine(
        number=number,
        grafted_on=date(2009, *day),
        bundle_key=f"bundle 2009 {bundle}",
        lot_key=_lot_key(lot),
        promise_key=f"promise 2009 {promise}",
        graft_count=grafts,
        grafter=grafter,
        method=Method.CLEFT if grafter == INES else Method.WHIP_AND_TONGUE,
        spoilt_count=spoilt,
    )
    for number, (day, bundle, lot, promise, grafts, grafter, spoilt) in enumerate(_GRAFTED, 1)
)

_SCORCHED = "scorched in the tunnel with its doors shut"
MISHAPS: Final = (
    Mishap(
        run_number=8,
        position=2,
        tree_count=2,
        loss="scion",
        cause=Cause.HEAT,
        happened_on=date(2009, 6, 6),
        words=_SCORCHED,
    ),
    Mishap(
        run_number=14,
        position=4,
        tree_count=3,
        loss="union",
        cause=Cause.KNOCKED,
        happened_on=date(2009, 7, 18),
        words="tray dropped on the way to the standing",
    ),
    Mishap(
        run_number=5,
        position=7,
        tree_count=2,
        loss="scion",
        cause=Cause.ANIMAL,
        happened_on=date(2009, 6, 16),
        words="gnawed at the union",
    ),
)
