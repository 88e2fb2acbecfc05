"""Forecasts as they were made, kept so that results can be held against them later."""

from dataclasses import dataclass
from datetime import date
from math import isfinite

from graftwright.errors import OutOfRange
from graftwright.notebook.entries.entry import FORECASTS_KEY, Entry
from graftwright.tongue import say, told


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
                    told(
                        "a forecast of {stage} for {variety} that rests on {grafts} grafts; "
                        "expected more than 0",
                        stage=self.stage,
                        variety=self.variety,
                        grafts=grafts,
                    )
                )
        if self.graft_count < 0:
            raise OutOfRange(
                told(
                    "a forecast for {graft_count} grafts; expected 0 or more",
                    graft_count=self.graft_count,
                )
            )


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
            raise OutOfRange(
                say("a forecast of nothing; keep one only when a plan foretells something")
            )
        if self.known_on > self.happened_on:
            raise OutOfRange(
                told(
                    "a forecast made on {happened_on} from what was known on {known_on}; "
                    "expected that day or an earlier one",
                    happened_on=self.happened_on,
                    known_on=self.known_on,
                )
            )

    def concerns(self) -> tuple[str, ...]:
        """Return the key of the book of forecasts."""
        return (FORECASTS_KEY,)
