"""Entries about a tree's later life: why it failed, its second working, its further varieties."""

from dataclasses import dataclass
from enum import StrEnum

from graftwright.errors import OutOfRange
from graftwright.notebook.entries.bench import Binding, Method
from graftwright.notebook.entries.trees import Scion, TreeEntry
from graftwright.tongue import english, marked, say, told


@dataclass(frozen=True, slots=True, kw_only=True)
class AutopsyMade(TreeEntry):
    """A failed graft was opened; each sign is seen, not seen, or (None) not looked for."""

    scion_shrivelled: bool | None = None
    callus_seen: bool | None = None
    wood_dark: bool | None = None
    union_moved: bool | None = None
    upside_down: bool | None = None
    words: str = ""

    @property
    def signs(self) -> tuple[str, ...]:
        """What was seen, in words."""
        looked = (
            (self.scion_shrivelled, say("scion shrivelled"), say("scion plump")),
            (self.callus_seen, say("callus there"), say("no callus")),
            (self.wood_dark, say("cut dark"), say("cut clean")),
            (self.union_moved, say("union had moved"), say("union held firm")),
            (self.upside_down, say("scion upside down"), say("scion the right way up")),
        )
        return tuple(yes if seen else no for seen, yes, no in looked if seen is not None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Reworked(TreeEntry):
    """The stock was worked again, or a tree changed over: the code stays, a new working begins.

    A bud that rests until spring breaks in `breaks_in`, the year of that spring.
    """

    bundle_code: str
    method: Method = Method.CHIP_BUD
    binding: Binding = Binding.STRETCH_FILM
    grafter: str = ""
    promise_code: str = ""
    breaks_in: int | None = None
    spoilt_count: int = 0

    def __post_init__(self) -> None:
        TreeEntry.__post_init__(self)
        if self.breaks_in is not None and not 0 <= self.breaks_in - self.happened_on.year <= 1:
            raise OutOfRange(
                told(
                    "buds set on {happened_on} to break in {breaks_in}; expected that year "
                    "or the next",
                    happened_on=self.happened_on,
                    breaks_in=self.breaks_in,
                )
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class VarietyAdded(TreeEntry):
    """A further variety was worked on a tree, so high [mm] and facing so [degrees from north]."""

    bundle_code: str
    height_mm: float
    bearing_deg: float
    limb: str = ""
    method: Method = Method.WHIP_AND_TONGUE
    grafter: str = ""

    def __post_init__(self) -> None:
        TreeEntry.__post_init__(self)
        if not 0.0 <= self.height_mm <= 15_000.0:
            raise OutOfRange(
                told("graft {height_mm:g} mm up; expected 0 to 15000 mm", height_mm=self.height_mm)
            )
        if not 0.0 <= self.bearing_deg < 360.0:
            raise OutOfRange(
                told(
                    "graft facing {bearing_deg:g} degrees; expected 0 (north) to below 360",
                    bearing_deg=self.bearing_deg,
                )
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class PartJudged(TreeEntry):
    """One of several varieties on a tree was judged, by its number in the order of working."""

    part_number: int
    scion: Scion
    words: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class LimbGirthMeasured(TreeEntry):
    """The girth of the limb that bears one of several varieties [mm], a hand above its union.

    `part_number` counts in the order of working; 0 is the variety the tree was grafted with.
    """

    part_number: int
    girth_mm: float

    def __post_init__(self) -> None:
        TreeEntry.__post_init__(self)
        if self.part_number < 0 or not 3.0 <= self.girth_mm <= 3000.0:
            raise OutOfRange(
                told(
                    "girth of {girth_mm:g} mm on graft {part_number}; expected 3 to 3000 "
                    "mm round a limb, and a number from the tree's list",
                    girth_mm=self.girth_mm,
                    part_number=self.part_number,
                )
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class LimbRemoved(TreeEntry):
    """A limb was cut off, and with it every graft that stood on it."""

    limb: str


class HowSure(StrEnum):
    """How sure it is which variety a fruit is of."""

    CERTAIN = "certain"
    LIKELY = "likely"
    GUESS = english(marked("a guess"))


_SAID = (marked("certain"), marked("likely"), marked("a guess"))


@dataclass(frozen=True, slots=True, kw_only=True)
class FruitedAs(TreeEntry):
    """The tree fruited, and the fruit was judged to be of a variety; empty where unknown.

    `how_sure` is None where nobody said.
    """

    variety: str
    words: str = ""
    how_sure: HowSure | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class StockCarriedOver(TreeEntry):
    """A living stock without its scion was kept for the next winter, as one of a lot."""

    lot_code: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StockShootKept(TreeEntry):
    """Stock shoots were pinched and the best one kept, to feed the roots or to be budded."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StockCutBack(TreeEntry):
    """The stock was cut back to just above a bud that had rested through the winter."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HardeningBegun(TreeEntry):
    """Trees from under cover began to stand outside by day."""
