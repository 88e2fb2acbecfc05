"""Which scions can be cut from a stick: every candidate piece under the cutting rules."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from graftwright.errors import OutOfRange
from graftwright.tongue import Choice, told
from graftwright.wood.stick import (
    Stick,
    bud_positions_mm,
    diameter_profile,
    usable_zone_mm,
)

IntArray = NDArray[np.int64]
FloatArray = NDArray[np.float64]


class Skill(Choice):
    """How practised the hand is that cuts."""

    LEARNER = "learner"
    PRACTISED = "practised"
    EXPERT = "expert"


# Common practice, no source: pieces spoilt at the knife, out of all pieces cut.
_SPOILT_FRACTION = {Skill.LEARNER: 0.15, Skill.PRACTISED: 0.05, Skill.EXPERT: 0.02}


@dataclass(frozen=True, slots=True, kw_only=True)
class CuttingRules:
    """How a stick is divided; every number may be changed to the user's own practice.

    `bud_percent_by_count` is what a piece of 1, 2, 3 ... buds is worth against a full one
    (assumptions; the last value holds for all longer pieces). With
    `is_bud_allowed_behind_slant` the lowest bud may sit at the back of the slant, as low as its
    middle. `scarce_*` hold for varieties whose wood cannot fill their orders otherwise.
    Raises OutOfRange for rules that contradict one another.
    """

    min_bud_count: int = 3
    max_bud_count: int = 5
    min_piece_mm: float = 100.0
    max_piece_mm: float = 180.0
    cut_length_ratio: float = 3.5
    clear_above_slant_mm: float = 2.0
    top_cut_above_bud_mm: float = 3.0
    base_cut_above_bud_mm: float = 3.0
    is_bud_allowed_behind_slant: bool = False
    scarce_min_bud_count: int = 2
    scarce_min_piece_mm: float = 60.0
    bud_percent_by_count: tuple[int, ...] = (75, 90, 97, 100)

    def __post_init__(self) -> None:
        if not 1 <= self.scarce_min_bud_count <= self.min_bud_count <= self.max_bud_count <= 12:
            raise OutOfRange(
                told(
                    "buds per piece are {scarce_min_bud_count} when scarce, "
                    "{min_bud_count} to {max_bud_count} otherwise; expected 1 to 12, "
                    "rising; change the rules",
                    scarce_min_bud_count=self.scarce_min_bud_count,
                    min_bud_count=self.min_bud_count,
                    max_bud_count=self.max_bud_count,
                )
            )
        if not 0 < self.scarce_min_piece_mm <= self.min_piece_mm <= self.max_piece_mm:
            raise OutOfRange(
                told(
                    "piece lengths are {scarce_min_piece_mm} mm when scarce, "
                    "{min_piece_mm} to {max_piece_mm} mm otherwise; expected them to rise "
                    "from above 0; change the rules",
                    scarce_min_piece_mm=self.scarce_min_piece_mm,
                    min_piece_mm=self.min_piece_mm,
                    max_piece_mm=self.max_piece_mm,
                )
            )
        if not 1.0 <= self.cut_length_ratio <= 8.0:
            raise OutOfRange(
                told(
                    "the cut is {cut_length_ratio} diameters long; expected 1 to 8; three "
                    "to four is usual",
                    cut_length_ratio=self.cut_length_ratio,
                )
            )
        if not self.bud_percent_by_count or not all(
            0 <= percent <= 100 for percent in self.bud_percent_by_count
        ):
            raise OutOfRange(
                told(
                    "bud percents are {bud_percent_by_count}; expected numbers from 0 to 100",
                    bud_percent_by_count=self.bud_percent_by_count,
                )
            )


@dataclass(frozen=True, slots=True)
class PieceTable:
    """Candidate pieces as columns, sorted by stick, last bud and first bud.

    Shapes: one value per piece. `diameter_tenths` is the diameter at the middle of the slant
    in tenths of a millimetre.
    """

    stick: IntArray
    first_bud: IntArray
    last_bud: IntArray
    base_cut_mm: FloatArray
    top_cut_mm: FloatArray
    diameter_tenths: IntArray

    @property
    def piece_count(self) -> int:
        """How many candidates there are."""
        return len(self.stick)


def candidate_pieces(
    sticks: Sequence[Stick],
    *,
    rules: CuttingRules,
    scarce_varieties: frozenset[str] = frozenset(),
) -> PieceTable:
    """List every piece that may be cut from each stick.

    The base cut is put as high as the slant, the clearance and the least length allow, so that
    two pieces without a common bud never overlap. Varieties named as scarce may also be cut
    shorter and with fewer buds.
    """
    buds = _BudColumns.of(sticks)
    is_scarce = np.array([stick.variety in scarce_varieties for stick in sticks], dtype=bool)
    parts = [
        _pieces_with_buds(bud_count, sticks=sticks, buds=buds, is_scarce=is_scarce, rules=rules)
        for bud_count in range(rules.scarce_min_bud_count, rules.max_bud_count + 1)
    ]
    columns = [np.concatenate(column) for column in zip(*parts, strict=True)]
    order = np.lexsort((columns[1], columns[2], columns[0]))
    return PieceTable(*(column[order] for column in columns))


def most_piece_count(pieces: PieceTable, *, stick_count: int) -> IntArray:
    """Return the most pieces that can be cut from each stick. Shape: one per stick."""
    counts = np.zeros(stick_count, dtype=np.int64)
    free_from = np.zeros(stick_count, dtype=np.int64)
    for stick, first, last in zip(
        pieces.stick.tolist(), pieces.first_bud.tolist(), pieces.last_bud.tolist(), strict=True
    ):  # sorted by last bud, so the earliest end first: the classical exact rule
        if first >= free_from[stick]:
            counts[stick] += 1
            free_from[stick] = last + 1
    return counts


def spoilt_allowance_count(piece_count: int, *, skill: Skill) -> int:
    """Return how many of the pieces should be kept back for cuts that go wrong.

    Shrinks with skill: 15, 5 and 2 in a hundred (common practice, no source).
    """
    if piece_count < 0:
        raise OutOfRange(
            told("{piece_count} pieces; expected 0 or more; count again", piece_count=piece_count)
        )
    return int(piece_count * _SPOILT_FRACTION[skill] + 0.5)


def bud_percent(bud_count: int, *, rules: CuttingRules) -> int:
    """Return what a piece with so many buds is worth against a full one. [percent]"""
    percents = rules.bud_percent_by_count
    return percents[min(bud_count, len(percents)) - 1]


@dataclass(frozen=True, slots=True)
class _BudColumns:
    """All buds of all sticks in one run, with the stick and the number on the stick."""

    position_mm: FloatArray
    stick: IntArray
    number: IntArray

    @classmethod
    def of(cls, sticks: Sequence[Stick]) -> "_BudColumns":
        per_stick = [bud_positions_mm(stick) for stick in sticks]
        counts = [len(buds) for buds in per_stick]
        return cls(
            np.array([bud for buds in per_stick for bud in buds], dtype=np.float64),
            np.repeat(np.arange(len(sticks), dtype=np.int64), counts),
            np.array([n for count in counts for n in range(count)], dtype=np.int64),
        )


def _pieces_with_buds(
    bud_count: int,
    *,
    sticks: Sequence[Stick],
    buds: _BudColumns,
    is_scarce: NDArray[np.bool_],
    rules: CuttingRules,
) -> tuple[IntArray, IntArray, IntArray, FloatArray, FloatArray, IntArray]:
    """Return the columns of the pieces with exactly so many buds."""
    first = np.arange(max(0, len(buds.stick) - bud_count + 1))
    first = first[buds.stick[first] == buds.stick[first + bud_count - 1]]
    stick = buds.stick[first]
    if bud_count < rules.min_bud_count:
        first, stick = first[is_scarce[stick]], stick[is_scarce[stick]]
    least_mm = np.where(is_scarce[stick], rules.scarce_min_piece_mm, rules.min_piece_mm)
    top_mm = buds.position_mm[first + bud_count - 1] + rules.top_cut_above_bud_mm
    cut_mm = rules.cut_length_ratio * _diameters_mm(sticks, stick, buds.position_mm[first])
    base_mm = np.minimum(
        buds.position_mm[first] - _slant_below_bud_mm(cut_mm, rules=rules), top_mm - least_mm
    )
    usable_from_mm, usable_to_mm = _zone_columns(sticks)
    is_possible = (
        (base_mm >= _lowest_base_cut_mm(first, buds=buds, rules=rules))
        & (base_mm >= usable_from_mm[stick])
        & (top_mm <= usable_to_mm[stick])
        & (top_mm - base_mm <= rules.max_piece_mm)
    )
    first, stick, base_mm, top_mm, cut_mm = (
        column[is_possible] for column in (first, stick, base_mm, top_mm, cut_mm)
    )
    middle_mm = _diameters_mm(sticks, stick, base_mm + cut_mm / 2.0)
    number = buds.number[first]
    tenths = np.rint(middle_mm * 10.0).astype(np.int64)
    return stick, number, number + bud_count - 1, base_mm, top_mm, tenths


def _slant_below_bud_mm(cut_mm: FloatArray, *, rules: CuttingRules) -> FloatArray:
    if rules.is_bud_allowed_behind_slant:
        return cut_mm / 2.0
    return cut_mm + rules.clear_above_slant_mm


def _lowest_base_cut_mm(first: IntArray, *, buds: _BudColumns, rules: CuttingRules) -> FloatArray:
    below_mm = buds.position_mm[np.maximum(first - 1, 0)] + rules.base_cut_above_bud_mm
    return np.where(buds.number[first] > 0, below_mm, -np.inf)


def _zone_columns(sticks: Sequence[Stick]) -> tuple[FloatArray, FloatArray]:
    zones = np.array([usable_zone_mm(stick) for stick in sticks], dtype=np.float64).reshape(-1, 2)
    return zones[:, 0], zones[:, 1]


def _diameters_mm(sticks: Sequence[Stick], stick: IntArray, position_mm: FloatArray) -> FloatArray:
    """Return the diameter of each stick, in rising order, at each position. Shape: as both."""
    ends = np.array(
        [(stick.base_mm, stick.tip_mm - stick.base_mm, stick.length_mm) for stick in sticks],
        dtype=np.float64,
    ).reshape(-1, 3)[stick]
    diameters: FloatArray = ends[:, 0] + ends[:, 1] * position_mm / ends[:, 2]
    for number, measured in enumerate(sticks):
        if measured.readings:
            begin, end = np.searchsorted(stick, [number, number + 1])
            here = slice(int(begin), int(end))
            diameters[here] = np.interp(position_mm[here], *diameter_profile(measured))
    return diameters
