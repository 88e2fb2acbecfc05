"""The book of forecasts: every forecast as it was made, none replaced by a later one."""

from collections.abc import Iterable
from dataclasses import dataclass

from graftwright.notebook.entries import ForecastMade, Written


@dataclass(frozen=True, slots=True, kw_only=True)
class ForecastBook:
    """All forecasts kept, in the order in which they were made."""

    made: tuple[ForecastMade, ...] = ()


def fold_forecasts(written: Iterable[Written]) -> ForecastBook:
    """Return the book of forecasts."""
    return ForecastBook(
        made=tuple(one.entry for one in written if isinstance(one.entry, ForecastMade))
    )
