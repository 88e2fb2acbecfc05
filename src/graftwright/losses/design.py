"""Which rows of counts share which terms: the design of the model of take.

A row has one value in each of a few columns of a wide, mostly empty matrix Z (rows x terms): the
general level, the covariates, and one term for its level of each factor. Small designs are held
whole, large ones by their columns, with the terms of a wide factor set apart.
"""

from dataclasses import dataclass
from itertools import combinations_with_replacement

import numpy as np

from graftwright.losses.chain import FloatArray
from graftwright.losses.precision import Covariance, IntArray, Places, Precision

# above this many multiplications a product by columns is faster than the whole matrix
_WHOLE_LIMIT = 2_000_000
# a factor of fewer levels is not worth setting apart
_LEAST_APART = 200


@dataclass(frozen=True, slots=True, kw_only=True)
class ColumnPair:
    """Where two filled columns of each row, `left` and `right`, meet in Z'Z: a block of it.

    Or the diagonal, where both are the same. `places` gives for each row the place within the
    flattened block, `products` the product of the two values, or None where all are 1.
    """

    left: int
    right: int
    rows: slice
    columns: slice
    places: IntArray
    products: FloatArray | None
    cells_count: int
    is_diagonal: bool

    def block(self, weights: FloatArray) -> FloatArray:
        """Give what the rows fill of Z' diag(w) Z here, or one value a term for a diagonal."""
        products = weights if self.products is None else weights * self.products
        summed = np.bincount(self.places, weights=products, minlength=self.cells_count)
        block = summed.astype(np.float64, copy=False)
        if self.is_diagonal:
            return block
        return block.reshape(-1, self.columns.stop - self.columns.start)


@dataclass(frozen=True, slots=True, kw_only=True)
class Design:
    """Z, held by columns, and whole where that is cheap.

    `columns` and `values` have shape (rows, filled columns of each row); `whole` is Z or None.
    `pairs` are the blocks of Z'Z that any row fills; `places` says which terms are set apart.
    """

    columns: IntArray
    values: FloatArray
    terms_count: int
    pairs: tuple[ColumnPair, ...]
    places: Places
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

    def precision(self, weights: FloatArray, prior: FloatArray) -> Precision:
        """Give Z' diag(w) Z with the prior precision of each term added."""
        places = self.places
        apart_count = places.apart.stop - places.apart.start
        own, rest_prior = places.split(prior)
        own, rest = own.copy(), self._gram_of_rest(weights, len(rest_prior))
        across = np.zeros((apart_count, len(rest_prior)))
        for pair in self.pairs if apart_count else ():
            if pair.is_diagonal and pair.rows == places.apart:
                own += pair.block(weights)[places.apart]
            elif pair.rows == places.apart:
                across[:, places.in_rest(pair.columns)] += pair.block(weights)
            elif pair.columns == places.apart:
                across[:, places.in_rest(pair.rows)] += pair.block(weights).T
        rest.reshape(-1)[:: len(rest_prior) + 1] += rest_prior
        return Precision(places=places, own=own, across=across, rest=rest)

    def _gram_of_rest(self, weights: FloatArray, size: int) -> FloatArray:
        """Give the part of Z' diag(w) Z that belongs to the terms not set apart."""
        if self.whole is not None:
            return np.ascontiguousarray((self.whole.T * weights) @ self.whole)
        square = np.zeros((size, size))
        for pair in self.pairs:
            if self.places.apart in (pair.rows, pair.columns):
                continue
            block = pair.block(weights)
            rows, columns = self.places.in_rest(pair.rows), self.places.in_rest(pair.columns)
            if pair.is_diagonal:
                square.reshape(-1)[:: size + 1] += block[self.places.rest]
                continue
            square[rows, columns] += block
            square[columns, rows] += block.T
        return square

    def quadratic(self, covariance: Covariance) -> FloatArray:
        """Give z_i' C z_i, one value a row."""
        if self.whole is not None and not len(covariance.own):
            return np.asarray(((self.whole @ covariance.rest) * self.whole).sum(axis=1))
        total = np.zeros(self.rows_count)
        variances = covariance.variances()
        for pair in self.pairs:
            left, right = self.columns[:, pair.left], self.columns[:, pair.right]
            is_one = pair.is_diagonal
            picked = variances[left] if is_one else 2.0 * covariance.between(left, right)
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
    spans = _spans_of(columns)
    apart = slice(0, 0) if whole is not None else _widest(spans)
    return Design(
        columns=columns,
        values=values,
        terms_count=terms_count,
        pairs=_pairs_of(columns, values, spans, terms_count),
        places=Places(terms_count=terms_count, apart=apart),
        whole=whole,
    )


def _spans_of(columns: IntArray) -> list[slice]:
    # without rows there is nothing to fill: one row of term 0 gives the spans a meaning
    met = columns if len(columns) else np.zeros((1, columns.shape[1]), dtype=np.intp)
    return [slice(int(met[:, f].min()), int(met[:, f].max()) + 1) for f in range(met.shape[1])]


def _widest(spans: list[slice]) -> slice:
    """Give the widest span, if it is worth setting apart and shares no term with another."""
    widest = max(spans, key=lambda span: span.stop - span.start)
    meeting = sum(span.start < widest.stop and widest.start < span.stop for span in spans)
    is_wide = widest.stop - widest.start >= _LEAST_APART
    return widest if is_wide and meeting == 1 else slice(0, 0)


def _pairs_of(
    columns: IntArray, values: FloatArray, spans: list[slice], terms_count: int
) -> tuple[ColumnPair, ...]:
    pairs = []
    for left, right in combinations_with_replacement(range(columns.shape[1]), 2):
        products = values[:, left] * values[:, right]
        rows, others = spans[left], spans[right]
        wide = others.stop - others.start
        is_diagonal = left == right
        places = (columns[:, left] - rows.start) * wide + columns[:, right] - others.start
        pairs.append(
            ColumnPair(
                left=left,
                right=right,
                rows=rows,
                columns=others,
                places=columns[:, left] if is_diagonal else places,
                products=None if bool(np.all(products == 1.0)) else products,
                cells_count=terms_count if is_diagonal else (rows.stop - rows.start) * wide,
                is_diagonal=is_diagonal,
            )
        )
    return tuple(pairs)
