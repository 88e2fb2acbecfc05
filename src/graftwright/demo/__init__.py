"""The invented nursery in which demo and pictures play, in really recorded weather."""

from graftwright.demo.codebook import demo_codes
from graftwright.demo.record import RecordedTemperatures, recorded_temperatures
from graftwright.demo.story import (
    DEFAULT_DAY,
    FIRST_DAY,
    LAST_DAY,
    entries_until,
    lived_entries,
)

__all__ = [
    "DEFAULT_DAY",
    "FIRST_DAY",
    "LAST_DAY",
    "RecordedTemperatures",
    "demo_codes",
    "entries_until",
    "lived_entries",
    "recorded_temperatures",
]
