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
class ColumnPair:
    """Where two filled columns of each row meet in Z'Z: a block of it, or its diagonal.

    `places` gives for each row the place within the flattened block, `products` the product of the
    two values, or None where all are 1.
    """

    rows: slice
    columns: slice
    places: IntArray
    products: FloatArray | None
    cells_count: int
    is_diagonal: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Design:
    """Z, held by columns, and whole where that is cheap.

    `columns` and `values` have shape (rows, filled columns of each row); `whole` is Z or None.
    `pairs` are the blocks of Z'Z that any row fills.
    """

    columns: IntArray
    values: FloatArray
    terms_count: int
    pairs: tuple[ColumnPair, ...]
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
            return np.ascontiguousarray((self.whole.T * weights) @ self.whole)
        size = self.terms_count
        square = np.zeros((size, size))
        for pair in self.pairs:
            products = weights if pair.products is None else weights * pair.products
            block = np.bincount(pair.places, weights=products, minlength=pair.cells_count)
            if pair.is_diagonal:
                square.reshape(-1)[:: size + 1] += block
                continue
            block = block.reshape(-1, pair.columns.stop - pair.columns.start)
            square[pair.rows, pair.columns] += block
            square[pair.columns, pair.rows] += block.T
        return square

    def quadratic(self, matrix: FloatArray) -> FloatArray:
        """Give z_i' M z_i for a symmetric M, one value a row."""
        if self.whole is not None:
            return np.asarray(((self.whole @ matrix) * self.whole).sum(axis=1))
        total = np.zeros(self.rows_count)
        for pair in self.pairs:
            if pair.is_diagonal:
                picked = np.diag(matrix)[pair.places]
            else:
                picked = 2.0 * matrix[pair.rows, pair.columns].ravel()[pair.places]
            total += picked if pair.products is None else picked * pair.products
        return total


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
    return Design(
        columns=columns,
        values=values,
        terms_count=terms_count,
        pairs=_pairs_of(columns, values, terms_count),
        whole=whole,
    )


def _pairs_of(columns: IntArray, values: FloatArray, terms_count: int) -> tuple[ColumnPair, ...]:
    # without rows there is nothing to fill: one row of term 0 gives the spans a meaning
    met = columns if len(columns) else np.zeros((1, columns.shape[1]), dtype=np.intp)
    spans = [slice(int(met[:, f].min()), int(met[:, f].max()) + 1) for f in range(met.shape[1])]
    pairs = []
    for left, right in combinations_with_replacement(range(columns.shape[1]), 2):
        products = values[:, left] * values[:, right]
        rows, others = spans[left], spans[right]
        wide = others.stop - others.start
        is_diagonal = left == right
        places = (columns[:, left] - rows.start) * wide + columns[:, right] - others.start
        pairs.append(
            ColumnPair(
                rows=rows,
                columns=others,
                places=columns[:, left] if is_diagonal else places,
                products=None if bool(np.all(products == 1.0)) else products,
                cells_count=terms_count if is_diagonal else (rows.stop - rows.start) * wide,
                is_diagonal=is_diagonal,
            )
        )
    return tuple(pairs)
