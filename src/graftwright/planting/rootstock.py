"""A rootstock as the catalogue holds it: one report for each source, none averaged."""

from dataclasses import dataclass

from graftwright.errors import OutOfRange
from graftwright.planting.reports import Crop, GivenName, RightsRecord, SourceKind
from graftwright.tongue import told


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """A range as printed; one end may be open when the source gives only the other."""

    low: float | None
    high: float | None

    def __post_init__(self) -> None:
        if self.low is not None and self.high is not None and self.low > self.high:
            raise OutOfRange(
                told(
                    "a range from {low} to {high}; expected the low end first; swap the "
                    "two figures",
                    low=self.low,
                    high=self.high,
                )
            )

    @property
    def is_known(self) -> bool:
        """Whether the source gives either end."""
        return self.low is not None or self.high is not None


UNKNOWN_SPAN = Span(low=None, high=None)


@dataclass(frozen=True, slots=True, kw_only=True)
class RootstockReport:
    """What one source prints about one rootstock.

    Heights, spreads and distances are in metres; `standard_percent` is against a seedling tree;
    `needs_permanent_stake` is None where the source is silent.
    """

    source: str
    source_kind: SourceKind
    standard_percent: Span = UNKNOWN_SPAN
    height_m: Span = UNKNOWN_SPAN
    spread_m: float | None = None
    in_row_m: Span = UNKNOWN_SPAN
    row_spacing_m: float | None = None
    needs_permanent_stake: bool | None = None
    years_to_crop: Span = UNKNOWN_SPAN
    container_word: str = ""
    soil_notes: str = ""
    health_notes: str = ""
    union_height_advice: str = ""
    note: str = ""
    is_shared_figure: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Rootstock:
    """A rootstock with all its names and all its reports."""

    key: str
    crop: Crop
    preferred_name: str
    species: str
    names: tuple[GivenName, ...]
    reports: tuple[RootstockReport, ...] = ()
    rights: tuple[RightsRecord, ...] = ()

    @property
    def stake_sources(self) -> tuple[tuple[str, ...], tuple[str, ...]]:
        """Sources that want a stake for life, and sources that do not."""
        wanted = (r.source for r in self.reports if r.needs_permanent_stake is True)
        unwanted = (r.source for r in self.reports if r.needs_permanent_stake is False)
        return tuple(wanted), tuple(unwanted)


@dataclass(frozen=True, slots=True, kw_only=True)
class FormSpacing:
    """What one source prints about one tree form: distances, heights, clear stem. [m]"""

    form: str
    crops: tuple[Crop, ...]
    rootstocks: str
    in_row_m: Span
    row_m: Span
    height_m: Span
    clear_stem_m: Span
    support: str
    source: str
    source_kind: SourceKind
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class TrialRow:
    """Mean trunk section of one stock at one trial site, with height and spread where given.

    `site_count` is how many sites the figure is the mean of.
    """

    trial: str
    scion: str
    rootstock: str
    site: str
    age_years: float
    trunk_section_cm2: float | None
    height_m: float | None
    spread_m: float | None
    source: str
    site_count: int = 1
