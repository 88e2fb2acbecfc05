"""The phone's clock against the program's own: when something was done, whatever a phone says.

At each contact the phone learns how far its clock is out, and keeps that with what it writes down.
A few minutes are left alone. More is taken off, and said.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta

from graftwright.errors import NotUnderstood
from graftwright.tongue import counted, say, told

LEFT_ALONE = timedelta(minutes=3)
_FARTHEST = timedelta(days=400)
_MOST_ZONE_MINUTES = 15 * 60


@dataclass(frozen=True, slots=True, kw_only=True)
class Moment:
    """When something was done, put right; the day is the one there.

    `fast_minutes` is how far the phone's clock was ahead (negative: behind), 0 where it was left
    alone. `is_uncertain` when the clock was set between the doing and the sending.
    """

    made_at: datetime
    happened_on: date
    phone_day: date
    fast_minutes: int = 0
    is_uncertain: bool = False

    @property
    def words(self) -> str:
        """What was put right, in words; empty where nothing was."""
        if self.is_uncertain:
            return say("The phone’s clock was set since; the hour of this may be wrong.")
        if not self.fast_minutes:
            return ""
        minutes = counted(abs(self.fast_minutes), "minute", "minutes")
        if self.fast_minutes > 0:
            return told(
                "The phone’s clock was {minutes} ahead; the time was put right.", minutes=minutes
            )
        return told(
            "The phone’s clock was {minutes} behind; the time was put right.", minutes=minutes
        )

    @property
    def mark(self) -> str:
        """The same for the entry's own marks, short."""
        if self.is_uncertain:
            return say(", clock uncertain")
        return (
            told(", clock {fast_minutes:+d} min", fast_minutes=self.fast_minutes)
            if self.fast_minutes
            else ""
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class PhoneClock:
    """What a phone says of its clock: its present time, and how far out it was when last asked.

    `zone_minutes` is what is added to the phone's time to get UTC, as browsers count it.
    """

    phone_now: datetime
    zone_minutes: int = 0
    known_offset: timedelta | None = None

    def moment(self, made_at: datetime, *, now: datetime) -> Moment:
        """Return when something was done that the phone dates to `made_at` by its own clock."""
        offset_now = now - self.phone_now
        offset = offset_now if self.known_offset is None else self.known_offset
        is_uncertain = abs(offset_now - offset) > LEFT_ALONE
        if abs(offset) <= LEFT_ALONE:
            offset = timedelta(0)
        right = min(made_at + offset, now)
        if now - right > _FARTHEST:
            raise NotUnderstood(
                told(
                    "it is dated {date}, more than a year back: set the phone’s clock, "
                    "then write it down again",
                    date=right.date(),
                )
            )
        zone = timedelta(minutes=self.zone_minutes)
        return Moment(
            made_at=right,
            happened_on=(right - zone).date(),
            phone_day=(made_at - zone).date(),
            fast_minutes=-round(offset / timedelta(minutes=1)),
            is_uncertain=is_uncertain,
        )


def clock_from(said: Mapping[str, object], *, now: datetime) -> PhoneClock:
    """Return the clock from what a phone sent: whole milliseconds, and minutes for the zone.

    Raises NotUnderstood for anything else. What is not said is taken as right.
    """
    zone = _whole(said, "zone_minutes") or 0
    if abs(zone) > _MOST_ZONE_MINUTES:
        raise NotUnderstood(told("zone_minutes {zone}; expected -900 to 900", zone=zone))
    offset_ms, now_ms = _whole(said, "known_offset_ms"), _whole(said, "phone_now_ms")
    try:
        return PhoneClock(
            phone_now=now if now_ms is None else instant(now_ms),
            zone_minutes=zone,
            known_offset=None if offset_ms is None else timedelta(milliseconds=offset_ms),
        )
    except OverflowError as far:
        raise NotUnderstood(
            told("known_offset_ms {offset_ms} is no offset of a clock", offset_ms=offset_ms)
        ) from far


def instant(since_1970_ms: int) -> datetime:
    """Return an instant from milliseconds since 1970 (UTC). Raises NotUnderstood far outside."""
    try:
        return datetime.fromtimestamp(since_1970_ms / 1000, UTC)
    except (OverflowError, OSError, ValueError) as far:
        raise NotUnderstood(
            told("{since_1970_ms} ms since 1970 is no time of today", since_1970_ms=since_1970_ms)
        ) from far


def _whole(said: Mapping[str, object], name: str) -> int | None:
    value = said.get(name)
    if value in (None, ""):
        return None
    try:
        return int(str(value))
    except ValueError as wrong:
        raise NotUnderstood(
            told("{name} {value!r}; expected a whole number", name=name, value=str(value)[:40])
        ) from wrong
