"""Entries about trees after the bench. Each names its trees by their codes."""

from dataclasses import dataclass

from graftwright.errors import OutOfRange
from graftwright.notebook.entries.entry import Entry
from graftwright.tongue import Choice, say, told


class Scion(Choice):
    """The scion as it stands."""

    WAITING = "waiting"
    MOVING = "moving"
    GROWING = "growing"
    DOUBTFUL = "doubtful"
    DEAD = "dead"


class StockState(Choice):
    """The stock as it stands."""

    ALIVE = "alive"
    DEAD = "dead"


class Cause(Choice):
    """What a tree was lost or hurt by."""

    DRIED = "scion dried"
    NO_CALLUS = "no callus"
    DISTURBED = "union disturbed"
    FROST = "frost"
    HEAT = "heat"
    WIND = "wind"
    KNOCKED = "knocked"
    ANIMAL = "animal"
    DROUGHT = "drought"
    WET = "winter wet"
    ROOTS = "poor roots"
    DISEASE = "disease"
    APHID = "aphid"
    MILDEW = "mildew"
    LEADER_LOST = "leader lost"
    UNKNOWN = "not known"


@dataclass(frozen=True, slots=True, kw_only=True)
class TreeEntry(Entry):
    """An entry about trees named by their codes."""

    tree_codes: tuple[str, ...]

    def __post_init__(self) -> None:
        Entry.__post_init__(self)
        if not self.tree_codes:
            raise OutOfRange(say("no tree named; give at least one code"))


@dataclass(frozen=True, slots=True, kw_only=True)
class TreeMoved(TreeEntry):
    """Trees went to another place, or another position in it."""

    place_code: str
    position: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class TreeSeen(TreeEntry):
    """Trees were seen on a walk, where they stood."""

    place_code: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class BudsMoved(TreeEntry):
    """The scion's buds were seen moving. That is not yet a take."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TakeJudged(TreeEntry):
    """Someone judged scion and stock, each for itself."""

    scion: Scion
    stock: StockState = StockState.ALIVE
    words: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class GrowthMeasured(TreeEntry):
    """New growth of the scion was measured [mm]."""

    growth_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class BindingLoosened(TreeEntry):
    """The binding was slit or loosened."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BindingOff(TreeEntry):
    """The binding was taken off."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StockShootsOff(TreeEntry):
    """Shoots below the union were rubbed off."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ShootsThinned(TreeEntry):
    """The scion's shoots were thinned to so many."""

    to_count: int

    def __post_init__(self) -> None:
        TreeEntry.__post_init__(self)
        if self.to_count not in (1, 2, 3):
            raise OutOfRange(
                told("thinned to {to_count} shoots; expected 3, 2 or 1", to_count=self.to_count)
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Caned(TreeEntry):
    """The leader was tied to a cane."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PottedOn(TreeEntry):
    """Trees went into another pot [litres]."""

    pot_litres: float


@dataclass(frozen=True, slots=True, kw_only=True)
class DamageNoted(TreeEntry):
    """Damage was seen that the tree may outlive."""

    cause: Cause
    words: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ScionDied(TreeEntry):
    """The scion is dead; the stock may live."""

    cause: Cause = Cause.UNKNOWN
    words: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class StockDied(TreeEntry):
    """The stock is dead, and the scion with it. Never counts against the grafter."""

    cause: Cause = Cause.UNKNOWN
    words: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class UnionBroke(TreeEntry):
    """A union that had taken was broken: a take, yet no tree."""

    cause: Cause = Cause.UNKNOWN


@dataclass(frozen=True, slots=True, kw_only=True)
class Graded(TreeEntry):
    """The tree was graded in autumn: ready to hand over or not, with its height [m]."""

    ready: bool
    height_m: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Planted(TreeEntry):
    """The tree was planted out, its union so far above the soil [mm]."""

    union_height_mm: float | None = None
    where: str = ""
