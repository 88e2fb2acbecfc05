"""Sources for wood, cuts and joins."""

from typing import Final

from graftwright.sources.source import Source

SOURCES: Final[dict[str, Source]] = {}
