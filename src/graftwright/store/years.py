"""The years in which something happened, and how much was written on a day."""

from datetime import date

from graftwright.store.models import WrittenEntry


def years_written() -> tuple[int, ...]:
    """Return every calendar year that an entry happened in, the latest first."""
    days = WrittenEntry.objects.dates("happened_on", "year", order="DESC")
    return tuple(day.year for day in days)


def written_count(day: date) -> int:
    """Return how many entries were written on a day (UTC)."""
    return WrittenEntry.objects.filter(written_at__date=day).count()
