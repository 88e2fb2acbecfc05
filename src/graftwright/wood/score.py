"""How good a pair is: from contact to a score that compares pairs."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

IntArray = NDArray[np.int64]
FloatArray = NDArray[np.float64]

_SAMPLES_ACROSS_CLASS = 5


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
    return tenths + np.rint(width_tenths * part).astype(np.int64)


@cache
def default_pair_table() -> PairTable:
    """Return a first table until contact is computed."""
    scion, stock = np.meshgrid(np.arange(30, 161), np.arange(30, 261), indexing="ij")
    ok = (scion <= stock + 2) & (stock <= 2 * scion)
    takes = np.where(ok, np.rint(8900 - 600 * np.minimum(4, (stock - scion) / 10)), -1)
    return PairTable(
        scion_from_tenths=30, stock_from_tenths=30, takes_per_10000=takes.astype(np.int64)
    )
