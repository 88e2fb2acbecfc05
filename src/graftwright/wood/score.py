"""How good a pair is: from contact to a score that compares pairs."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from graftwright.errors import OutOfRange
from graftwright.tongue import told
from graftwright.wood.share_table import PlacingAssumptions, expected_shares

IntArray = NDArray[np.int64]
FloatArray = NDArray[np.float64]

EQUAL_SHARE_FRACTION = 0.82
"""Contact to be expected of equal diameters, about which a take curve is turned."""
_LEAST_ODDS = 1e-6
_SAMPLES_ACROSS_CLASS = 5
_SCION_TENTHS = (20, 170)
_STOCK_TENTHS = (20, 350)
_WIDEST_TENTHS = 180


@dataclass(frozen=True, slots=True, kw_only=True)
class TakeCurve:
    """How the take is assumed to follow the contact share s: p_max (1 - exp(-s / s0)).

    Nothing published gives take as a function of contact in fruit trees, so this is an
    assumption that only ranks pairs, to be replaced by what the user's own records teach.
    `slope_times` turns the curve about the share of equal diameters: 0 makes every allowed pair
    as good as any other, 1 is as assumed, 2 makes the odds fall twice as fast.
    """

    p_max_fraction: float = 0.95
    s0_fraction: float = 0.30
    slope_times: float = 1.0

    def __post_init__(self) -> None:
        if not 0.0 <= self.slope_times <= 5.0:
            raise OutOfRange(
                told(
                    "a take curve {slope_times} times as steep as assumed; expected 0 to 5",
                    slope_times=self.slope_times,
                )
            )
        if not (0.0 < self.p_max_fraction <= 1.0 and self.s0_fraction > 0.0):
            raise OutOfRange(
                told(
                    "a take curve with p_max {p_max_fraction} and s0 {s0_fraction}; "
                    "expected p_max above 0 up to 1 and s0 above 0; correct them",
                    p_max_fraction=self.p_max_fraction,
                    s0_fraction=self.s0_fraction,
                )
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class PairLimits:
    """Which pairs may be made at all by a whip cut.

    The scion is never thicker than the stock (NDSUGrafting), but for what a calliper cannot
    tell; how much thicker the stock may be is common practice without a source.
    """

    scion_over_stock_mm: float = 0.2
    stock_to_scion_ratio: float = 2.0

    def __post_init__(self) -> None:
        if not (0.0 <= self.scion_over_stock_mm <= 0.3 and 1.0 <= self.stock_to_scion_ratio <= 4.0):
            raise OutOfRange(
                told(
                    "a scion may be {scion_over_stock_mm} mm over its stock and a stock "
                    "{stock_to_scion_ratio} times its scion; expected 0 to 0.3 mm and 1 to "
                    "4; a scion must not overhang its stock",
                    scion_over_stock_mm=self.scion_over_stock_mm,
                    stock_to_scion_ratio=self.stock_to_scion_ratio,
                )
            )


def take_scores(share_fraction: FloatArray, *, curve: TakeCurve) -> FloatArray:
    """Return the take score of contact shares. Shape: as given. [fraction]"""
    scores = _as_assumed(share_fraction, curve)
    if curve.slope_times == 1.0:
        return scores
    middle = _log_odds(_as_assumed(np.array(EQUAL_SHARE_FRACTION), curve))
    turned = middle + curve.slope_times * (_log_odds(scores) - middle)
    return np.asarray(1.0 / (1.0 + np.exp(-turned)), dtype=np.float64)


def assumed_log_odds(share_fraction: FloatArray) -> FloatArray:
    """Return the log odds of take that the assumption gives a contact share. Shape: as given."""
    return _log_odds(_as_assumed(np.asarray(share_fraction, dtype=np.float64), TakeCurve()))


def _as_assumed(share_fraction: FloatArray, curve: TakeCurve) -> FloatArray:
    scores: FloatArray = curve.p_max_fraction * -np.expm1(-share_fraction / curve.s0_fraction)
    return scores


def _log_odds(fraction: FloatArray) -> FloatArray:
    inside = np.clip(fraction, _LEAST_ODDS, 1.0 - _LEAST_ODDS)
    return np.asarray(np.log(inside / (1.0 - inside)), dtype=np.float64)


@dataclass(frozen=True, slots=True, kw_only=True)
class PairTable:
    """Scores of scion and stock diameters on a grid of a tenth of a millimetre.

    Shapes: (scion diameters, stock diameters). `takes_per_10000` is -1 where the pair may not
    be made, which includes every diameter outside the table.
    """

    scion_from_tenths: int
    stock_from_tenths: int
    takes_per_10000: IntArray
    share_fraction: FloatArray | None = None

    def takes_per_10000_at(self, scion_tenths: IntArray, stock_tenths: IntArray) -> IntArray:
        """Return the score of each pair of two arrays of one shape; -1 if not allowed."""
        row = np.asarray(scion_tenths) - self.scion_from_tenths
        column = np.asarray(stock_tenths) - self.stock_from_tenths
        height, width = self.takes_per_10000.shape
        is_inside = (row >= 0) & (row < height) & (column >= 0) & (column < width)
        found = self.takes_per_10000[np.where(is_inside, row, 0), np.where(is_inside, column, 0)]
        takes: IntArray = np.where(is_inside, found, -1)
        return takes

    def share_at(self, scion_tenths: int, stock_tenths: int) -> float | None:
        """Return the expected contact share of one pair, None if the table holds none."""
        row, column = scion_tenths - self.scion_from_tenths, stock_tenths - self.stock_from_tenths
        height, width = self.takes_per_10000.shape
        if self.share_fraction is None or not (0 <= row < height and 0 <= column < width):
            return None
        return float(self.share_fraction[row, column])

    def takes_per_10000_between(
        self,
        scion_tenths: IntArray,
        stock_tenths: IntArray,
        scion_width_tenths: IntArray,
        stock_width_tenths: IntArray,
    ) -> IntArray:
        """Return the scores of all scions against all stocks; -1 if not allowed.

        A diameter known only as a class counts with the mean over the pairs its class can make.
        Shape: (scions, stocks).
        """
        takes = self.takes_per_10000_at(scion_tenths[:, None], stock_tenths[None, :])
        if not (scion_width_tenths.any() or stock_width_tenths.any()):
            return takes
        total, count = np.zeros(takes.shape), np.zeros(takes.shape)
        for scion_part, stock_part in _class_samples():
            sampled = self.takes_per_10000_at(
                _shifted(scion_tenths, scion_width_tenths, scion_part)[:, None],
                _shifted(stock_tenths, stock_width_tenths, stock_part)[None, :],
            )
            total += np.where(sampled >= 0, sampled, 0)
            count += sampled >= 0
        mean = np.rint(total / np.maximum(count, 1)).astype(np.int64)
        means: IntArray = np.where(takes >= 0, mean, -1)
        return means


def _class_samples() -> Sequence[tuple[float, float]]:
    parts = [
        (2 * step + 1) / (2 * _SAMPLES_ACROSS_CLASS) - 0.5 for step in range(_SAMPLES_ACROSS_CLASS)
    ]
    return [(scion, stock) for scion in parts for stock in parts]


def _shifted(tenths: IntArray, width_tenths: IntArray, part: float) -> IntArray:
    shifted: IntArray = tenths + np.rint(width_tenths * part).astype(np.int64)
    return shifted


def assumed_pair_table(
    *,
    curve: TakeCurve | None = None,
    placing: PlacingAssumptions | None = None,
    limits: PairLimits | None = None,
) -> PairTable:
    """Build the table of pair scores for whip cuts on a grid of a tenth of a millimetre.

    Scions of 2 to 17 mm, stocks of 2 to 35 mm. Kept for the next call with the same
    assumptions.
    """
    return _pair_table(
        curve or TakeCurve(), placing or PlacingAssumptions(), limits or PairLimits()
    )


@lru_cache(maxsize=8)
def _pair_table(curve: TakeCurve, placing: PlacingAssumptions, limits: PairLimits) -> PairTable:
    scions = np.arange(_SCION_TENTHS[0], _SCION_TENTHS[1] + 1)
    stocks = np.arange(_STOCK_TENTHS[0], _STOCK_TENTHS[1] + 1)
    differences = np.arange(-round(limits.scion_over_stock_mm * 10), _WIDEST_TENTHS + 1)
    shares = expected_shares(
        tuple((scions / 10.0).tolist()), tuple((differences / 10.0).tolist()), placing
    )
    difference = stocks[None, :] - scions[:, None]
    is_allowed = (difference >= differences[0]) & (
        stocks[None, :] <= limits.stock_to_scion_ratio * scions[:, None] + 1e-9
    )
    column = np.clip(difference - differences[0], 0, len(differences) - 1)
    share = np.where(is_allowed, np.take_along_axis(shares, column, axis=1), np.nan)
    takes = np.where(is_allowed, np.rint(take_scores(share, curve=curve) * 10_000), -1)
    return PairTable(
        scion_from_tenths=int(scions[0]),
        stock_from_tenths=int(stocks[0]),
        takes_per_10000=np.nan_to_num(takes, nan=-1).astype(np.int64),
        share_fraction=share,
    )
