"""Whether forecasts issued on a day would have beaten the calendar in the winters learnt from."""

from dataclasses import dataclass

import numpy as np

from graftwright.climate.bloom_curves import Guesses, Winters, days_to_bloom
from graftwright.climate.series import FloatArray

# More winters than this tell little more and take time with their square.
_MOST_WINTERS_COUNT = 32
_OUTER_LEVELS = (0.1, 0.9)


@dataclass(frozen=True, slots=True, kw_only=True)
class IssueSkill:
    """Mean continuous ranked probability score of forecasts and of the calendar. [days]

    The smaller the better: for a single date it is the plain distance. `inside_fraction` is how
    often the bloom came between the early and the late date of the forecast (0.8 is intended).
    """

    forecast_days: float
    calendar_days: float
    inside_fraction: float

    @property
    def beats_calendar(self) -> bool:
        """True if the forecasts came closer."""
        return self.forecast_days < self.calendar_days


def issue_skill(
    winters: Winters,
    *,
    seen_days: FloatArray,
    expected_days_late: FloatArray,
    guesses: Guesses,
    weights: FloatArray,
    known_day_count: int,
    most_winters_count: int = _MOST_WINTERS_COUNT,
) -> IssueSkill:
    """Foretell past winters from their first days and the other winters' remaining ones.

    Parameters
    ----------
    winters
        Totals by day of the winters learnt from.
    seen_days
        Days from the winter's start to bloom. [days]
    expected_days_late
        How late each winter was expected by a model that had not seen it. [days]
    known_day_count
        How many days of the winter are known when the forecast is issued.
    most_winters_count
        Take so many winters at most, evenly from all.
    """
    chosen = np.unique(np.linspace(0, len(seen_days) - 1, most_winters_count).round().astype(int))
    own = weights @ days_to_bloom(winters, guesses=guesses)
    # What the model expects too early of a winter it has seen, beside one it has not.
    shift = seen_days + expected_days_late - own
    scores, calendar_scores, inside = [], [], []
    for winter in chosen.tolist():
        others = chosen[chosen != winter]
        spliced = _spliced(winters, winter, others, known_day_count)
        expected = weights @ days_to_bloom(spliced, guesses=guesses) + shift[winter]
        late = np.delete(expected_days_late, winter)
        draws = (expected[:, None] - late).ravel()
        early, late_end = np.quantile(draws, _OUTER_LEVELS).round().tolist()
        inside.append(early <= seen_days[winter] <= late_end)
        scores.append(ranked_score(draws, seen=float(seen_days[winter])))
        calendar = np.delete(seen_days, winter)
        calendar_scores.append(ranked_score(calendar, seen=float(seen_days[winter])))
    return IssueSkill(
        forecast_days=float(np.mean(scores)),
        calendar_days=float(np.mean(calendar_scores)),
        inside_fraction=float(np.mean(inside)),
    )


def ranked_score(draws: FloatArray, *, seen: float) -> float:
    """Continuous ranked probability score of draws against what was seen, in their unit."""
    ordered = np.sort(draws)
    count = len(ordered)
    ranks = 2.0 * np.arange(1, count + 1) - count - 1.0
    return float(np.mean(np.abs(ordered - seen)) - np.sum(ranks * ordered) / count**2)


def _spliced(winters: Winters, winter: int, others: np.ndarray, known_day_count: int) -> Winters:
    """One winter's known days followed by what each other winter brought after them."""

    def joined(totals: FloatArray) -> FloatArray:
        last = known_day_count - 1
        if last < 0:
            return np.asarray(totals[others], dtype=np.float64)
        gained = totals[others] - totals[others, last][:, None] + totals[winter, last]
        return np.asarray(
            np.where(np.arange(totals.shape[1]) <= last, totals[winter], gained), dtype=np.float64
        )

    return Winters(
        portions=joined(winters.portions),
        curved_heat_h=joined(winters.curved_heat_h),
        linear_heat_h=joined(winters.linear_heat_h),
    )
