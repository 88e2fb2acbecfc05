"""What is expected of tonight and tomorrow, and what false and missed alarms cost: as written down.

They are kept as the person's own practice, dated; an expected night counts on its own day alone.
"""

from dataclasses import dataclass
from datetime import date
from math import isfinite

from graftwright.notebook.entries import PracticeSet
from graftwright.notebook.standing import Nursery
from graftwright.season.frost_watch import AlarmCosts
from graftwright.tongue import marked

EXPECTED_LOW = marked("lowest expected tonight")
EXPECTED_HIGH = marked("highest expected tomorrow")
FALSE_ALARM_COST = marked("cost of a false frost alarm")
MISS_COST = marked("cost of a frost missed")


@dataclass(frozen=True, slots=True, kw_only=True)
class ExpectedNight:
    """The lowest outdoors tonight and the highest tomorrow, None where not written down. [°C]"""

    low_c: float | None = None
    high_c: float | None = None
    words: str = ""


def expected_night(nursery: Nursery, *, today: date) -> ExpectedNight:
    """Return what was written down today about the coming night and day."""
    low, high = _said(nursery, EXPECTED_LOW, today), _said(nursery, EXPECTED_HIGH, today)
    said = low or high
    return ExpectedNight(low_c=_number(low), high_c=_number(high), words=said.words if said else "")


def alarm_costs(nursery: Nursery) -> AlarmCosts:
    """Return the person's own costs, else the usual ones."""
    usual = AlarmCosts()
    false_alarm = _number(_said(nursery, FALSE_ALARM_COST, None))
    miss = _number(_said(nursery, MISS_COST, None))
    return AlarmCosts(
        false_alarm=false_alarm if false_alarm and false_alarm > 0.0 else usual.false_alarm,
        miss=miss if miss and miss > 0.0 else usual.miss,
    )


def expected_entries(
    *, today: date, low_c: float | None, high_c: float | None, words: str
) -> tuple[PracticeSet, ...]:
    """Return the entries that write an expected night down."""
    pairs = ((EXPECTED_LOW, low_c), (EXPECTED_HIGH, high_c))
    return tuple(
        PracticeSet(happened_on=today, practice=practice, value=f"{value:g}", words=words)
        for practice, value in pairs
        if value is not None
    )


def cost_entries(costs: AlarmCosts, *, today: date) -> tuple[PracticeSet, ...]:
    """Return the entries that write the costs down."""
    pairs = ((FALSE_ALARM_COST, costs.false_alarm), (MISS_COST, costs.miss))
    return tuple(
        PracticeSet(happened_on=today, practice=practice, value=f"{value:g}")
        for practice, value in pairs
    )


def _said(nursery: Nursery, practice: str, on: date | None) -> PracticeSet | None:
    for own in nursery.practices:
        if own.practice == practice and on in (None, own.happened_on):
            return own
    return None


def _number(said: PracticeSet | None) -> float | None:
    try:
        value = float(said.value.replace(",", ".")) if said else None
    except ValueError:
        return None
    return value if value is not None and isfinite(value) else None
