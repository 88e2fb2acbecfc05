"""How firmly the terms of the model of take are held, with the widest factor set apart.

A row of counts has one level of a factor, so that in Z'WZ the levels of one factor meet nothing of
their own kind. The widest factor, say five thousand bundles, is a diagonal beside the few hundred
other terms, and only these are left to be factored once it is eliminated (the Schur complement):

    P = | D   B |      S = R - B' inv(D) B
        | B'  R |

That is exact. With nothing set apart, R is the whole.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from graftwright.losses.chain import FloatArray

IntArray = npt.NDArray[np.intp]


@dataclass(frozen=True, slots=True, kw_only=True)
class Places:
    """Which terms are set apart, `apart` of all `terms_count`; an empty range for none."""

    terms_count: int
    apart: slice

    @property
    def rest(self) -> IntArray:
        """The other terms, in order."""
        every = np.arange(self.terms_count)
        return np.concatenate([every[: self.apart.start], every[self.apart.stop :]])

    def split(self, terms: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Give the values set apart and the others, along the first axis."""
        return terms[self.apart], terms[self.rest]

    def joined(self, apart: FloatArray, rest: FloatArray) -> FloatArray:
        """Give all values again in the order of the terms."""
        start = self.apart.start
        return np.concatenate([rest[:start], apart, rest[start:]])

    def in_rest(self, span: slice) -> slice:
        """Give where terms that are not set apart stand among the others."""
        gone = self.apart.stop - self.apart.start if span.start >= self.apart.stop else 0
        return slice(span.start - gone, span.stop - gone)


@dataclass(frozen=True, slots=True, kw_only=True)
class Covariance:
    """The inverse of a precision, as far as any row of counts asks for it.

    `own` holds the variances of the terms set apart, `across` their covariances with the others,
    `rest` those of the others. Covariances among the terms set apart are in no row and not held.
    """

    places: Places
    pull: FloatArray
    apart_precision: FloatArray
    own: FloatArray
    across: FloatArray
    rest: FloatArray

    def variances(self) -> FloatArray:
        """Give the variance of each term."""
        return self.places.joined(self.own, np.diag(self.rest))

    def times(self, terms: FloatArray) -> FloatArray:
        """Give C v."""
        apart, rest = self.places.split(terms)
        rest = self.rest @ (rest - apart @ self.pull)
        return self.places.joined(apart / self.apart_precision - self.pull @ rest, rest)

    def between(self, left: IntArray, right: IntArray) -> FloatArray:
        """Give the covariance of each pair of terms that one row may have."""
        start, stop = self.places.apart.start, self.places.apart.stop
        if start == stop:
            return np.asarray(self.rest[left, right])
        found = np.empty(left.shape)
        is_left, is_right = (left >= start) & (left < stop), (right >= start) & (right < stop)
        among = [np.where(one < start, one, one - (stop - start)) for one in (left, right)]
        neither, both = ~is_left & ~is_right, is_left & is_right
        found[neither] = self.rest[among[0][neither], among[1][neither]]
        found[both] = self.own[left[both] - start]
        for one, other, mine in (
            (left, among[1], is_left & ~is_right),
            (right, among[0], is_right & ~is_left),
        ):
            found[mine] = self.across[one[mine] - start, other[mine]]
        return found


@dataclass(frozen=True, slots=True, kw_only=True)
class Factor:
    """The root of a precision, to draw from the normal that it belongs to."""

    places: Places
    pull: FloatArray
    apart_precision: FloatArray
    root: FloatArray

    def log_root_determinant(self) -> float:
        """Give half the logarithm of the determinant of the precision."""
        apart = 0.5 * float(np.log(self.apart_precision).sum())
        return float(np.log(np.diag(self.root)).sum()) + apart

    def drawn(self, normals: FloatArray) -> FloatArray:
        """Turn standard normals into draws with this precision. Both of shape (terms, draws)."""
        apart, rest = self.places.split(normals)
        rest = np.asarray(np.linalg.solve(self.root.T, rest))
        apart = apart / np.sqrt(self.apart_precision)[:, None] - self.pull @ rest
        return self.places.joined(apart, rest)


@dataclass(frozen=True, kw_only=True)
class Precision:
    """A precision of all terms: `own` D, `across` B and `rest` R of the picture above."""

    places: Places
    own: FloatArray
    across: FloatArray
    rest: FloatArray

    @cached_property
    def _pull(self) -> FloatArray:
        return self.across / self.own[:, None]

    @cached_property
    def _complement(self) -> FloatArray:
        return np.asarray(self.rest - self.across.T @ self._pull) if len(self.own) else self.rest

    def solved(self, terms: FloatArray) -> FloatArray:
        """Give x with P x = v."""
        apart, rest = self.places.split(terms)
        rest = np.asarray(np.linalg.solve(self._complement, rest - apart @ self._pull))
        return self.places.joined(apart / self.own - self._pull @ rest, rest)

    def factor(self) -> Factor:
        """Give its root."""
        root = np.asarray(np.linalg.cholesky(self._complement), dtype=np.float64)
        return Factor(places=self.places, pull=self._pull, apart_precision=self.own, root=root)

    def inverse(self) -> Covariance:
        """Give its inverse."""
        rest = np.asarray(np.linalg.inv(self._complement), dtype=np.float64)
        across = -self._pull @ rest
        return Covariance(
            places=self.places,
            pull=self._pull,
            apart_precision=self.own,
            own=1.0 / self.own - (across * self._pull).sum(axis=1),
            across=across,
            rest=rest,
        )
