"""The bibliography: every published figure in Graftwright names a key of SOURCES."""

from graftwright.sources import climate, losses, planting, trade, wood
from graftwright.sources.source import Source

SOURCES: dict[str, Source] = {
    **trade.SOURCES,
    **climate.SOURCES,
    **losses.SOURCES,
    **planting.SOURCES,
    **wood.SOURCES,
}

__all__ = ["SOURCES", "Source"]
