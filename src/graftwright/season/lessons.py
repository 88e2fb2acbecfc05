"""What lessons hold: rates as ranges, likely causes, costs, what changes next winter."""

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
class HiddenRates:
    """People whose rows are left out, and how many grafts they made; never how many took."""

    people_count: int
    graft_count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class SuspectRow:
    """A level of what was recorded, its losses against those elsewhere, and whether it is claimed.

    `chance_fraction` is how often losses spread by chance alone would make the worst of all look as
    bad. `same_grafts_as` cannot be told apart from it. Counts of a hidden person are None.
    """

    factor: str
    level: str
    lost_count: int | None
    of_count: int | None
    elsewhere_lost_count: int | None
    elsewhere_of_count: int | None
    chance_fraction: float
    is_claimed: bool
    same_grafts_as: tuple[str, ...]
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CauseFindings:
    """One kind of loss searched for causes: what stands out, and the next on the list.

    `alarm_fraction` is how often anything at all is claimed though only chance was at work.
    """

    kind: str
    lost_count: int
    of_count: int
    alarm_fraction: float
    claimed: tuple[SuspectRow, ...]
    others: tuple[SuspectRow, ...]
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class NotedCause:
    """A cause as it was written down, or a sign seen when a failed graft was opened."""

    what: str
    count: int
    of_count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class CostRow:
    """What one stage costs: for each tree that enters it, and for each tree handed over."""

    stage: str
    each_money: float
    through_fraction: float
    per_living_money: float
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CostOfTree:
    """What a living tree costs, stage by stage; the lost ones are carried by those that live."""

    currency: str
    rows: tuple[CostRow, ...]
    total_money: float
    if_none_were_lost_money: float


@dataclass(frozen=True, slots=True, kw_only=True)
class LineChange:
    """What this year's results do to the belief and to the grafts for one kind of tree.

    The ranges are of the whole way from graft to tree, in words.
    """

    variety: str
    stock: str
    wanted_count: int
    graft_count_before: int
    graft_count_after: int
    per_ten_before_count: int
    per_ten_after_count: int
    belief_before: str
    belief_after: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Lessons:
    """What a season teaches."""

    season: int
    seasons: tuple[int, ...]
    rates: tuple[LessonRow, ...]
    hidden: HiddenRates
    findings: tuple[CauseFindings, ...]
    noted: tuple[NotedCause, ...]
    opened: tuple[NotedCause, ...]
    cost: CostOfTree | None
    changes: tuple[LineChange, ...]
    remarks: tuple[str, ...]
