"""A logger's clock read: which moment each stamp means, summer time included."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, tzinfo
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from graftwright.errors import Ambiguous, OutOfRange
from graftwright.tongue import english, marked, told

EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_MINUTE = timedelta(minutes=1)


class ClockHabit(StrEnum):
    """How a logger's clock ran."""

    ZONED = english(marked("each stamp names its zone"))
    LOCAL = english(marked("kept summer time"))
    STANDARD = english(marked("kept standard time all year"))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class StampReading:
    """Minutes since the epoch in UTC, in the order given, and the habit found."""

    minutes: NDArray[np.int64]
    clock: ClockHabit


def read_stamps(stamps: Sequence[datetime], *, zone: tzinfo | None = None) -> StampReading:
    """The moment each stamp means.

    Stamps without a zone are read on the clock of `zone`. An hour that comes twice in autumn is
    told apart by the order of the stamps. A stamp in the hour that spring leaves out shows that the
    logger's clock was never changed: the whole file is then read in standard time.

    Raises
    ------
    Ambiguous
        If some stamps have no zone and none was given.
    OutOfRange
        If stamps with and without a zone are mixed.
    """
    zoned = [stamp.tzinfo is not None for stamp in stamps]
    if all(zoned):
        moments = [stamp.astimezone(UTC) for stamp in stamps]
        return StampReading(minutes=_minutes(moments), clock=ClockHabit.ZONED)
    if any(zoned):
        raise OutOfRange(
            told(
                "found {zoned} of {count} stamps with a time zone; all or none expected",
                zoned=sum(zoned),
                count=len(stamps),
            )
        )
    if zone is None:
        raise Ambiguous(
            told(
                "found {stamps} without a time zone; a zone was expected; say where "
                "the logger's clock was set",
                stamps=stamps[0],
            )
        )
    if any(_left_out(stamp, zone) for stamp in stamps):
        moments = [_in_standard_time(stamp, zone) for stamp in stamps]
        return StampReading(minutes=_minutes(moments), clock=ClockHabit.STANDARD)
    return StampReading(minutes=_minutes(_told_apart(stamps, zone)), clock=ClockHabit.LOCAL)


def _minutes(moments: Sequence[datetime]) -> NDArray[np.int64]:
    return np.array([(moment - EPOCH) // _MINUTE for moment in moments], dtype=np.int64)


def _left_out(stamp: datetime, zone: tzinfo) -> bool:
    """True for a clock reading that never came because spring skipped it."""
    there_and_back = stamp.replace(tzinfo=zone).astimezone(UTC).astimezone(zone)
    return there_and_back.replace(tzinfo=None) != stamp


def _in_standard_time(stamp: datetime, zone: tzinfo) -> datetime:
    local = stamp.replace(tzinfo=zone)
    summer = local.dst() or timedelta(0)
    return local.astimezone(UTC) + summer if not _left_out(stamp, zone) else local.astimezone(UTC)


def _told_apart(stamps: Sequence[datetime], zone: tzinfo) -> list[datetime]:
    moments: list[datetime] = []
    for stamp in stamps:
        first = stamp.replace(tzinfo=zone, fold=0).astimezone(UTC)
        second = stamp.replace(tzinfo=zone, fold=1).astimezone(UTC)
        comes_again = bool(moments) and second > first and moments[-1] >= first
        moments.append(second if comes_again else first)
    return moments
