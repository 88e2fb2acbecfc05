"""Forecasts as they were made, kept so that results can be held against them later."""

from dataclasses import dataclass
from datetime import date
from math import isfinite

from graftwright.errors import OutOfRange
from graftwright.notebook.entries.entry import FORECASTS_KEY, Entry


@dataclass(frozen=True, slots=True, kw_only=True)
class Foretold:
    """What was foretold of one stage of one line: its rate, and the grafts planned then.

    The rate is a Beta: as sure as if so many grafts had lived and so many been lost. From it follow
    the chances of each number of living, whatever number of grafts was made in the end.
    """

    promise_code: str
    variety: str
    stock: str
    stage: str
    graft_count: int
    lived_grafts: float
    lost_grafts: float

    def __post_init__(self) -> None:
        for grafts in (self.lived_grafts, self.lost_grafts):
            if not (isfinite(grafts) and grafts > 0.0):
                raise OutOfRange(
                    f"a forecast of {self.stage} for {self.variety} that rests on {grafts} grafts; "
                    f"expected more than 0"
                )
        if self.graft_count < 0:
            raise OutOfRange(f"a forecast for {self.graft_count} grafts; expected 0 or more")


@dataclass(frozen=True, slots=True, kw_only=True)
class ForecastMade(Entry):
    """A plan was acted upon, and what it foretold was kept.

    `known_on` is the last day of the notebook it rests on; `model` says how it was reckoned.
    """

    season: int
    known_on: date
    model: str
    lines: tuple[Foretold, ...]

    def __post_init__(self) -> None:
        Entry.__post_init__(self)
        if not self.lines:
            raise OutOfRange("a forecast of nothing; keep one only when a plan foretells something")
        if self.known_on > self.happened_on:
            raise OutOfRange(
                f"a forecast made on {self.happened_on} from what was known on {self.known_on}; "
                f"expected that day or an earlier one"
            )

    def concerns(self) -> tuple[str, ...]:
        """Return the key of the book of forecasts."""
        return (FORECASTS_KEY,)
