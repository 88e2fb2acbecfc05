"""The book of forecasts: kept when a plan is acted upon, held against results afterwards.

A forecast counts only if it was kept before the first result of its line and stage was known; of
several, the last such one. It foretells a rate, so it can be held against however many grafts were
made in the end; grafts still waiting are left out until they are decided.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Final

from graftwright.losses import (
    BetaRate,
    KeptPrediction,
    Outcome,
    RateInterval,
    SeasonCalibration,
    count_chances_of,
    season_calibration,
)
from graftwright.notebook.entries import ForecastMade, Foretold
from graftwright.notebook.standing import ForecastBook
from graftwright.season.belief import STAGE_WORDS
from graftwright.season.graft_counts import GraftCount, summed
from graftwright.season.planned import Plan
from graftwright.tongue import marked, say, told

MODEL: Final = marked("rates of each stage as in the plan, one Beta a line and stage")
COVERAGES: Final = (0.5, 0.8, 0.9)
FEW_COUNT: Final = 20
"""Fewer forecasts than this cannot tell honest ranges from dishonest ones (a judgement)."""

_SEED: Final = 2_009
_FIFTHS: Final = 5
_ROUND_DIGITS: Final = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class HeldForecast:
    """A forecast with what came of it: the range foretold for the grafts decided, and the count.

    The range holds nine results of ten, or a little more, as counts have jumps.
    """

    season: int
    made_on: date
    variety: str
    stock: str
    promise_code: str
    stage: str
    decided_count: int
    low_count: int
    high_count: int
    expected_count: float
    came_count: int

    @property
    def is_inside(self) -> bool:
        """Whether the count fell inside its range."""
        return self.low_count <= self.came_count <= self.high_count


@dataclass(frozen=True, slots=True, kw_only=True)
class Coverage:
    """How often results fell inside ranges that should hold this share of them."""

    level_fraction: float
    inside_count: int
    of_count: int
    share: RateInterval
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ForecastsHeld:
    """The book opened: every forecast with its result, coverage, and where results fell.

    `fifths` counts results by fifths of their forecasts, lowest first; honest forecasts fill them
    evenly. `waiting_count` forecasts have no result yet; `too_late_count` lines had results before
    any forecast was kept.
    """

    held: tuple[HeldForecast, ...]
    coverage: tuple[Coverage, ...]
    fifths: tuple[int, ...]
    waiting_count: int
    too_late_count: int
    words: str


def forecast_of(plan: Plan) -> ForecastMade | None:
    """Return what a plan foretells, to be kept when it is acted upon; None if it plans nothing."""
    lines = tuple(
        Foretold(
            promise_code=line.promise_code,
            variety=line.variety,
            stock=line.stock,
            stage=rate.stage,
            graft_count=line.planned_count,
            lived_grafts=round(rate.a, _ROUND_DIGITS),
            lost_grafts=round(rate.b, _ROUND_DIGITS),
        )
        for line in plan.lines
        if line.planned_count
        for rate in line.rates
    )
    if not lines:
        return None
    return ForecastMade(
        happened_on=plan.made_on,
        season=plan.season,
        known_on=plan.made_on,
        model=MODEL,
        lines=lines,
    )


def is_news(forecast: ForecastMade, book: ForecastBook) -> bool:
    """Return whether the season's last forecast kept says anything else."""
    kept = [one for one in book.made if one.season == forecast.season]
    return not kept or kept[-1].lines != forecast.lines


def forecasts_held(book: ForecastBook, counts: Sequence[GraftCount]) -> ForecastsHeld:
    """Hold every forecast against what came of it."""
    results = _results(counts)
    pairs, late = [], 0
    for key, mine in results.items():
        found = _last_before(book, key, _first_known(mine))
        if found:
            pairs.append((*found, *summed(mine)))
        else:
            late += key[0] in {one.season for one in book.made}
    foretold = {
        (one.season, line.promise_code, line.variety, line.stock, line.stage)
        for one in book.made
        for line in one.lines
    }
    pairs.sort(key=_reading_order)
    opened = [_calibration(pairs, level_fraction) for level_fraction in COVERAGES] if pairs else []
    return ForecastsHeld(
        held=tuple(_held(*pair) for pair in pairs),
        coverage=tuple(map(_coverage, COVERAGES, opened)),
        fifths=_by_fifths(opened[-1].places if opened else ()),
        waiting_count=len(foretold - set(results)),
        too_late_count=late,
        words=_words(len(pairs)),
    )


_Key = tuple[int, str, str, str, str]


def _results(counts: Sequence[GraftCount]) -> dict[_Key, list[GraftCount]]:
    found: dict[_Key, list[GraftCount]] = {}
    for one in counts:
        if one.decided_on is not None and one.promise_code:
            words = STAGE_WORDS[one.stage]
            key = (one.season, one.promise_code, one.variety, one.stock, words)
            found.setdefault(key, []).append(one)
    return found


def _first_known(counts: Iterable[GraftCount]) -> date:
    return min(one.decided_on for one in counts if one.decided_on is not None)


def _last_before(
    book: ForecastBook, key: _Key, first_known_on: date
) -> tuple[ForecastMade, Foretold] | None:
    """Return the last forecast of a line kept on an earlier day than its first result."""
    season, *what = key
    for made in reversed(book.made):
        if made.season != season or made.happened_on >= first_known_on:
            continue
        for line in made.lines:
            if [line.promise_code, line.variety, line.stock, line.stage] == what:
                return made, line
    return None


def _reading_order(pair: tuple[ForecastMade, Foretold, int, int]) -> tuple[int, str, int, str]:
    made, line, _, _ = pair
    return (-made.season, line.variety, list(STAGE_WORDS.values()).index(line.stage), line.stock)


def _chances(line: Foretold, decided_count: int) -> tuple[float, ...]:
    rate = BetaRate(a=line.lived_grafts, b=line.lost_grafts)
    return count_chances_of(rate, grafts_count=decided_count)


def _held(made: ForecastMade, line: Foretold, decided_count: int, came_count: int) -> HeldForecast:
    chances = _chances(line, decided_count)
    low, high = _range(chances, COVERAGES[-1])
    return HeldForecast(
        season=made.season,
        made_on=made.happened_on,
        variety=line.variety,
        stock=line.stock,
        promise_code=line.promise_code,
        stage=line.stage,
        decided_count=decided_count,
        low_count=low,
        high_count=high,
        expected_count=sum(count * chance for count, chance in enumerate(chances)),
        came_count=came_count,
    )


def _range(chances: Sequence[float], level_fraction: float) -> tuple[int, int]:
    """Return the counts between which the forecast holds this share, equal tails."""
    tail = (1.0 - level_fraction) / 2.0
    below, low, high = 0.0, 0, len(chances) - 1
    for count, chance in enumerate(chances):
        if below <= tail:
            low = count
        if below + chance >= 1.0 - tail:
            high = count
            break
        below += chance
    return low, high


def _coverage(level_fraction: float, found: SeasonCalibration) -> Coverage:
    return Coverage(
        level_fraction=level_fraction,
        inside_count=found.inside_count,
        of_count=found.outcomes_count,
        share=found.share_inside,
        words=_coverage_words(level_fraction, found),
    )


def _calibration(
    pairs: Sequence[tuple[ForecastMade, Foretold, int, int]], level_fraction: float
) -> SeasonCalibration:
    kept, came = [], []
    for place, (_, line, decided_count, came_count) in enumerate(pairs):
        kept.append(KeptPrediction(name=str(place), chances=_chances(line, decided_count)))
        came.append(Outcome(name=str(place), alive_count=came_count))
    return season_calibration(kept, came, seed=_SEED, level_fraction=level_fraction)


def _coverage_words(level_fraction: float, found: SeasonCalibration) -> str:
    if found.outcomes_count < FEW_COUNT:
        return told("too few to judge: {FEW_COUNT} forecasts at least", FEW_COUNT=FEW_COUNT)
    if found.share_inside.high_fraction < level_fraction:
        return say("ranges were too narrow")
    if found.share_inside.low_fraction > level_fraction:
        return say("ranges were wider than need be")
    return say("as it should be")


def _by_fifths(places: Iterable[float]) -> tuple[int, ...]:
    counts = [0] * _FIFTHS
    for place_fraction in places:
        counts[min(_FIFTHS - 1, int(place_fraction * _FIFTHS))] += 1
    return tuple(counts)


def _words(held_count: int) -> str:
    if not held_count:
        return say(
            "no forecast has a result yet: forecasts are kept when labels are "
            "printed, and can be kept by hand"
        )
    if held_count < FEW_COUNT:
        return told(
            "{held_count} forecasts have results: too few to judge how honest the ranges are",
            held_count=held_count,
        )
    return told(
        "{held_count} forecasts have results; those of one season hang together",
        held_count=held_count,
    )
