"""Where and how a tree is to grow: soil, form, pot, union height, and the variety's own vigour."""

from dataclasses import dataclass

from graftwright.errors import OutOfRange
from graftwright.tongue import Choice, told


class Soil(Choice):
    """How well a soil feeds a tree."""

    POOR = "poor"
    AVERAGE = "average"
    RICH = "rich"
    NOT_KNOWN = "not known"


class VarietyVigour(Choice):
    """How strongly a variety grows on any stock."""

    WEAK = "weak"
    MIDDLING = "middling"
    STRONG = "strong"
    NOT_KNOWN = "not known"


class TreeForm(Choice):
    """The shapes a fruit tree is grown in."""

    STEPOVER = "stepover"
    CORDON = "oblique cordon"
    UPRIGHT_CORDON = "upright cordon"
    ESPALIER = "espalier"
    FAN = "fan"
    PYRAMID = "pyramid"
    BUSH = "bush"
    HALF_STANDARD = "half-standard"
    STANDARD = "standard"

    @property
    def is_trained(self) -> bool:
        """Whether wires and pruning, not the stock, set the height."""
        return self in {
            TreeForm.STEPOVER,
            TreeForm.CORDON,
            TreeForm.UPRIGHT_CORDON,
            TreeForm.ESPALIER,
            TreeForm.FAN,
        }


@dataclass(frozen=True, slots=True, kw_only=True)
class GrowingConditions:
    """What else than the stock moves the size of a grown tree.

    `union_height_mm` is measured from the soil, nought or less for a buried union; `pot_litres`
    is None in open ground. Both may be None for "not known".
    """

    soil: Soil = Soil.NOT_KNOWN
    variety_vigour: VarietyVigour = VarietyVigour.NOT_KNOWN
    form: TreeForm = TreeForm.BUSH
    union_height_mm: float | None = None
    pot_litres: float | None = None

    def __post_init__(self) -> None:
        if self.union_height_mm is not None and not -300.0 <= self.union_height_mm <= 1500.0:
            raise OutOfRange(
                told(
                    "a union {union_height_mm} mm above the soil; expected -300 to 1500 "
                    "mm; measure from the soil to the join",
                    union_height_mm=self.union_height_mm,
                )
            )
        if self.pot_litres is not None and self.pot_litres <= 0.0:
            raise OutOfRange(
                told(
                    "a pot of {pot_litres} litres; expected more than nought; leave it out "
                    "for open ground",
                    pot_litres=self.pot_litres,
                )
            )
