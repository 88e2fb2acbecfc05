"""The day the pages stand on, and the nursery's name: known to every page."""

from datetime import date

from django.conf import settings
from django.http import HttpRequest
from django.utils import timezone


def today() -> date:
    """Return the day the pages stand on: the day asked for at the start, else the real one."""
    chosen: date | None = settings.STAND_ON
    return chosen or timezone.localdate()


def day_and_nursery(_request: HttpRequest) -> dict[str, object]:
    """Return what every page shows at its head."""
    return {"today": today(), "standing_on_a_chosen_day": settings.STAND_ON is not None}
