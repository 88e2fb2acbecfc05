"""Offers of two neighbours of the invented nursery. Persons, places and counts are invented too."""

from datetime import date
from typing import Final

from graftwright.demo.world import (
    ASHMEAD,
    BRAMLEY,
    CODLIN,
    DISCOVERY,
    GRIEVE,
    RUSSET,
)
from graftwright.season.scheme import (
    Hands,
    Offer,
    PooledCount,
    Stocks,
    Want,
    Wood,
    WoodHealth,
)

_MADE_ON: Final = date(2009, 2, 16)
_CUT, _KEEPS = date(2009, 1, 24), date(2009, 4, 24)
_DUE: Final = date(2009, 11, 28)


def demo_neighbours() -> tuple[Offer, ...]:
    """Return the offers of two invented nurseries for the winter before spring 2009."""
    return _TARNFOOT, _GARTH


def _wood(
    variety: str, low_mm: float, pieces_count: int, *, health: WoodHealth = WoodHealth.CLEAN
) -> Wood:
    return Wood(
        variety=variety,
        low_mm=low_mm,
        high_mm=low_mm + 1.0,
        pieces_count=pieces_count,
        ready_on=_CUT,
        keeps_until=_KEEPS,
        health=health,
        may_be_sent=True,
    )


def _stocks(stock: str, low_mm: float, high_mm: float, count: int) -> Stocks:
    return Stocks(
        stock=stock,
        low_mm=low_mm,
        high_mm=high_mm,
        stocks_count=count,
        ready_on=_MADE_ON,
        may_be_sent=True,
    )


def _want(variety: str, stock: str, trees_count: int, priority: int) -> Want:
    return Want(
        variety=variety, stock=stock, due_on=_DUE, priority=priority, trees_count=trees_count
    )


_TARNFOOT: Final = Offer(
    nursery="Tarnfoot Fruit Group",
    season=2009,
    made_on=_MADE_ON,
    wants=(_want(DISCOVERY, "M26", 6, 2), _want(BRAMLEY, "M25", 3, 1), _want(CODLIN, "M26", 4, 3)),
    wood=(
        _wood(ASHMEAD, 7.0, 14),
        _wood(ASHMEAD, 8.0, 10),
        _wood(GRIEVE, 7.0, 8),
        _wood(CODLIN, 7.0, 9, health=WoodHealth.SUSPECT),
    ),
    stocks=(_stocks("M26", 7.0, 9.0, 12), _stocks("M116", 7.0, 10.0, 10)),
    hands=Hands(
        bench_from=date(2009, 3, 7),
        bench_until=date(2009, 3, 21),
        grafts_count=40,
        works_for_others=True,
    ),
    counts=(
        PooledCount(variety=GRIEVE, stock="M26", method="", grafts_count=42, taken_count=34),
        PooledCount(variety=BRAMLEY, stock="M25", method="", grafts_count=24, taken_count=21),
    ),
    is_invented=True,
)
_GARTH: Final = Offer(
    nursery="Low Garth Nursery",
    season=2009,
    made_on=_MADE_ON,
    wants=(_want(RUSSET, "M9", 5, 2), _want(ASHMEAD, "M26", 4, 2)),
    wood=(_wood(DISCOVERY, 7.0, 16), _wood(BRAMLEY, 8.0, 12), _wood(RUSSET, 6.0, 6)),
    stocks=(
        _stocks("M9", 6.0, 8.0, 10),
        _stocks("M25", 8.0, 11.0, 8),
        _stocks("M116", 7.0, 9.0, 6),
    ),
    hands=Hands(bench_from=date(2009, 2, 28), bench_until=date(2009, 3, 14), grafts_count=16),
    counts=(PooledCount(variety="", stock="M9", method="", grafts_count=60, taken_count=49),),
    is_invented=True,
)
