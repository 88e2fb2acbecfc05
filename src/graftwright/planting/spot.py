"""A spot as somebody describes it who wants a tree there."""

from dataclasses import dataclass

from graftwright.errors import OutOfRange
from graftwright.planting.conditions import GrowingConditions, Soil, TreeForm, VarietyVigour
from graftwright.tongue import Choice, told


class Wetness(Choice):
    """How water stands in the ground."""

    DRY = "dry in summer"
    ORDINARY = "ordinary"
    WET = "wet in winter"
    NOT_KNOWN = "not known"


class Exposure(Choice):
    """How much wind a spot gets."""

    SHELTERED = "sheltered"
    ORDINARY = "ordinary"
    EXPOSED = "exposed"
    NOT_KNOWN = "not known"


class Ground(Choice):
    """What grows, or grazes, under the tree."""

    CLEAN = "kept clean"
    MOWN = "mown grass"
    ROUGH_GRASS = "rough grass"
    GRAZED = "grazed"
    NOT_KNOWN = "not known"


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """Where a tree is to stand.

    `space_m` is the width there is for the crown, `height_limit_m` None where the sky is free,
    `soil_ph` and `pot_litres` None where not known or in open ground.
    """

    space_m: float
    height_limit_m: float | None = None
    soil: Soil = Soil.NOT_KNOWN
    soil_ph: float | None = None
    wetness: Wetness = Wetness.NOT_KNOWN
    exposure: Exposure = Exposure.NOT_KNOWN
    ground: Ground = Ground.NOT_KNOWN
    is_stake_allowed: bool = True
    pot_litres: float | None = None
    form: TreeForm = TreeForm.BUSH
    variety_vigour: VarietyVigour = VarietyVigour.NOT_KNOWN

    def __post_init__(self) -> None:
        if not 0.3 <= self.space_m <= 30.0:
            raise OutOfRange(
                told(
                    "a space of {space_m} m; expected 0.3 to 30 m; give the width there is "
                    "for the crown",
                    space_m=self.space_m,
                )
            )
        if self.height_limit_m is not None and not 0.3 <= self.height_limit_m <= 30.0:
            raise OutOfRange(
                told(
                    "a height limit of {height_limit_m} m; expected 0.3 to 30 m; leave it "
                    "out if there is none",
                    height_limit_m=self.height_limit_m,
                )
            )
        if self.soil_ph is not None and not 3.0 <= self.soil_ph <= 10.0:
            raise OutOfRange(
                told(
                    "a soil of pH {soil_ph}; expected 3 to 10; leave it out if not measured",
                    soil_ph=self.soil_ph,
                )
            )

    @property
    def conditions(self) -> GrowingConditions:
        """What of the spot moves the size of the tree."""
        return GrowingConditions(
            soil=self.soil,
            variety_vigour=self.variety_vigour,
            form=self.form,
            pot_litres=self.pot_litres,
        )
