"""The day the pages stand on, the nursery's name and the unit chosen: known to every page."""

from datetime import date

from django.conf import settings
from django.db import OperationalError
from django.http import HttpRequest
from django.utils import timezone

from graftwright.store.read import read_notebook
from graftwright.store.sending import open_sending
from graftwright.tongue import Choice

UNIT_COOKIE = "unit"


class LengthUnit(Choice):
    """The unit in which lengths of wood are shown."""

    MM = "mm"
    INCH = "inch"


def today() -> date:
    """Return the day the pages stand on: the day asked for at the start, else the real one.

    What a phone wrote down without signal stands on the day on which it did so.
    """
    chosen: date | None = settings.STAND_ON
    if chosen:
        return chosen
    sending = open_sending()
    return sending.happened_on if sending else timezone.localdate()


def unit_chosen(request: HttpRequest) -> LengthUnit:
    """Return the unit this reader chose; millimetres if none."""
    chosen = request.COOKIES.get(UNIT_COOKIE, "")
    return LengthUnit(chosen) if chosen in set(LengthUnit) else LengthUnit.MM


def day_and_nursery(request: HttpRequest) -> dict[str, object]:
    """Return what every page shows at its head and foot."""
    unit = unit_chosen(request)
    return {
        "today": today(),
        "standing_on_a_chosen_day": settings.STAND_ON is not None,
        "nursery_name": _nursery_name(),
        "unit": unit,
        "other_unit": LengthUnit.INCH if unit is LengthUnit.MM else LengthUnit.MM,
    }


def _nursery_name() -> str:
    try:
        return read_notebook().nursery.name
    except OperationalError:  # no notebook yet: the page itself says so
        return ""
