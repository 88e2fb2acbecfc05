"""Which winter a day belongs to."""

from datetime import date

_FIRST_MONTH_NORTH = 8


def season_of(day: date, *, latitude_deg: float | None) -> int:
    """Return the year in which the buds of the winter around this day break.

    North of the equator work from August on is for next year's buds; south of it a calendar year
    holds the whole winter.
    """
    is_south = latitude_deg is not None and latitude_deg < 0
    if is_south or day.month < _FIRST_MONTH_NORTH:
        return day.year
    return day.year + 1
