"""Spring after spring at one place: when each variety flowered, and which flowered together."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from statistics import fmean

from graftwright.errors import GapInSeries
from graftwright.tongue import say, told

# A pair counts as together in a spring from this many days in common (as in `pollen`).
TOGETHER_DAYS = 2.0
_ONE_IN_TEN = 0.1


@dataclass(frozen=True, slots=True, kw_only=True)
class SpringFlowering:
    """One variety in one spring: its full flower lies between two days of the year.

    `length_days` is how long its flowers are open in that spring.
    """

    full_from_doy: float
    full_to_doy: float
    length_days: float

    @property
    def open_from_doy(self) -> float:
        """The earliest day on which flowers may be open."""
        return self.full_from_doy - self.length_days / 2.0

    @property
    def open_to_doy(self) -> float:
        """The latest day on which flowers may be open."""
        return self.full_to_doy + self.length_days / 2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class TogetherSprings:
    """How two varieties met over the springs of a place.

    Of `spring_count` springs they flowered together in `low_count` to `high_count`, by the latest
    and the earliest reading of their days. The days in common are those of nine springs in ten.
    """

    spring_count: int
    low_count: int
    high_count: int
    low_days: float
    high_days: float

    @property
    def words(self) -> str:
        """How often they met, as a phrase: "in 20 to 29 of 29 springs"."""
        if self.low_count == self.high_count:
            return told(
                "in {low_count} of {spring_count} springs",
                low_count=self.low_count,
                spring_count=self.spring_count,
            )
        return told(
            "in {low_count} to {high_count} of {spring_count} springs",
            low_count=self.low_count,
            high_count=self.high_count,
            spring_count=self.spring_count,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class FloweringSprings:
    """The flowering of many varieties over the same springs of one place, by variety key."""

    years: tuple[int, ...]
    by_key: Mapping[str, tuple[SpringFlowering, ...]]

    def __post_init__(self) -> None:
        wrong = [key for key, springs in self.by_key.items() if len(springs) != len(self.years)]
        if wrong or not self.years:
            raise GapInSeries(
                told(
                    "{count} springs, not one each for {listed}; expected one flowering a "
                    "spring; leave the variety out",
                    count=len(self.years),
                    listed=", ".join(wrong) or say("any variety"),
                )
            )

    def together(self, one_key: str, other_key: str) -> TogetherSprings | None:
        """Tell how two varieties met, or None where either's days are not known."""
        one, other = self.by_key.get(one_key), self.by_key.get(other_key)
        if one is None or other is None:
            return None
        pairs = [common_days(a, b) for a, b in zip(one, other, strict=True)]
        return TogetherSprings(
            spring_count=len(pairs),
            low_count=sum(low >= TOGETHER_DAYS for low, _ in pairs),
            high_count=sum(high >= TOGETHER_DAYS for _, high in pairs),
            low_days=_all_but_one_in_ten([low for low, _ in pairs]),
            high_days=fmean(high for _, high in pairs),
        )


def common_days(one: SpringFlowering, other: SpringFlowering) -> tuple[float, float]:
    """The fewest and most days in flower together in one spring.

    The fewest where the two come to full flower as far apart as their days allow, the most where
    they come as near.
    """
    length_days = (one.length_days + other.length_days) / 2.0
    farthest = max(other.full_to_doy - one.full_from_doy, one.full_to_doy - other.full_from_doy)
    nearest = max(0.0, other.full_from_doy - one.full_to_doy, one.full_from_doy - other.full_to_doy)
    return max(0.0, length_days - farthest), max(0.0, length_days - nearest)


def _all_but_one_in_ten(days: Sequence[float]) -> float:
    """What nine springs in ten reach."""
    ordered = sorted(days)
    return ordered[int(_ONE_IN_TEN * len(ordered))]
