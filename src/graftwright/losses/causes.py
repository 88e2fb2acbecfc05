"""Why did these fail? Likely causes ranked with their counts, or "cannot tell".

Every level of every factor recorded is a suspect: a bundle of wood, a day, a pair of hands, a lot
of stocks. A suspect is claimed only if failures crowd in it more than the worst of all suspects
would show once in so many shufflings of the outcomes over the same grafts; so the chance of any
claim at all, when failures are random, stays below the alarm rate. Suspects that cover the same
grafts cannot be told apart, and that is said.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from graftwright.errors import OutOfRange
from graftwright.losses.chain import FloatArray
from graftwright.losses.precision import IntArray
from graftwright.losses.stages import checked_level
from graftwright.tongue import say, told

SHUFFLES_COUNT: Final = 999
# suspects that share this much of their grafts cannot be told apart
_SAME_FRACTION: Final = 0.9
_MOST_CAUSES_COUNT: Final = 5
# enough to be quick, few enough that thousands of grafts fit into memory
_SHUFFLES_AT_ONCE: Final = 250


@dataclass(frozen=True, slots=True, kw_only=True)
class FailureCount:
    """Grafts alike in everything recorded, with a decided outcome, and how many of them failed.

    `levels` has one word a factor. A stock that died goes to its lot and pot mix, not here.
    """

    levels: tuple[str, ...]
    grafts_count: int
    failed_count: int

    def __post_init__(self) -> None:
        if not 0 <= self.failed_count <= self.grafts_count:
            raise OutOfRange(
                told(
                    "{failed_count} failed of {grafts_count}; the failed must be between 0 "
                    "and the grafts made; check the tally",
                    failed_count=self.failed_count,
                    grafts_count=self.grafts_count,
                )
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Suspect:
    """One level of one factor, its failures and those of all other grafts.

    `chance_fraction` is how often random failures alone would make the worst suspect look as bad.
    """

    factor: str
    level: str
    failed_count: int
    grafts_count: int
    other_failed_count: int
    other_grafts_count: int
    chance_fraction: float
    is_claimed: bool
    inseparable_from: tuple[str, ...] = ()

    def words(self) -> str:
        """Say it in a sentence, counts first."""
        counted = told(
            "{factor} {level}: {failed_count} of {grafts_count} failed, elsewhere "
            "{other_failed_count} of {other_grafts_count}",
            factor=self.factor,
            level=self.level,
            failed_count=self.failed_count,
            grafts_count=self.grafts_count,
            other_failed_count=self.other_failed_count,
            other_grafts_count=self.other_grafts_count,
        )
        if not self.is_claimed:
            return told("{counted}; cannot tell this from chance", counted=counted)
        if self.inseparable_from:
            others = ", ".join(self.inseparable_from)
            return told(
                "{counted}; cannot be separated from {others}: they are the same grafts",
                counted=counted,
                others=others,
            )
        return counted


@dataclass(frozen=True, slots=True, kw_only=True)
class CauseReport:
    """Suspects, likeliest first; the claimed ones stand before the others."""

    suspects: tuple[Suspect, ...]

    @property
    def claimed(self) -> tuple[Suspect, ...]:
        """The suspects that random failures would hardly explain."""
        return tuple(suspect for suspect in self.suspects if suspect.is_claimed)

    def words(self) -> str:
        """Say the verdict, one sentence a claimed suspect."""
        if not self.claimed:
            return say("cannot tell: nothing recorded stands out from chance")
        return "; ".join(suspect.words() for suspect in self.claimed)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Bench:
    """All suspects over the single grafts: `members` has shape (suspects, grafts), 0 or 1."""

    names: tuple[tuple[str, str], ...]
    members: FloatArray
    failed: FloatArray


def likely_causes(
    counts: Sequence[FailureCount],
    *,
    factors: Sequence[str],
    seed: int,
    alarm_fraction: float = 0.1,
    shuffles_count: int = SHUFFLES_COUNT,
) -> CauseReport:
    """Rank what may have caused the failures.

    Parameters
    ----------
    counts
        Grafts by everything recorded of them.
    factors
        Names of the factors, in the order of the levels.
    seed
        Seed of the shufflings.
    alarm_fraction
        How often a claim may be made though failures are random.
    shuffles_count
        Shufflings of the outcomes; more give finer chances.

    Returns
    -------
    CauseReport
        After a cause is claimed, the rest are judged within the grafts it covers and within those
        it does not, so that what merely goes with it is not claimed as well.
    """
    checked_level(alarm_fraction)
    bench = _bench(counts, factors)
    if bench.failed.size == 0:
        return CauseReport(suspects=())
    rng = np.random.default_rng(seed)
    strata = np.zeros(bench.failed.size, dtype=np.intp)
    claimed: list[Suspect] = []
    left = np.ones(len(bench.names), dtype=bool)
    while True:
        scores = _scores(bench, strata)
        scores[~left] = -np.inf
        chances = _chances(bench, strata, scores, left, rng, shuffles_count)
        top = int(np.argmax(scores)) if left.any() else 0
        if not left.any() or chances[top] > alarm_fraction or len(claimed) >= _MOST_CAUSES_COUNT:
            break
        same = _inseparable(bench, top)
        claimed.append(_suspect(bench, top, float(chances[top]), claimed=True, same=same))
        left[[top, *same]] = False
        strata = strata * 2 + bench.members[top].astype(np.intp)
    order = [int(place) for place in np.argsort(-scores, kind="stable") if left[place]]
    rest = [_suspect(bench, place, float(chances[place]), claimed=False) for place in order]
    return CauseReport(suspects=(*claimed, *rest))


def _bench(counts: Sequence[FailureCount], factors: Sequence[str]) -> _Bench:
    for count in counts:
        if len(count.levels) != len(factors):
            raise OutOfRange(
                told(
                    "{count} levels for the factors {listed}; expected one each; write "
                    "'not recorded' where nothing was",
                    count=len(count.levels),
                    listed=", ".join(factors),
                )
            )
    grafts = np.array([count.grafts_count for count in counts], dtype=np.intp)
    row_of_graft = np.repeat(np.arange(len(counts)), grafts)
    failures = np.array([count.failed_count for count in counts], dtype=np.intp)
    first = np.concatenate(([0], np.cumsum(grafts)[:-1])) if len(counts) else grafts
    place_in_row = np.arange(len(row_of_graft)) - first[row_of_graft]
    failed = (place_in_row < failures[row_of_graft]).astype(np.float64)
    names, members = [], []
    for place, factor in enumerate(factors):
        words = np.array([count.levels[place] for count in counts])
        for level in sorted(set(words.tolist())):
            is_member = (words == level)[row_of_graft]
            # the whole bench, or a single graft, cannot stand out
            if 2 <= int(is_member.sum()) < failed.size:
                names.append((factor, level))
                members.append(is_member.astype(np.float64))
    return _Bench(
        names=tuple(names),
        members=np.array(members).reshape(len(names), failed.size),
        failed=failed,
    )


def _scores(bench: _Bench, strata: IntArray) -> FloatArray:
    """Give how far failures in each suspect exceed their share, in standard deviations."""
    return np.asarray(_scores_of(bench, strata, bench.failed[None, :])[0])


def _scores_of(bench: _Bench, strata: IntArray, outcomes: FloatArray) -> FloatArray:
    """Give the same for many outcomes that are shuffles of one another within the strata.

    `outcomes` has shape (outcomes, grafts), the result (outcomes, suspects).
    """
    excess = np.zeros((len(outcomes), len(bench.names)))
    variance = np.zeros(len(bench.names))
    for stratum in np.unique(strata):
        inside = strata == stratum
        total = int(inside.sum())
        if total < 2:
            continue
        members = bench.members[:, inside]
        # shuffling within the stratum leaves its share as it was
        share = bench.failed[inside].mean()
        size = members.sum(axis=1)
        excess += outcomes[:, inside] @ members.T - size * share
        variance += size * (total - size) / (total - 1) * share * (1.0 - share)
    spread = np.broadcast_to(np.sqrt(variance), excess.shape)
    return np.asarray(np.divide(excess, spread, out=np.zeros_like(excess), where=spread > 1e-6))


def _chances(
    bench: _Bench,
    strata: IntArray,
    scores: FloatArray,
    left: np.ndarray[tuple[int, ...], np.dtype[np.bool_]],
    rng: np.random.Generator,
    shuffles_count: int,
) -> FloatArray:
    """Give for each suspect how often the worst of all, outcomes shuffled, looks as bad."""
    if not left.any():
        return np.ones(len(scores))
    worst: list[float] = []
    while len(worst) < shuffles_count:
        block = min(_SHUFFLES_AT_ONCE, shuffles_count - len(worst))
        shuffled = np.tile(bench.failed, (block, 1))
        for stratum in np.unique(strata):
            group = np.flatnonzero(strata == stratum)
            shuffled[:, group] = rng.permuted(shuffled[:, group], axis=1)
        worst += _scores_of(bench, strata, shuffled)[:, left].max(axis=1).tolist()
    beaten = (np.array(worst)[:, None] >= scores - 1e-9).sum(axis=0)
    return np.asarray((1.0 + beaten) / (1.0 + shuffles_count))


def _inseparable(bench: _Bench, place: int) -> list[int]:
    """Give the suspects that cover nearly the same grafts."""
    mine = bench.members[place]
    shared = bench.members @ mine
    either = bench.members.sum(axis=1) + mine.sum() - shared
    alike = shared / either >= _SAME_FRACTION
    return [int(other) for other in np.flatnonzero(alike) if other != place]


def _suspect(
    bench: _Bench,
    place: int,
    chance_fraction: float,
    *,
    claimed: bool,
    same: Sequence[int] = (),
) -> Suspect:
    factor, level = bench.names[place]
    grafts_count = int(bench.members[place].sum())
    failed_count = int(bench.members[place] @ bench.failed)
    return Suspect(
        factor=factor,
        level=level,
        failed_count=failed_count,
        grafts_count=grafts_count,
        other_failed_count=int(bench.failed.sum()) - failed_count,
        other_grafts_count=bench.failed.size - grafts_count,
        chance_fraction=chance_fraction,
        is_claimed=claimed,
        inseparable_from=tuple(" ".join(bench.names[other]) for other in same),
    )
