"""The chain of losses from cut to hand-over, and what is believed of each link.

Every rate is conditional on the stage before: a winter's losses are counted among the trees that
entered that winter. A graft still undecided at a check is in neither count, and a tree sold, given
away or re-worked leaves both counts at that moment; it is not a loss.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import ceil, floor, inf, isfinite
from typing import Final, TypeAlias

from scipy.special import betaincinv

from graftwright.errors import OutOfRange
from graftwright.tongue import Choice, marked, told


class Stage(Choice):
    """The four named links of the chain; "saleable" is the tree fit to hand over."""

    TAKE = "take"
    SHOOT = "shoot"
    FIRST_WINTER = "first winter"
    SALEABLE = "saleable"


STAGE_ORDER: Final = (Stage.TAKE, Stage.SHOOT, Stage.FIRST_WINTER, Stage.SALEABLE)


@dataclass(frozen=True, slots=True, kw_only=True)
class RateInterval:
    """A range for a rate, both ends between 0 and 1 as fractions."""

    low_fraction: float
    high_fraction: float

    def holds(self, rate_fraction: float) -> bool:
        """Say whether a rate lies in the range, ends included."""
        return self.low_fraction <= rate_fraction <= self.high_fraction

    def words(self) -> str:
        """Say the range as a grafter would: "between 6 and 9 of 10".

        The ends are rounded outwards. A range narrower than one in ten is said of 100.
        """
        width_fraction = self.high_fraction - self.low_fraction
        whole_count = 10 if width_fraction >= 0.1 else 100
        # 1e-9 keeps 0.3 * 10 = 3.0000000000000004 from being rounded up to 4
        low_count = floor(self.low_fraction * whole_count + 1e-9)
        high_count = ceil(self.high_fraction * whole_count - 1e-9)
        if low_count == high_count:
            return told(
                "about {low_count} of {whole_count}", low_count=low_count, whole_count=whole_count
            )
        return told(
            "between {low_count} and {high_count} of {whole_count}",
            low_count=low_count,
            high_count=high_count,
            whole_count=whole_count,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class BetaRate:
    """A rate known as Beta(a, b): as if a lived and b were lost of a + b."""

    a: float
    b: float

    def __post_init__(self) -> None:
        for name, value in (("a", self.a), ("b", self.b)):
            if not (isfinite(value) and 0.0 < value < inf):
                raise OutOfRange(
                    told(
                        "a rate with {name} = {value}; both a and b must be above 0; start "
                        "from a prior belief and add the counts to it",
                        name=name,
                        value=value,
                    )
                )

    @property
    def mean(self) -> float:
        """Expected rate. [fraction]"""
        return self.a / (self.a + self.b)

    @property
    def precision(self) -> float:
        """How many grafts the knowledge is worth, a + b. [grafts]"""
        return self.a + self.b

    @property
    def variance(self) -> float:
        """Spread of the belief about the mean, squared. [fraction squared]"""
        return self.mean * (1.0 - self.mean) / (self.precision + 1.0)

    def interval(self, level_fraction: float = 0.9) -> RateInterval:
        """Give the range between equal tails that holds the rate with this chance."""
        tail_fraction = (1.0 - checked_level(level_fraction)) / 2.0
        return RateInterval(
            low_fraction=float(betaincinv(self.a, self.b, tail_fraction)),
            high_fraction=float(betaincinv(self.a, self.b, 1.0 - tail_fraction)),
        )

    def words(self, level_fraction: float = 0.9) -> str:
        """Say the range in words: "between 6 and 9 of 10"."""
        return self.interval(level_fraction).words()

    def updated(self, *, alive_count: int, lost_count: int) -> "BetaRate":
        """Add what was counted to what was believed."""
        if alive_count < 0 or lost_count < 0:
            raise OutOfRange(
                told(
                    "{alive_count} alive and {lost_count} lost; counts cannot be negative; "
                    "check the tally",
                    alive_count=alive_count,
                    lost_count=lost_count,
                )
            )
        return BetaRate(a=self.a + alive_count, b=self.b + lost_count)

    def as_known_from(self, grafts_precision: float) -> "BetaRate":
        """Keep the mean, and hold it only as firmly as this many grafts would."""
        return BetaRate(a=self.mean * grafts_precision, b=(1.0 - self.mean) * grafts_precision)


RateLike: TypeAlias = BetaRate | tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class StageCounts:
    """How many entered a stage with a decided outcome, and how many of them came through."""

    stage: Stage
    started_count: int
    alive_count: int

    def __post_init__(self) -> None:
        if not 0 <= self.alive_count <= self.started_count:
            raise OutOfRange(
                told(
                    "{alive_count} alive of {started_count} at the stage {stage}; the "
                    "living must be between 0 and those that started; check the tally",
                    alive_count=self.alive_count,
                    started_count=self.started_count,
                    stage=self.stage,
                )
            )

    @property
    def lost_count(self) -> int:
        """How many did not come through."""
        return self.started_count - self.alive_count


@dataclass(frozen=True, slots=True, kw_only=True)
class PriorBelief:
    """What is believed of a stage before any count of one's own, and on what ground.

    `rate` serves one line of trees; `logit_mean` and `logit_sd` describe the general level on the
    logit scale for the model of take. `source` is a key of the bibliography, or None where the
    figures are a choice; `basis` says so in words to be shown beside the number.
    """

    stage: Stage
    rate: BetaRate
    logit_mean: float
    logit_sd: float
    source: str | None
    basis: str


# Five public tallies of apple bench grafts, 250 of 326 alive (35, 25, 121, 45 and 100 grafts):
# beta-binomial mean 0.75, spread between reports 0.07, that is a + b = 38.
GENERAL_TAKE_RATE: Final = BetaRate(a=0.75 * 38.0, b=0.25 * 38.0)

# Mean and variance of expit(N(1.4, 1)) and expit(N(2.5, 1)) matched by a Beta: one line of one
# variety differs from the general rate more than one report differs from another.
_ONE_LINE_TAKE: Final = BetaRate(a=4.54, b=1.41)
_ONE_LINE_LATER: Final = BetaRate(a=8.51, b=1.00)

_LATER_BASIS: Final = marked(
    "a choice, no published counts: about 9 of 10 come through, held as loosely as 10 trees would"
)

PRIOR_BELIEFS: Final[tuple[PriorBelief, ...]] = (
    PriorBelief(
        stage=Stage.TAKE,
        rate=_ONE_LINE_TAKE,
        logit_mean=1.4,
        logit_sd=1.0,
        source="PublicTallies",
        basis=marked("five public tallies of apple bench grafts, 57 to 96 of 100 alive"),
    ),
    *(
        PriorBelief(
            stage=stage,
            rate=_ONE_LINE_LATER,
            logit_mean=2.5,
            logit_sd=1.0,
            source=None,
            basis=_LATER_BASIS,
        )
        for stage in STAGE_ORDER[1:]
    ),
)


def prior_belief(stage: Stage) -> PriorBelief:
    """Give what is believed of a stage before any count of one's own."""
    return PRIOR_BELIEFS[STAGE_ORDER.index(stage)]


def rates_from_counts(
    counts: Iterable[StageCounts], *, stages: Sequence[Stage] = STAGE_ORDER
) -> tuple[BetaRate, ...]:
    """Give the rate of each stage: the prior belief, updated by every count of that stage.

    Parameters
    ----------
    counts
        Any number of counts, in any order; stages without a count keep their prior belief.
    stages
        The stages wanted, in order.

    Returns
    -------
    tuple of BetaRate
        One rate a stage, in the order asked.
    """
    tallies = tuple(counts)
    rates = []
    for stage in stages:
        mine = [tally for tally in tallies if tally.stage is stage]
        rates.append(
            prior_belief(stage).rate.updated(
                alive_count=sum(tally.alive_count for tally in mine),
                lost_count=sum(tally.lost_count for tally in mine),
            )
        )
    return tuple(rates)


def as_rate(rate: RateLike) -> BetaRate:
    """Take a rate written as BetaRate or as a pair (a, b)."""
    if isinstance(rate, BetaRate):
        return rate
    a, b = rate
    return BetaRate(a=a, b=b)


def chain_mean(stage_rates: Sequence[RateLike]) -> float:
    """Give the expected share that comes through every stage. [fraction]"""
    share_fraction = 1.0
    for rate in stage_rates:
        share_fraction *= as_rate(rate).mean
    return share_fraction


def chain_rate(stage_rates: Sequence[RateLike]) -> BetaRate:
    """Give one Beta with the mean and variance of the product of independent stage rates.

    Good for showing a range of the final rate; the sizing works on the exact chain instead.
    """
    mean = chain_mean(stage_rates)
    second_moment = 1.0
    for rate in map(as_rate, stage_rates):
        second_moment *= rate.variance + rate.mean**2
    variance = second_moment - mean**2
    precision = mean * (1.0 - mean) / variance - 1.0
    return BetaRate(a=mean * precision, b=(1.0 - mean) * precision)


def checked_level(level_fraction: float) -> float:
    """Return a level if it lies strictly between 0 and 1, else raise OutOfRange."""
    if not 0.0 < level_fraction < 1.0:
        raise OutOfRange(
            told(
                "a level of {level_fraction}; it must lie between 0 and 1, ends left "
                "out; write nine in ten as 0.9",
                level_fraction=level_fraction,
            )
        )
    return level_fraction
