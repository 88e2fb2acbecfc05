"""Entries about mother trees and the wood cut from them."""

from dataclasses import dataclass
from datetime import date

from graftwright.errors import OutOfRange
from graftwright.notebook.entries.entry import Entry
from graftwright.tongue import Choice, say, told


class Certainty(Choice):
    """How sure the name of a mother tree is."""

    FRUITED = "fruited and checked"
    DNA = "DNA matched"
    LABEL = "label only"
    OWNER = "owner says"
    UNKNOWN = "unknown"


class Health(Choice):
    """What was seen of a mother tree's health."""

    CLEAN = "clean"
    SUSPECT = "suspect"
    DISEASED = "diseased"


class Condition(Choice):
    """The state of a bundle in store."""

    FIRM = "firm"
    DRY = "dry"
    MOULD = "mould"
    SWOLLEN = "swollen"
    GREEN = "green"


@dataclass(frozen=True, slots=True, kw_only=True)
class StickMeasured:
    """One stick as measured: length and both thicknesses [mm], its buds counted or placed.

    `buds_mm` are the places of the buds from the base [mm]; empty when only counted.
    """

    number: int
    length_mm: float
    base_mm: float
    tip_mm: float
    bud_count: int
    buds_mm: tuple[float, ...] = ()

    def __post_init__(self) -> None:
        if not 20.0 <= self.length_mm <= 3000.0:
            raise OutOfRange(
                told("stick of {length_mm:g} mm; expected 20 to 3000 mm", length_mm=self.length_mm)
            )
        if not 1.0 <= self.tip_mm <= self.base_mm <= 40.0:
            raise OutOfRange(
                told(
                    "stick {base_mm:g} mm thick at the base and {tip_mm:g} mm at the tip; "
                    "expected 1 to 40 mm and the base at least as thick: are the ends "
                    "swapped?",
                    base_mm=self.base_mm,
                    tip_mm=self.tip_mm,
                )
            )
        if self.bud_count < 1:
            raise OutOfRange(
                told("stick with {bud_count} buds; expected at least one", bud_count=self.bud_count)
            )
        if self.buds_mm and any(not 0.0 <= at <= self.length_mm for at in self.buds_mm):
            raise OutOfRange(say("a bud lies outside its stick; places run from the base in mm"))


@dataclass(frozen=True, slots=True, kw_only=True)
class MotherTreeEntered(Entry):
    """A tree that wood may come from was written down."""

    code: str
    variety: str
    as_received: str = ""
    certainty: Certainty = Certainty.UNKNOWN
    site: str = ""
    owner: str = ""
    latitude_deg: float | None = None
    longitude_deg: float | None = None
    visit_on_pruning: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class CertaintyJudged(Entry):
    """Someone judged how sure the name is, and from what."""

    code: str
    certainty: Certainty
    evidence: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class NameDecided(Entry):
    """The mother tree got another name; everything raised from it follows."""

    code: str
    variety: str
    evidence: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PermissionRecorded(Entry):
    """The owner said what may be cut, and what was promised back."""

    code: str
    owner: str
    words: str = ""
    granted: bool = True
    promised_back_count: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class HealthNoted(Entry):
    """What was seen of the mother tree's health."""

    code: str
    health: Health
    words: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ShootsMeasured(Entry):
    """The year's shoots on a mother tree were measured [mm]."""

    code: str
    shoot_length_mm: float
    shoot_thickness_mm: float
    shoot_count: int = 0


class EvidenceKind(Choice):
    """What speaks for a tree's name."""

    FRUIT = "fruit"
    LEAF = "leaf and shoot"
    FLOWER = "flowering time"
    DNA = "DNA test"
    PAPERS = "papers and maps"
    WORD = "somebody's word"


@dataclass(frozen=True, slots=True, kw_only=True)
class EvidenceNoted(Entry):
    """Something that speaks for a name, or against it, or for none; it decides nothing by itself.

    An empty `speaks_for` is a result too: no match was found.
    """

    code: str
    evidence: EvidenceKind
    words: str
    speaks_for: str = ""
    is_against: bool = False

    def __post_init__(self) -> None:
        Entry.__post_init__(self)
        if not self.words.strip():
            raise OutOfRange(
                say("evidence without words; expected what was seen or said, and by whom")
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class RescuePlanned(Entry):
    """A mother tree will be lost: until when it can be reached, and how many must live."""

    code: str
    access_until: date
    wanted_count: int
    sureness_fraction: float = 0.9
    words: str = ""

    def __post_init__(self) -> None:
        Entry.__post_init__(self)
        if self.wanted_count < 1 or not 0.0 < self.sureness_fraction < 1.0:
            raise OutOfRange(
                told(
                    "{wanted_count} trees at a sureness of {sureness_fraction:g}; expected "
                    "at least one tree and a sureness between 0 and 1",
                    wanted_count=self.wanted_count,
                    sureness_fraction=self.sureness_fraction,
                )
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class WoodCut(Entry):
    """A bundle of sticks was cut from a mother tree, or came by post (then `from_whom`)."""

    code: str
    variety: str
    mother_tree_code: str = ""
    from_whom: str = ""
    sticks: tuple[StickMeasured, ...] = ()
    place_code: str = ""
    packing: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class SticksMeasured(Entry):
    """The sticks of a bundle were measured; replaces what was known of them."""

    code: str
    sticks: tuple[StickMeasured, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class BundleChecked(Entry):
    """A bundle in store was looked at."""

    code: str
    condition: Condition
    words: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class BundleMoved(Entry):
    """A bundle went to another place."""

    code: str
    place_code: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BundleDiscarded(Entry):
    """What was left of a bundle was thrown away."""

    code: str
    reason: str = ""
