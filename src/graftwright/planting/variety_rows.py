"""From rows of published tables to varieties, one record for each name of each crop."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from graftwright.errors import NotUnderstood
from graftwright.planting.cells import cell, number_cell, whole_number_cell, word_cell
from graftwright.planting.conditions import VarietyVigour
from graftwright.planting.naming import folded_name
from graftwright.planting.notes import CompatibilityNote
from graftwright.planting.reports import (
    Crop,
    FloweringDate,
    FloweringGroupReport,
    FloweringOrder,
    GivenName,
    NameKind,
    PloidyReport,
    SAlleleReport,
    SelfFertility,
    SelfFertilityReport,
    SourceKind,
    VigourReport,
)
from graftwright.planting.variety import Variety, variety_key
from graftwright.tongue import english, marked, told

Table = Sequence[Mapping[str, str]]

KENTVILLE = marked("Kentville, Nova Scotia")
_KENTVILLE_SOURCE = marked("Watts S. et al. 2023, Fruit Research, apple collection at Kentville")
_USDA_SOURCE = marked("United States Department of Agriculture apple collection, flow cytometry")
_SELF_COMPATIBLE_GROUP = "SC"
_CHERRY_ALLELES_SOURCE = marked(
    "Schuster M. 2020, S genotypes of cultivated sweet cherries, OpenAgrar"
)


class _Recorded(StrEnum):
    """The kinds of tree in the flowering records, as they are written there."""

    APPLE = "Apple"
    PEAR = "Pear"
    EUROPEAN_PLUM = english(marked("European Plum"))
    JAPANESE_PLUM = english(marked("Japanese Plum"))
    SWEET_CHERRY = english(marked("Sweet Cherry"))
    APRICOT = "Apricot"


_CROP_OF_RECORD = {
    _Recorded.APPLE: Crop.APPLE,
    _Recorded.PEAR: Crop.PEAR,
    _Recorded.EUROPEAN_PLUM: Crop.PLUM,
    _Recorded.JAPANESE_PLUM: Crop.PLUM,
    _Recorded.SWEET_CHERRY: Crop.CHERRY,
    _Recorded.APRICOT: Crop.APRICOT,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class VarietyTables:
    """The shipped tables about varieties, as rows of text; any may be left empty."""

    names: Table = ()
    apple_cultivars: Table = ()
    apple_ploidy: Table = ()
    apple_s_genotypes: Table = ()
    cherry_s_genotypes: Table = ()
    flowering_groups: Table = ()
    flowering_records: Table = ()
    cherry_phenology: Table = ()
    self_fertility: Table = ()
    incompatible_pairs: Table = ()
    ploidy_notes: Table = ()
    vigour: Table = ()


@dataclass(slots=True)
class _Draft:
    """A variety while its rows are being gathered."""

    name: str
    crop: Crop
    names: list[GivenName]
    introduced_year: int | None
    ploidy: list[PloidyReport]
    alleles: list[SAlleleReport]
    self_fertility: list[SelfFertilityReport]
    groups: list[FloweringGroupReport]
    orders: list[FloweringOrder]
    dates: list[FloweringDate]
    refuses: list[str]
    vigour: list[VigourReport]


class _Drafts:
    """All varieties while rows are being gathered, found by crop and by any of their names."""

    def __init__(self) -> None:
        self.by_key: dict[str, _Draft] = {}
        self.key_of_name: dict[str, str] = {}

    def named(self, name: str, *, crop: Crop, source: str) -> _Draft:
        """Give the draft that bears the name, begun anew if nobody does."""
        name = name.strip()
        spelt = variety_key(name, crop=crop)
        key = self.key_of_name.setdefault(spelt, spelt)
        if key not in self.by_key:
            given = GivenName(text=name, kind=NameKind.PREFERRED, source=source)
            self.by_key[key] = _Draft(name, crop, [given], None, [], [], [], [], [], [], [], [])
        return self.by_key[key]

    def add_name(self, row: Mapping[str, str]) -> None:
        """Let a variety go by one more name; the preferred one comes first."""
        crop, kind = word_cell(row, "crop", kind=Crop), word_cell(row, "kind", kind=NameKind)
        draft = self.named(cell(row, "variety"), crop=crop, source=cell(row, "source"))
        if kind is not NameKind.PREFERRED:
            given = GivenName(text=cell(row, "name"), kind=kind, source=cell(row, "source"))
            draft.names.append(given)
            self.key_of_name[variety_key(cell(row, "name"), crop=crop)] = variety_key(
                draft.name, crop=crop
            )


def varieties_from_rows(
    tables: VarietyTables, *, notes: Sequence[CompatibilityNote]
) -> tuple[Variety, ...]:
    """Gather the rows of all tables into one record for each variety."""
    drafts = _Drafts()
    readers: tuple[tuple[Table, Callable[[_Drafts, Mapping[str, str]], None]], ...] = (
        (tables.names, _Drafts.add_name),
        (tables.apple_cultivars, _read_apple_cultivar),
        (tables.apple_ploidy, _read_apple_ploidy),
        (tables.ploidy_notes, _read_ploidy_note),
        (tables.apple_s_genotypes, _read_apple_alleles),
        (tables.cherry_s_genotypes, _read_cherry_alleles),
        (tables.flowering_groups, _read_flowering_group),
        (tables.flowering_records, _read_flowering_record),
        (tables.cherry_phenology, _read_cherry_phenology),
        (tables.self_fertility, _read_self_fertility),
        (tables.incompatible_pairs, _read_incompatible_pair),
        (tables.vigour, _read_vigour),
    )
    for table, read in readers:
        for row in table:
            read(drafts, row)
    for note in notes:
        for name in note.scion_varieties + note.interstems:
            drafts.named(name, crop=note.scion_crops[0], source=note.source)
    return tuple(_variety(key, draft) for key, draft in drafts.by_key.items())


def _variety(key: str, draft: _Draft) -> Variety:
    return Variety(
        key=key,
        crop=draft.crop,
        preferred_name=draft.name,
        names=tuple(draft.names),
        introduced_year=draft.introduced_year,
        ploidy_reports=_with_doubt(draft.ploidy),
        s_allele_reports=tuple(draft.alleles),
        self_fertility_reports=tuple(draft.self_fertility),
        flowering_groups=tuple(draft.groups),
        flowering_orders=tuple(draft.orders),
        flowering_dates=tuple(draft.dates),
        refuses_pollen_of=tuple(draft.refuses),
        vigour_reports=tuple(draft.vigour),
    )


def _with_doubt(reports: Sequence[PloidyReport]) -> tuple[PloidyReport, ...]:
    # A doubt cast on one figure of one source stands instead of that source's plain figure.
    doubted = {(r.ploidy_count, r.source) for r in reports if r.is_doubtful}
    return tuple(
        report
        for report in dict.fromkeys(reports)
        if report.is_doubtful or (report.ploidy_count, report.source) not in doubted
    )


def _read_apple_cultivar(drafts: _Drafts, row: Mapping[str, str]) -> None:
    draft = drafts.named(cell(row, "name"), crop=Crop.APPLE, source=_KENTVILLE_SOURCE)
    if cell(row, "release_year").isdigit() and not _is_sport(draft, cell(row, "name")):
        year = whole_number_cell(row, "release_year")
        draft.introduced_year = min(year, draft.introduced_year or year)
    for column, is_measured, source in (
        ("ploidy_marker", False, _KENTVILLE_SOURCE),
        ("ploidy_usda", True, _USDA_SOURCE),
    ):
        draft.ploidy.extend(
            _ploidy_reports(cell(row, column), is_measured=is_measured, source=source)
        )
    after_days = number_cell(row, "flowering_days_from_golden_delicious")
    if after_days is not None:
        order = FloweringOrder(
            place=KENTVILLE,
            after_reference_days=after_days,
            source=_KENTVILLE_SOURCE,
        )
        draft.orders.append(order)


def _is_sport(draft: _Draft, name: str) -> bool:
    # A sport is younger than its variety: its year says nothing about the variety's.
    sports = {folded_name(given.text) for given in draft.names if given.kind is NameKind.SPORT}
    return folded_name(name) in sports


def _ploidy_reports(text: str, *, is_measured: bool, source: str) -> tuple[PloidyReport, ...]:
    return tuple(
        PloidyReport(ploidy_count=_set_count(part), is_measured=is_measured, source=source)
        for part in text.split("/")
        if part
    )


def _set_count(text: str) -> int:
    """Read "3x" as three sets of chromosomes."""
    digits = text.strip().removesuffix("x")
    if not digits.isdigit():
        raise NotUnderstood(
            told("ploidy “{text}”; expected such as 2x or 2x/4x; correct the row", text=text)
        )
    return int(digits)


def _read_apple_ploidy(drafts: _Drafts, row: Mapping[str, str]) -> None:
    draft = drafts.named(cell(row, "name"), crop=Crop.APPLE, source=_USDA_SOURCE)
    draft.ploidy.extend(
        _ploidy_reports(cell(row, "ploidy_usda"), is_measured=True, source=_USDA_SOURCE)
    )


def _read_ploidy_note(drafts: _Drafts, row: Mapping[str, str]) -> None:
    draft = drafts.named(
        cell(row, "variety"), crop=word_cell(row, "crop", kind=Crop), source=cell(row, "source")
    )
    report = PloidyReport(
        ploidy_count=whole_number_cell(row, "ploidy_count"),
        is_measured=False,
        source=cell(row, "source"),
        is_doubtful=cell(row, "is_doubtful") == "y",
    )
    draft.ploidy.append(report)


def _read_apple_alleles(drafts: _Drafts, row: Mapping[str, str]) -> None:
    draft = drafts.named(cell(row, "name"), crop=Crop.APPLE, source=cell(row, "source"))
    alleles = tuple(cell(row, "s_alleles").split())
    draft.alleles.append(SAlleleReport(alleles=alleles, source=cell(row, "source")))


def _read_cherry_alleles(drafts: _Drafts, row: Mapping[str, str]) -> None:
    draft = drafts.named(cell(row, "variety"), crop=Crop.CHERRY, source=_CHERRY_ALLELES_SOURCE)
    report = SAlleleReport(
        alleles=tuple(cell(row, "s_alleles").split()), source=_CHERRY_ALLELES_SOURCE
    )
    draft.alleles.append(report)
    if cell(row, "incompatibility_group") == _SELF_COMPATIBLE_GROUP:
        sets_alone = SelfFertilityReport(
            self_fertility=SelfFertility.YES,
            source=_CHERRY_ALLELES_SOURCE,
            source_kind=SourceKind.PUBLISHED,
        )
        draft.self_fertility.append(sets_alone)


def _read_flowering_group(drafts: _Drafts, row: Mapping[str, str]) -> None:
    draft = drafts.named(
        cell(row, "variety"), crop=word_cell(row, "crop", kind=Crop), source=cell(row, "source")
    )
    report = FloweringGroupReport(
        scheme=cell(row, "scheme"),
        group=cell(row, "group"),
        source=cell(row, "source"),
        source_kind=word_cell(row, "source_kind", kind=SourceKind),
    )
    draft.groups.append(report)


def _read_flowering_record(drafts: _Drafts, row: Mapping[str, str]) -> None:
    if cell(row, "doubtful"):
        return
    crop = _CROP_OF_RECORD[word_cell(row, "species", kind=_Recorded)]
    draft = drafts.named(cell(row, "cultivar"), crop=crop, source=cell(row, "location"))
    stage = "first flowers" if cell(row, "stage").startswith("5 ") else "full flower"  # not said
    draft.dates.append(
        FloweringDate(
            place=cell(row, "location"),
            year=whole_number_cell(row, "year"),
            stage=stage,
            day_of_year=whole_number_cell(row, "day_of_year"),
        )
    )


_CHERRY_STAGES = (
    ("begin_flowering_doy", "first flowers"),  # not said
    ("full_flowering_doy", "full flower"),  # not said
    ("end_flowering_doy", "last flowers"),  # not said
)


def _read_cherry_phenology(drafts: _Drafts, row: Mapping[str, str]) -> None:
    draft = drafts.named(cell(row, "cultivar"), crop=Crop.CHERRY, source=cell(row, "site"))
    for column, stage in _CHERRY_STAGES:
        if cell(row, column):
            day = whole_number_cell(row, column)
            draft.dates.append(
                FloweringDate(
                    place=cell(row, "site"),
                    year=whole_number_cell(row, "year"),
                    stage=stage,
                    day_of_year=day,
                )
            )


def _read_self_fertility(drafts: _Drafts, row: Mapping[str, str]) -> None:
    draft = drafts.named(
        cell(row, "variety"), crop=word_cell(row, "crop", kind=Crop), source=cell(row, "source")
    )
    report = SelfFertilityReport(
        self_fertility=word_cell(row, "self_fertility", kind=SelfFertility),
        source=cell(row, "source"),
        source_kind=word_cell(row, "source_kind", kind=SourceKind),
    )
    draft.self_fertility.append(report)


def _read_incompatible_pair(drafts: _Drafts, row: Mapping[str, str]) -> None:
    crop = word_cell(row, "crop", kind=Crop)
    one = drafts.named(cell(row, "variety"), crop=crop, source=cell(row, "source"))
    other = drafts.named(cell(row, "partner"), crop=crop, source=cell(row, "source"))
    one.refuses.append(variety_key(other.name, crop=crop))
    other.refuses.append(variety_key(one.name, crop=crop))


def _read_vigour(drafts: _Drafts, row: Mapping[str, str]) -> None:
    draft = drafts.named(
        cell(row, "variety"), crop=word_cell(row, "crop", kind=Crop), source=cell(row, "source")
    )
    draft.vigour.append(
        VigourReport(
            vigour=word_cell(row, "vigour", kind=VarietyVigour),
            source=cell(row, "source"),
            source_kind=word_cell(row, "source_kind", kind=SourceKind),
            note=row.get("note", ""),
        )
    )
