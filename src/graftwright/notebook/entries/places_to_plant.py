"""Entries about spots where trees are to stand, and about names and rights of varieties."""

from dataclasses import dataclass
from datetime import date

from graftwright.errors import OutOfRange
from graftwright.notebook.entries.entry import NAMES_KEY, SPOT_KEY, Entry
from graftwright.planting import (
    Crop,
    Exposure,
    Ground,
    RightsStatus,
    Soil,
    TreeForm,
    VarietyVigour,
    Wetness,
)
from graftwright.tongue import say, told

_LONGEST_NAME = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class SpotDescribed(Entry):
    """A spot was described in six answers, with the trees about it.

    A spot goes by its name, in any case and spacing; a later description replaces an earlier one.
    """

    spot_name: str
    space_m: float
    height_limit_m: float | None = None
    crop: Crop = Crop.APPLE
    soil: Soil = Soil.NOT_KNOWN
    wetness: Wetness = Wetness.NOT_KNOWN
    exposure: Exposure = Exposure.NOT_KNOWN
    ground: Ground = Ground.NOT_KNOWN
    is_stake_allowed: bool = True
    pot_litres: float | None = None
    form: TreeForm = TreeForm.BUSH
    wanted_varieties: tuple[str, ...] = ()
    neighbours_varieties: tuple[str, ...] = ()
    has_many_trees_near: bool = False
    promise_code: str = ""
    variety_vigour: VarietyVigour = VarietyVigour.NOT_KNOWN

    def __post_init__(self) -> None:
        Entry.__post_init__(self)
        if not 1 <= len(self.spot_name.strip()) <= _LONGEST_NAME:
            raise OutOfRange(
                told(
                    "a spot named {spot_name!r}; expected 1 to {LONGEST_NAME} signs; give "
                    "it a short name",
                    spot_name=self.spot_name[:70],
                    LONGEST_NAME=_LONGEST_NAME,
                )
            )

    @property
    def spot_key(self) -> str:
        """The key under which the spot is kept."""
        return SPOT_KEY + " ".join(self.spot_name.casefold().split())[:_LONGEST_NAME]

    def concerns(self) -> tuple[str, ...]:
        """Return the spot's key, and the promise it was described for."""
        return (self.spot_key, *((self.promise_code,) if self.promise_code else ()))


@dataclass(frozen=True, slots=True, kw_only=True)
class _AboutNames(Entry):
    def concerns(self) -> tuple[str, ...]:
        """Return the key of names and rights."""
        return (NAMES_KEY,)


@dataclass(frozen=True, slots=True, kw_only=True)
class NamesJoined(_AboutNames):
    """Someone decided that two names are one variety, and from what."""

    kept: str
    joined: str
    because: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class NamesParted(_AboutNames):
    """A joining was taken back: the name stands for itself again."""

    joined: str
    because: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class RightsRecorded(_AboutNames):
    """Breeders' rights on a variety or stock were looked up on that day, in one country."""

    plant: str
    country: str
    status: RightsStatus
    looked_up_in: str
    holder: str = ""
    ends_on: date | None = None

    def __post_init__(self) -> None:
        Entry.__post_init__(self)
        if not (self.country.strip() and self.looked_up_in.strip()):
            raise OutOfRange(
                say(
                    "a look-up of rights without country or source; expected both, since "
                    "rights hold in one country only; write where it was read"
                )
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class LeaveRecorded(_AboutNames):
    """The right-holder gave leave, or the grafter decided to go on without and said why."""

    plant: str
    country: str
    words: str
    is_override: bool = False

    def __post_init__(self) -> None:
        Entry.__post_init__(self)
        if not self.words.strip():
            raise OutOfRange(say("leave without words; expected what was allowed and by whom"))
