"""What lessons hold: rates as ranges, losses that clump, and what changes next winter."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class LessonRow:
    """One rate: of what, at which stage, the counts, the belief with its 90 % range."""

    by: str
    name: str
    stage: str
    tried_count: int
    passed_count: int
    mean_fraction: float
    low_fraction: float
    high_fraction: float
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CauseRow:
    """Losses that stand out, or a cause as it was written down, with its counts."""

    cause: str
    count: int
    of_count: int
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LineChange:
    """What this year's results do to the grafts needed for one kind of tree."""

    variety: str
    stock: str
    wanted_count: int
    graft_count_before: int
    graft_count_after: int
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Lessons:
    """What a season teaches."""

    season: int
    rates: tuple[LessonRow, ...]
    causes: tuple[CauseRow, ...]
    changes: tuple[LineChange, ...]
    remarks: tuple[str, ...]
