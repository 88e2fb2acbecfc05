"""What a source says about one variety: each report is kept apart, none is averaged."""

from dataclasses import dataclass
from datetime import date

from graftwright.errors import OutOfRange
from graftwright.planting.conditions import VarietyVigour
from graftwright.tongue import Choice, told


class Crop(Choice):
    """The kinds of fruit the catalogue tells apart."""

    APPLE = "apple"
    PEAR = "pear"
    PLUM = "plum"
    CHERRY = "cherry"
    APRICOT = "apricot"
    PEACH = "peach"
    QUINCE = "quince"
    MEDLAR = "medlar"
    LOQUAT = "loquat"


class SourceKind(Choice):
    """How far a source can be leant on."""

    PUBLISHED = "published"
    COMMON_PRACTICE = "common-practice"
    MEMORY = "memory"
    OWN = "own"


class NameKind(Choice):
    """What sort of name a tree goes by."""

    PREFERRED = "preferred"
    SYNONYM = "synonym"
    TRADE = "trade"
    LOCAL = "local"
    AS_RECEIVED = "as received"
    SPORT = "sport"


@dataclass(frozen=True, slots=True, kw_only=True)
class GivenName:
    """One name of a variety, with who calls it so."""

    text: str
    kind: NameKind
    source: str


class SelfFertility(Choice):
    """Whether a variety sets fruit with its own pollen."""

    YES = "yes"
    PARTLY = "partly"
    NO = "no"
    SOURCES_DISAGREE = "sources disagree"
    NOT_KNOWN = "not known"


@dataclass(frozen=True, slots=True, kw_only=True)
class PloidyReport:
    """How many sets of chromosomes one source gives; a marker infers, a flow cytometer measures."""

    ploidy_count: int
    is_measured: bool
    source: str
    is_doubtful: bool = False

    def __post_init__(self) -> None:
        if not 2 <= self.ploidy_count <= 8:
            raise OutOfRange(
                told(
                    "ploidy {ploidy_count}; expected 2 to 8 sets of chromosomes; leave the "
                    "report out if it is not known",
                    ploidy_count=self.ploidy_count,
                )
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class SAlleleReport:
    """The incompatibility alleles one source gives, such as ("S3", "S7")."""

    alleles: tuple[str, ...]
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SelfFertilityReport:
    """What one source says about setting fruit alone."""

    self_fertility: SelfFertility
    source: str
    source_kind: SourceKind


@dataclass(frozen=True, slots=True, kw_only=True)
class VigourReport:
    """What one source says about how strongly a variety grows on any stock."""

    vigour: VarietyVigour
    source: str
    source_kind: SourceKind
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class FloweringGroupReport:
    """A flowering group as a list prints it, in that list's own scheme."""

    scheme: str
    group: str
    source: str
    source_kind: SourceKind


@dataclass(frozen=True, slots=True, kw_only=True)
class FloweringDate:
    """A day on which a stage of flowering was seen; counted from 1 = 1 January."""

    place: str
    year: int
    stage: str
    day_of_year: int


@dataclass(frozen=True, slots=True, kw_only=True)
class FloweringOrder:
    """A place in the order of flowering of one collection in one year (days shrunk to the mean).

    `after_reference_days` is the adjusted figure as published: good for order, not for gaps. [days]
    """

    place: str
    after_reference_days: float
    source: str


class RightsStatus(Choice):
    """What is written about breeders' rights in one country; silence is never freedom."""

    PROTECTED = "protected"
    EXPIRED = "protection ended"
    NEVER_GRANTED = "no grant found"
    NOT_KNOWN = "not known"


@dataclass(frozen=True, slots=True, kw_only=True)
class RightsRecord:
    """One look-up of breeders' rights: for which country, where it was read and on which day."""

    status: RightsStatus
    country: str
    source: str
    checked_on: date
    holder: str = ""
    ends_on: date | None = None
