"""The years in which something happened, and how much was written on a day."""

from datetime import date

from django.db.models import QuerySet

from graftwright.store.grown import Grown
from graftwright.store.models import WrittenEntry


def years_written() -> tuple[int, ...]:
    """Return every calendar year that an entry happened in, the latest first."""
    return tuple(sorted(_years.now(), reverse=True))


def _with_years(before: frozenset[int], rows: QuerySet[WrittenEntry]) -> frozenset[int]:
    days = rows.order_by().values_list("happened_on", flat=True).distinct()
    return before.union(day.year for day in days)


_years: Grown[frozenset[int]] = Grown(frozenset(), _with_years)


def written_count(day: date) -> int:
    """Return how many entries were written on a day (UTC)."""
    return WrittenEntry.objects.filter(written_at__date=day).count()
