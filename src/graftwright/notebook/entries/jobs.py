"""Entries about the day's jobs themselves: put off, given to somebody; and what the sky did."""

from dataclasses import dataclass
from datetime import date

from graftwright.errors import OutOfRange
from graftwright.notebook.entries.entry import NURSERY_KEY, Entry
from graftwright.tongue import say, told


@dataclass(frozen=True, slots=True, kw_only=True)
class _AboutJob(Entry):
    job: str
    place_code: str = ""
    about_codes: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        Entry.__post_init__(self)
        if not self.job.strip():
            raise OutOfRange(say("no job named; expected the name of a job on the day's list"))

    def concerns(self) -> tuple[str, ...]:
        """Return the nursery's key and the things the job is about."""
        return (NURSERY_KEY, *Entry.concerns(self))


@dataclass(frozen=True, slots=True, kw_only=True)
class JobPutOff(_AboutJob):
    """A job was put off to a day, with the reason; on that day it stands on the list again."""

    until_on: date
    reason: str = ""

    def __post_init__(self) -> None:
        _AboutJob.__post_init__(self)
        if self.until_on <= self.happened_on:
            raise OutOfRange(
                told(
                    "put off from {happened_on} to {until_on}; expected a later day",
                    happened_on=self.happened_on,
                    until_on=self.until_on,
                )
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class JobGiven(_AboutJob):
    """A job at a place was given to somebody by initials; empty initials take it back."""

    to_whom: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class RainMeasured(Entry):
    """So much rain fell on a day [mm]."""

    rain_mm: float

    def __post_init__(self) -> None:
        Entry.__post_init__(self)
        if not 0.0 <= self.rain_mm <= 500.0:
            raise OutOfRange(
                told("{rain_mm:g} mm of rain in a day; expected 0 to 500 mm", rain_mm=self.rain_mm)
            )

    def concerns(self) -> tuple[str, ...]:
        """Return the nursery's key."""
        return (NURSERY_KEY,)


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceWatered(Entry):
    """Everything in a place was watered, with about so much in all [litres], 0 if not measured."""

    place_code: str
    litres: float = 0.0

    def __post_init__(self) -> None:
        Entry.__post_init__(self)
        if not 0.0 <= self.litres <= 1_000_000.0:
            raise OutOfRange(
                told("{litres:g} litres of water; expected 0 or more", litres=self.litres)
            )
