"""Sources for losses and sizing."""

from typing import Final

from graftwright.sources.source import Source

SOURCES: Final[dict[str, Source]] = {}
