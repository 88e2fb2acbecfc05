"""Which rows of counts share which terms: the design of the model of take.

A row has one value in each of a few columns of a wide, mostly empty matrix Z (rows x terms): the
general level, the covariates, and one term for its level of each factor. Small designs are held
whole, large ones by their columns.
"""

from dataclasses import dataclass
from itertools import combinations_with_replacement

import numpy as np
import numpy.typing as npt

from graftwright.losses.chain import FloatArray

IntArray = npt.NDArray[np.intp]

# above this many multiplications a product by columns is faster than the whole matrix
_WHOLE_LIMIT = 2_000_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Design:
    """Z, held by columns, and whole where that is cheap.

    `columns` and `values` have shape (rows, filled columns of each row); `whole` is Z or None.
    `spans` gives for each filled column the first term it meets and the one after the last.
    """

    columns: IntArray
    values: FloatArray
    terms_count: int
    spans: tuple[tuple[int, int], ...]
    whole: FloatArray | None

    @property
    def rows_count(self) -> int:
        """Number of rows."""
        return int(self.columns.shape[0])

    def times(self, terms: FloatArray) -> FloatArray:
        """Give Z b, one value a row."""
        if self.whole is not None:
            return np.asarray(self.whole @ terms)
        return np.asarray((self.values * terms[self.columns]).sum(axis=1))

    def transposed_times(self, row_values: FloatArray) -> FloatArray:
        """Give Z' r, one value a term."""
        if self.whole is not None:
            return np.asarray(row_values @ self.whole)
        weights = (self.values * row_values[:, None]).ravel()
        summed = np.bincount(self.columns.ravel(), weights=weights, minlength=self.terms_count)
        return summed.astype(np.float64)

    def gram(self, weights: FloatArray) -> FloatArray:
        """Give Z' diag(w) Z, terms x terms."""
        if self.whole is not None:
            return np.asarray((self.whole.T * weights) @ self.whole)
        square = np.zeros((self.terms_count, self.terms_count))
        for left, right in self._pairs():
            products = weights * self.values[:, left] * self.values[:, right]
            rows, columns = self._span(left), self._span(right)
            if left == right:
                summed = np.bincount(
                    self.columns[:, left], weights=products, minlength=self.terms_count
                )
                square[np.diag_indices_from(square)] += summed
                continue
            wide = columns.stop - columns.start
            flat = (self.columns[:, left] - rows.start) * wide + self.columns[:, right]
            block = np.bincount(
                flat - columns.start, weights=products, minlength=(rows.stop - rows.start) * wide
            ).reshape(-1, wide)
            square[rows, columns] += block
            square[columns, rows] += block.T
        return square

    def quadratic(self, matrix: FloatArray) -> FloatArray:
        """Give z_i' M z_i for a symmetric M, one value a row."""
        if self.whole is not None:
            return np.asarray(((self.whole @ matrix) * self.whole).sum(axis=1))
        total = np.zeros(self.rows_count)
        for left, right in self._pairs():
            share = 1.0 if left == right else 2.0
            picked = matrix[self.columns[:, left], self.columns[:, right]]
            total += share * self.values[:, left] * self.values[:, right] * picked
        return total

    def _span(self, place: int) -> slice:
        return slice(*self.spans[place])

    def _pairs(self) -> list[tuple[int, int]]:
        return list(combinations_with_replacement(range(self.columns.shape[1]), 2))


def design_of(columns: IntArray, values: FloatArray, *, terms_count: int) -> Design:
    """Build a design from the filled columns of each row.

    Parameters
    ----------
    columns
        Which terms a row has, shape (rows, filled); no term twice in a row.
    values
        With what value, same shape.
    terms_count
        Number of terms in all.
    """
    rows_count = columns.shape[0]
    whole = None
    if rows_count * terms_count**2 <= _WHOLE_LIMIT:
        whole = np.zeros((rows_count, terms_count))
        np.add.at(whole, (np.arange(rows_count)[:, None], columns), values)
    met = columns if rows_count else np.zeros((1, columns.shape[1]), dtype=np.intp)
    spans = zip(met.min(axis=0).tolist(), (met.max(axis=0) + 1).tolist(), strict=True)
    return Design(
        columns=columns,
        values=values,
        terms_count=terms_count,
        spans=tuple(spans),
        whole=whole,
    )
