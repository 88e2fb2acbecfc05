"""Counts of grafts made up for tests of what is learnt from them."""

from datetime import date

from graftwright.losses import Stage
from graftwright.season.graft_counts import GraftCount

KNOWN_ON = date(2009, 5, 20)


def graft(*, passed: bool, stage: str = str(Stage.TAKE), **levels: str) -> GraftCount:
    """Return one graft with its outcome and what was recorded of it."""
    usual = {"variety": "Discovery", "stock": "M26", "day": "2009-03-02", "week": "2009-03-02"}
    return GraftCount(
        stage=stage,
        season=2009,
        tried_count=1,
        passed_count=int(passed),
        decided_on=KNOWN_ON,
        **{**usual, **levels},
    )
