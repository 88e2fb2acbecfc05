"""Sources for temperatures, chill, heat and callus."""

from typing import Final

from graftwright.sources.source import Source

SOURCES: Final[dict[str, Source]] = {}
