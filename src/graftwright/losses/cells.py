"""What was recorded of the grafts that were counted, and how it becomes rows of a design."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import isfinite

import numpy as np

from graftwright.errors import OutOfRange
from graftwright.losses.chain import FloatArray
from graftwright.losses.precision import IntArray
from graftwright.tongue import told


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """One combination of what was recorded.

    `levels` has one entry a factor, in the order of the factors of the counts: a variety, a stock,
    a grafter. None stands for "any, not yet seen". `covariates` are the numbers, in their order.
    """

    levels: tuple[str | None, ...]
    covariates: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class CellCount:
    """Grafts of one cell with a decided outcome, and how many of them lived."""

    cell: Cell
    grafts_count: int
    alive_count: int

    def __post_init__(self) -> None:
        if not 0 <= self.alive_count <= self.grafts_count:
            raise OutOfRange(
                told(
                    "{alive_count} alive of {grafts_count} grafts; the living must be "
                    "between 0 and the grafts made; check the tally",
                    alive_count=self.alive_count,
                    grafts_count=self.grafts_count,
                )
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class TakeCounts:
    """All counts of one stage, with the names of the factors and of the covariates."""

    factors: tuple[str, ...]
    rows: tuple[CellCount, ...]
    covariates: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        for row in self.rows:
            _check_cell(row.cell, self.factors, self.covariates)
            if None in row.cell.levels:
                raise OutOfRange(
                    told(
                        "a counted cell without a level of every factor: {levels}; what was "
                        "not recorded needs a word of its own, such as 'not recorded'",
                        levels=row.cell.levels,
                    )
                )


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """How cells become rows of the design: terms 0, then covariates, then levels by factor."""

    factors: tuple[str, ...]
    covariates: tuple[str, ...]
    centres: FloatArray
    scales: FloatArray
    term_of_level: tuple[dict[str, int], ...]
    row_of_cell: dict[Cell, int]
    terms_count: int

    @property
    def fixed_count(self) -> int:
        """Terms with a fixed prior: the general level and the covariates."""
        return 1 + len(self.covariates)

    def placed(self, cells: Sequence[Cell]) -> tuple[IntArray, FloatArray]:
        """Give columns and values of each cell; an unseen level has value 0.

        Raises
        ------
        OutOfRange
            If a cell has not one level a factor and one finite number a covariate.
        """
        for cell in cells:
            _check_cell(cell, self.factors, self.covariates)
        fixed = np.broadcast_to(np.arange(self.fixed_count), (len(cells), self.fixed_count))
        numbers = np.array([cell.covariates for cell in cells], dtype=np.float64)
        scaled = (numbers.reshape(len(cells), len(self.covariates)) - self.centres) / self.scales
        found = [
            [_term_of(terms, cell.levels[place]) for cell in cells]
            for place, terms in enumerate(self.term_of_level)
        ]
        levels = np.array(found, dtype=np.intp).reshape(len(self.factors), len(cells)).T
        columns = np.concatenate([fixed, np.maximum(levels, 0)], axis=1)
        ones = np.ones((len(cells), 1))
        return columns, np.concatenate([ones, scaled, np.where(levels < 0, 0.0, 1.0)], axis=1)

    def spread_of_term(self) -> IntArray:
        """Give the index of the spread of each term, -1 for a fixed prior."""
        owner = np.full(self.terms_count, -1, dtype=np.intp)
        for place, terms in enumerate(self.term_of_level):
            owner[list(terms.values())] = place
        return owner


def frame_of(counts: TakeCounts) -> tuple[Frame, FloatArray, FloatArray]:
    """Give the frame, and grafts and living of each distinct cell, in the order first met."""
    row_of_cell: dict[Cell, int] = {}
    for row in counts.rows:
        row_of_cell.setdefault(row.cell, len(row_of_cell))
    places = np.array([row_of_cell[row.cell] for row in counts.rows], dtype=np.intp)
    size = len(row_of_cell)
    grafts = np.bincount(places, [row.grafts_count for row in counts.rows], minlength=size)
    alive = np.bincount(places, [row.alive_count for row in counts.rows], minlength=size)
    next_term = 1 + len(counts.covariates)
    term_of_level = []
    for place in range(len(counts.factors)):
        levels = (cell.levels[place] for cell in row_of_cell)
        # never by str(): a level such as "not recorded" is said in the reader's language by it
        names = sorted({level for level in levels if level is not None})
        term_of_level.append({name: next_term + index for index, name in enumerate(names)})
        next_term += len(names)
    numbers = np.array([cell.covariates for cell in row_of_cell], dtype=np.float64)
    numbers = numbers.reshape(size, len(counts.covariates))
    deviations = 2.0 * numbers.std(axis=0) if size else np.ones(len(counts.covariates))
    frame = Frame(
        factors=counts.factors,
        covariates=counts.covariates,
        centres=numbers.mean(axis=0) if size else np.zeros(len(counts.covariates)),
        # a number that never varied says nothing; any scale will do
        scales=np.where(deviations > 0.0, deviations, 1.0),
        term_of_level=tuple(term_of_level),
        row_of_cell=row_of_cell,
        terms_count=next_term,
    )
    return frame, grafts.astype(np.float64), alive.astype(np.float64)


def _term_of(terms: dict[str, int], level: str | None) -> int:
    return -1 if level is None else terms.get(level, -1)


def _check_cell(cell: Cell, factors: Sequence[str], covariates: Sequence[str]) -> None:
    if len(cell.levels) != len(factors) or len(cell.covariates) != len(covariates):
        raise OutOfRange(
            told(
                "a cell with {count} levels and {count_2} numbers; expected {count_3} "
                "({listed}) and {count_4} ({listed_2}); give one of each",
                count=len(cell.levels),
                count_2=len(cell.covariates),
                count_3=len(factors),
                listed=", ".join(factors),
                count_4=len(covariates),
                listed_2=", ".join(covariates),
            )
        )
    if not all(isfinite(number) for number in cell.covariates):
        raise OutOfRange(
            told(
                "a cell with a covariate that is no number: {covariates}; leave the "
                "cell out or measure it",
                covariates=cell.covariates,
            )
        )
