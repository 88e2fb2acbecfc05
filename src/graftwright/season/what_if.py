"""What a heated bench, a warmer place or a move would change in the dates of the batches."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

from graftwright.climate import BUD_REQUIREMENT, Requirement
from graftwright.errors import OutOfRange
from graftwright.season.cover_batches import BatchForecast, CoverBatch, Stay, forecast
from graftwright.season.place_fit import Ground
from graftwright.season.planned import DateBand
from graftwright.tongue import say, told

COLDEST_KEPT_C = 0.0
HOTTEST_KEPT_C = 30.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """From a day on: another place, or heat to at least so many degrees, or both.

    With `union_only` the heat reaches the unions alone. `batch_key` empty means every batch.
    """

    from_on: date
    place_code: str = ""
    kept_at_c: float | None = None
    union_only: bool = True
    batch_key: str = ""

    def __post_init__(self) -> None:
        if not self.place_code and self.kept_at_c is None:
            raise OutOfRange(
                say("found neither a place nor a temperature; one of them was expected")
            )
        if self.kept_at_c is not None and not COLDEST_KEPT_C <= self.kept_at_c <= HOTTEST_KEPT_C:
            raise OutOfRange(
                told(
                    "found {kept_at_c:g} °C; {COLDEST_KEPT_C:g} to {HOTTEST_KEPT_C:g} °C "
                    "was expected: above that callus is harmed",
                    kept_at_c=self.kept_at_c,
                    COLDEST_KEPT_C=COLDEST_KEPT_C,
                    HOTTEST_KEPT_C=HOTTEST_KEPT_C,
                )
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Difference:
    """A batch as it goes on and as it would go; days are new minus old, None where unknown."""

    old: BatchForecast
    new: BatchForecast
    joined_days: int | None
    buds_move_days: int | None
    tie_off_days: int | None

    @property
    def joined_words(self) -> str:
        """How the day of the knit moves."""
        return days_apart(self.joined_days)

    @property
    def buds_move_words(self) -> str:
        """How the day of moving buds moves."""
        return days_apart(self.buds_move_days)

    @property
    def tie_off_words(self) -> str:
        """How the day for the binding moves."""
        return days_apart(self.tie_off_days)


def days_apart(days: int | None) -> str:
    """Return a difference in words: "9 days earlier", "the same day"."""
    if days is None:
        return say("not known")
    if days == 0:
        return say("the same day")
    count = say("1 day") if abs(days) == 1 else told("{days} days", days=abs(days))
    return f"{count} {say('earlier') if days < 0 else say('later')}"


def differences(
    old: Sequence[BatchForecast],
    *,
    change: Change,
    ground: Ground,
    requirement: Requirement = BUD_REQUIREMENT,
) -> tuple[Difference, ...]:
    """Return each batch that the change concerns, before and after."""
    return tuple(
        _difference(one, change, ground, requirement)
        for one in old
        if change.batch_key in ("", one.batch.key) and one.batch.place_code in ground.fits
    )


def _difference(
    old: BatchForecast, change: Change, ground: Ground, requirement: Requirement
) -> Difference:
    new = forecast(changed(old.batch, change), ground=ground, requirement=requirement)
    return Difference(
        old=old,
        new=new,
        joined_days=_days(old.joined, new.joined),
        buds_move_days=_days(old.buds_move, new.buds_move),
        tie_off_days=_days(old.tie_off, new.tie_off),
    )


def changed(batch: CoverBatch, change: Change) -> CoverBatch:
    """Return the batch as it would stand from the day of the change on."""
    from_on = max(change.from_on, batch.grafted_on)
    kept = tuple(stay for stay in batch.stays if stay.from_on < from_on)
    new = Stay(
        place_code=change.place_code or batch.place_code,
        from_on=from_on,
        kept_at_c=change.kept_at_c,
        union_only=change.union_only,
    )
    return replace(batch, stays=(*kept, new))


def _days(old: DateBand, new: DateBand) -> int | None:
    if old.middle_on is None or new.middle_on is None:
        return None
    return (new.middle_on - old.middle_on).days
