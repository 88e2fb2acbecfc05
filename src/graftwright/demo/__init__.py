"""The invented nursery in which demo and pictures play, in really recorded weather."""

from graftwright.demo.codebook import demo_codes
from graftwright.demo.messy import messy_workbook
from graftwright.demo.neighbours import demo_neighbours
from graftwright.demo.record import RecordedTemperatures, recorded_temperatures
from graftwright.demo.story import (
    DEFAULT_DAY,
    FIRST_DAY,
    LAST_DAY,
    entries_until,
    lived_entries,
)
from graftwright.demo.workbook import demo_workbook

__all__ = [
    "DEFAULT_DAY",
    "FIRST_DAY",
    "LAST_DAY",
    "RecordedTemperatures",
    "demo_codes",
    "demo_neighbours",
    "demo_workbook",
    "entries_until",
    "lived_entries",
    "messy_workbook",
    "recorded_temperatures",
]
