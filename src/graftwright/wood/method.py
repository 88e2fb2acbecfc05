"""Which join suits a pair: the diameters, the season, and the reason in words."""

from graftwright.wood.cutplan import GraftMethod

_TONGUE_FROM_MM = 4.0
_BARK_FRACTION = 0.08
_TOLERANCE_MM = 0.4


def bench_method(scion_mm: float) -> GraftMethod:
    """Return the join to plan for a pair at the bench, both parts dormant."""
    if scion_mm < _TONGUE_FROM_MM:
        return GraftMethod.SIMPLE_WHIP
    return GraftMethod.WHIP_AND_TONGUE


def is_one_side_match(scion_mm: float, stock_mm: float) -> bool:
    """Say whether the cambium can be matched on one side only."""
    return abs(stock_mm - scion_mm) * (1.0 - 2.0 * _BARK_FRACTION) > 2.0 * _TOLERANCE_MM
