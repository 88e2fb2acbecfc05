"""Sources for size, compatibility and flowering."""

from typing import Final

from graftwright.sources.source import Source

SOURCES: Final[dict[str, Source]] = {}
