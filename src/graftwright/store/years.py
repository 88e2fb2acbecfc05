"""The years in which something happened, as the record has them."""

from graftwright.store.models import WrittenEntry


def years_written() -> tuple[int, ...]:
    """Return every calendar year that an entry happened in, the latest first."""
    days = WrittenEntry.objects.dates("happened_on", "year", order="DESC")
    return tuple(day.year for day in days)
