"""A variety as the catalogue holds it: many names, and every source's word side by side."""

from dataclasses import dataclass, replace

from graftwright.planting.conditions import VarietyVigour
from graftwright.planting.naming import folded_name
from graftwright.planting.reports import (
    Crop,
    FloweringDate,
    FloweringGroupReport,
    FloweringOrder,
    GivenName,
    NameKind,
    PloidyReport,
    RightsRecord,
    SAlleleReport,
    SelfFertility,
    SelfFertilityReport,
    VigourReport,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Variety:
    """A variety; an empty tuple means that nothing is known, never that nothing is there.

    `is_doubtful` marks a local or as-received name that nobody has tied to a variety yet.
    """

    key: str
    crop: Crop
    preferred_name: str
    names: tuple[GivenName, ...]
    introduced_year: int | None = None
    ploidy_reports: tuple[PloidyReport, ...] = ()
    s_allele_reports: tuple[SAlleleReport, ...] = ()
    self_fertility_reports: tuple[SelfFertilityReport, ...] = ()
    flowering_groups: tuple[FloweringGroupReport, ...] = ()
    flowering_orders: tuple[FloweringOrder, ...] = ()
    flowering_dates: tuple[FloweringDate, ...] = ()
    refuses_pollen_of: tuple[str, ...] = ()
    vigour_reports: tuple[VigourReport, ...] = ()
    rights: tuple[RightsRecord, ...] = ()
    is_doubtful: bool = False

    @property
    def ploidy_count(self) -> int | None:
        """Sets of chromosomes where the sources agree, else None; measured outranks inferred."""
        sure = [report for report in self.ploidy_reports if not report.is_doubtful]
        measured = {report.ploidy_count for report in sure if report.is_measured}
        found = measured or {report.ploidy_count for report in sure}
        return found.pop() if len(found) == 1 else None

    @property
    def is_triploid(self) -> bool | None:
        """True or False where the ploidy is known, else None."""
        return None if self.ploidy_count is None else self.ploidy_count == 3

    @property
    def s_alleles(self) -> frozenset[str] | None:
        """The alleles where all reports agree and all are identified, else None."""
        found = {frozenset(report.alleles) for report in self.s_allele_reports}
        if len(found) != 1 or any("?" in allele for allele in next(iter(found))):
            return None
        return next(iter(found))

    @property
    def self_fertility(self) -> SelfFertility:
        """One word where the sources agree; else that they disagree, or that nothing is known."""
        found = {report.self_fertility for report in self.self_fertility_reports}
        if not found:
            return SelfFertility.NOT_KNOWN
        return found.pop() if len(found) == 1 else SelfFertility.SOURCES_DISAGREE

    @property
    def vigour(self) -> VarietyVigour:
        """How strongly it grows where the sources agree; not known where they differ."""
        found = {report.vigour for report in self.vigour_reports}
        return found.pop() if len(found) == 1 else VarietyVigour.NOT_KNOWN


def variety_key(name: str, *, crop: Crop) -> str:
    """Make the key under which a variety is kept, such as "apple:ashmeads kernel"."""
    return f"{crop.value}:{folded_name(name)}"


def provisional_variety(
    name: str, *, crop: Crop, source: str, kind: NameKind = NameKind.AS_RECEIVED
) -> Variety:
    """Make a variety of which only a name is known; it stays doubtful until someone joins it."""
    given = GivenName(text=name, kind=kind, source=source)
    return Variety(
        key=variety_key(name, crop=crop),
        crop=crop,
        preferred_name=name,
        names=(given,),
        is_doubtful=True,
    )


def joined_variety(kept: Variety, other: Variety) -> Variety:
    """Give the kept record everything the other one knows; its own name and key stay first."""
    return replace(
        kept,
        names=kept.names + tuple(name for name in other.names if name not in kept.names),
        introduced_year=kept.introduced_year or other.introduced_year,
        ploidy_reports=kept.ploidy_reports + other.ploidy_reports,
        s_allele_reports=kept.s_allele_reports + other.s_allele_reports,
        self_fertility_reports=kept.self_fertility_reports + other.self_fertility_reports,
        flowering_groups=kept.flowering_groups + other.flowering_groups,
        flowering_orders=kept.flowering_orders + other.flowering_orders,
        flowering_dates=kept.flowering_dates + other.flowering_dates,
        refuses_pollen_of=kept.refuses_pollen_of + other.refuses_pollen_of,
        vigour_reports=kept.vigour_reports + other.vigour_reports,
        rights=kept.rights + other.rights,
        is_doubtful=kept.is_doubtful and other.is_doubtful,
    )
