"""The closing date for cutting scion wood: when the buds outdoors begin to move."""

from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from graftwright.climate.callus_dates import DateSpread, date_spread
from graftwright.climate.degree_days import degree_days
from graftwright.climate.series import FloatArray
from graftwright.climate.weather import DailyRecord
from graftwright.errors import GapInSeries, OutOfRange
from graftwright.tongue import told

_SEASON_DAY_COUNT = 180
_SOUTHERN_SHIFT_MONTHS = 6


@dataclass(frozen=True, slots=True, kw_only=True)
class MovementRule:
    """Buds move when so many degree-days have come together since a day of the year.

    `spread_days` is how far single trees, varieties and the rule itself lie off (one standard
    deviation). Month and day are those of the north; the south takes them half a year later.
    """

    source: str
    from_month: int
    from_day: int
    base_c: float
    need_c_days: float
    spread_days: float = 5.0

    def __post_init__(self) -> None:
        if self.need_c_days <= 0.0 or self.spread_days < 0.0:
            raise OutOfRange(
                told(
                    "found a need of {need_c_days} °C·d and a spread of {spread_days} "
                    "days; a need above 0 and a spread of at least 0 were expected",
                    need_c_days=self.need_c_days,
                    spread_days=self.spread_days,
                )
            )
        date(2023, self.from_month, self.from_day)  # refuses a day that no year has


# Green tip of early apples, 12 seasons, printed with ±4 days.
NOVA_SCOTIA_GREEN_TIP = MovementRule(
    source="PerenniaGreenTip2022",
    from_month=1,
    from_day=1,
    base_c=5.0,
    need_c_days=81.9,
    spread_days=4.0,
)
# Green tip of 'McIntosh': about 120 °F·d above 43 °F; no spread is printed.
MASSACHUSETTS_GREEN_TIP = MovementRule(
    source="UMassGreenTip2019", from_month=3, from_day=1, base_c=6.1, need_c_days=67.0
)


@dataclass(frozen=True, slots=True, kw_only=True)
class ClosingDate:
    """When the wood of one district is last fit to cut.

    `moves` is when buds begin to move: cut before its `early` date to be nine times in ten ahead.
    `warmth_c_days` is what has come together so far, of `need_c_days`. `has_moved` says that the
    days measured alone already meet the need.
    """

    rule: MovementRule
    moves: DateSpread
    warmth_c_days: float
    need_c_days: float
    has_moved: bool
    year_count: int


def closing_date(
    weather: DailyRecord,
    *,
    season: int,
    measured: DailyRecord | None = None,
    rule: MovementRule = NOVA_SCOTIA_GREEN_TIP,
    seed: int = 0,
    draw_count: int = 100,
    years_fill_gaps: bool = False,
) -> ClosingDate:
    """Early, middle and late dates for buds moving outdoors.

    The days measured so far stand at the front of every weather year; a warm winter so far moves
    all three dates forward.

    Parameters
    ----------
    weather
        Many years of daily lowest and highest of the district.
    season
        The year in which the buds break.
    measured
        This winter's days so far; days before the rule's start do no harm. None where nothing was
        measured yet.
    rule
        Which published threshold to use.
    seed
        The same seed gives the same dates.
    years_fill_gaps
        True to let each weather year's own day stand where a measured day is missing, or where
        measuring began after the rule's start; else such a record is refused.

    Raises
    ------
    GapInSeries
        If a measured day since the start is missing, or no weather year is whole.

    Source
    ------
    PerenniaGreenTip2022, UMassGreenTip2019. Both are for apple; plum and cherry move earlier:
    common practice, no source.
    """
    start = season_start(rule, season=season, latitude_deg=weather.latitude_deg)
    known_lows, known_highs = _since(measured, start, with_gaps=years_fill_gaps)
    lows, highs = _weather_rows(weather, rule, known_lows, known_highs)
    running = degree_days(lows, maximum_c=highs, lower_c=rule.base_c)
    moved = _crossing_days(running, rule.need_c_days)
    warmth = float(np.median(running[:, len(known_lows) - 1])) if len(known_lows) else 0.0
    has_moved = warmth >= rule.need_c_days
    noise = np.random.default_rng(seed).normal(size=(len(moved), draw_count)) * rule.spread_days
    return ClosingDate(
        rule=rule,
        moves=date_spread(np.maximum(moved[:, None] + noise, 0.0), starts_on=start),
        warmth_c_days=warmth,
        need_c_days=rule.need_c_days,
        has_moved=has_moved,
        year_count=len(moved),
    )


def season_start(rule: MovementRule, *, season: int, latitude_deg: float) -> date:
    """The day a rule starts counting in one season, half a year later south of the equator."""
    return _start_in(rule, season, southern=latitude_deg < 0.0)


def _start_in(rule: MovementRule, year: int, *, southern: bool) -> date:
    month = rule.from_month + (_SOUTHERN_SHIFT_MONTHS if southern else 0)
    return date(year + (month - 1) // 12, (month - 1) % 12 + 1, rule.from_day)


def _since(
    measured: DailyRecord | None, start: date, *, with_gaps: bool
) -> tuple[FloatArray, FloatArray]:
    """The measured days from the rule's start on; with gaps allowed, those are not-a-number."""
    if measured is None or measured.last_day < start:
        return np.empty(0), np.empty(0)
    if with_gaps:
        return _padded(measured.minimum_c, measured, start), _padded(
            measured.maximum_c, measured, start
        )
    if measured.first_day > start:
        raise GapInSeries(
            told(
                "found measured days from {first_day} on; days since {start} were "
                "expected; bring the earlier days too",
                first_day=measured.first_day,
                start=start,
            )
        )
    late = (start - measured.first_day).days
    lows, highs = measured.minimum_c[late:], measured.maximum_c[late:]
    holes = np.flatnonzero(~np.isfinite(lows + highs))
    if holes.size:
        raise GapInSeries(
            told(
                "found no temperatures for {start}; every measured day since {start_2} "
                "was expected; fill the gap first",
                start=start + timedelta(days=int(holes[0])),
                start_2=start,
            )
        )
    return lows[:_SEASON_DAY_COUNT], highs[:_SEASON_DAY_COUNT]


def _padded(days: FloatArray, measured: DailyRecord, start: date) -> FloatArray:
    late = (start - measured.first_day).days
    days = days[late:] if late >= 0 else np.concatenate([np.full(-late, np.nan), days])
    return np.asarray(days[:_SEASON_DAY_COUNT], dtype=np.float64)


def _weather_rows(
    weather: DailyRecord, rule: MovementRule, known_lows: FloatArray, known_highs: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """The measured days followed by what each whole weather year brought after that day."""
    lows, highs = [], []
    known = len(known_lows)
    is_known = np.isfinite(known_lows + known_highs)
    for year in range(weather.first_day.year, weather.last_day.year + 1):
        start = _start_in(rule, year, southern=weather.latitude_deg < 0.0)
        first = (start - weather.first_day).days
        window = slice(max(first, 0), first + _SEASON_DAY_COUNT)
        row = weather.minimum_c[window].copy(), weather.maximum_c[window].copy()
        if first < 0 or len(row[0]) != _SEASON_DAY_COUNT:
            continue
        row[0][:known] = np.where(is_known, known_lows, row[0][:known])
        row[1][:known] = np.where(is_known, known_highs, row[1][:known])
        if np.isfinite(row[0] + row[1]).all():
            lows.append(row[0])
            highs.append(row[1])
    if not lows:
        raise GapInSeries(
            told(
                "found no year with {SEASON_DAY_COUNT} whole days from the rule's "
                "start; at least one was expected; bring a longer record",
                SEASON_DAY_COUNT=_SEASON_DAY_COUNT,
            )
        )
    return np.stack(lows), np.stack(highs)


def _crossing_days(running: FloatArray, need: float) -> FloatArray:
    """Days from the start until each year's total meets the need; infinite if it never does."""
    reached = running >= need
    day = reached.argmax(axis=1).astype(np.float64)
    return np.where(reached.any(axis=1), day, np.inf)
