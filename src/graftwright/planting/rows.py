"""From rows of published tables to a catalogue: each cell read once, each empty cell kept empty."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from graftwright.planting.catalogue import Catalogue
from graftwright.planting.cells import cell, list_cell, number_cell, word_cell, word_from
from graftwright.planting.naming import folded_stock_name
from graftwright.planting.notes import Compatibility, CompatibilityNote
from graftwright.planting.reports import Crop, GivenName, NameKind, SourceKind
from graftwright.planting.rootstock import (
    FormSpacing,
    Rootstock,
    RootstockReport,
    Span,
    TrialRow,
)
from graftwright.planting.variety_rows import VarietyTables, varieties_from_rows
from graftwright.tongue import marked, say

Table = Sequence[Mapping[str, str]]
_MEAN_OF_SITES = re.compile(r"mean of (\d{1,3}) sites")  # not said


@dataclass(frozen=True, slots=True, kw_only=True)
class CatalogueTables:
    """The shipped tables as rows of text, one field for each file; any may be left empty."""

    rootstocks: Table = ()
    rootstock_names: Table = ()
    compatibility: Table = ()
    spacing_forms: Table = ()
    rootstock_trials: Table = ()
    varieties: VarietyTables = field(default_factory=VarietyTables)


def catalogue_from_rows(tables: CatalogueTables) -> Catalogue:
    """Build the catalogue from rows of text; nothing is averaged and nothing is guessed.

    Raises NotUnderstood if a cell cannot be read and GapInSeries if a column is missing; the
    message names the column.
    """
    notes = tuple(_compatibility_note(row) for row in tables.compatibility)
    return Catalogue(
        varieties=varieties_from_rows(tables.varieties, notes=notes),
        rootstocks=_rootstocks(tables, notes=notes),
        compatibility_notes=notes,
        forms=tuple(_form(row) for row in tables.spacing_forms),
        trials=trial_rows(tables.rootstock_trials),
    )


def trial_rows(table: Table) -> tuple[TrialRow, ...]:
    """Read the rows of a rootstock trial table, sections in cm², heights and spreads in metres."""
    return tuple(
        TrialRow(
            trial=cell(row, "trial"),
            scion=cell(row, "scion"),
            rootstock=cell(row, "rootstock"),
            site=cell(row, "site"),
            age_years=number_cell(row, "age_years") or 0.0,
            trunk_section_cm2=number_cell(row, "trunk_cross_section_cm2"),
            height_m=number_cell(row, "tree_height_m"),
            spread_m=number_cell(row, "canopy_spread_m"),
            source=row.get("source", ""),
            site_count=_sites_in(cell(row, "site")),
        )
        for row in table
    )


def _sites_in(site: str) -> int:
    """Read "mean of 10 sites" as ten; any other site is one."""
    found = _MEAN_OF_SITES.fullmatch(site)
    return max(1, int(found[1])) if found else 1


def _span(row: Mapping[str, str], name: str) -> Span:
    return Span(low=number_cell(row, f"{name}_low"), high=number_cell(row, f"{name}_high"))


def _yes_or_no(text: str) -> bool | None:
    return {"y": True, "n": False}.get(text.strip())


def _compatibility_note(row: Mapping[str, str]) -> CompatibilityNote:
    return CompatibilityNote(
        scion_crops=tuple(
            word_from(word, kind=Crop, column="scion_crop") for word in list_cell(row, "scion_crop")
        ),
        scion_varieties=list_cell(row, "scion_varieties"),
        scion_scope=cell(row, "scion_scope").replace("all sweet", "all"),  # not said
        rootstock_names=list_cell(row, "rootstock_names"),
        rootstock_species=list_cell(row, "rootstock_species"),
        verdict=word_cell(row, "verdict", kind=Compatibility),
        interstems=list_cell(row, "interstems"),
        source=cell(row, "source"),
        source_kind=word_cell(row, "source_kind", kind=SourceKind),
        note=cell(row, "note"),
    )


def _form(row: Mapping[str, str]) -> FormSpacing:
    crops = tuple(Crop(word) for word in list_cell(row, "crop") if word in set(Crop))
    return FormSpacing(
        form=cell(row, "form"),
        crops=crops or tuple(Crop),
        rootstocks=cell(row, "rootstocks"),
        in_row_m=_span(row, "in_row_m"),
        row_m=_span(row, "row_m"),
        height_m=_span(row, "height_m"),
        clear_stem_m=_span(row, "clear_stem_m"),
        support=cell(row, "support"),
        source=cell(row, "source"),
        source_kind=word_cell(row, "source_kind", kind=SourceKind),
        note=cell(row, "note"),
    )


@dataclass(slots=True)
class _Draft:
    """A rootstock while its rows are being gathered."""

    name: str
    crop: Crop
    species: str
    names: list[GivenName]
    reports: list[RootstockReport]


def _rootstocks(
    tables: CatalogueTables, *, notes: Sequence[CompatibilityNote]
) -> tuple[Rootstock, ...]:
    drafts: dict[str, _Draft] = {}
    aliases = _stock_aliases(tables.rootstock_names)
    for row in tables.rootstocks:
        known_as = aliases.get(folded_stock_name(cell(row, "rootstock")), (cell(row, "rootstock"),))
        for name in known_as:
            draft = _draft(
                drafts, name, crop=word_cell(row, "crop", kind=Crop), species=cell(row, "species")
            )
            draft.reports.append(_stock_report(row, is_shared=len(known_as) > 1))
    _add_stocks_without_figures(drafts, tables, aliases, notes)
    _add_stock_names(drafts, tables.rootstock_names)
    return tuple(
        Rootstock(
            key=key,
            crop=draft.crop,
            preferred_name=draft.name,
            species=draft.species,
            names=tuple(draft.names),
            reports=tuple(draft.reports),
        )
        for key, draft in drafts.items()
    )


def _draft(drafts: dict[str, _Draft], name: str, *, crop: Crop, species: str) -> _Draft:
    key = folded_stock_name(name)
    if key not in drafts:
        given = GivenName(text=name, kind=NameKind.PREFERRED, source=marked("rootstock table"))
        drafts[key] = _Draft(name=name, crop=crop, species=species, names=[given], reports=[])
    return drafts[key]


def _stock_aliases(table: Table) -> dict[str, tuple[str, ...]]:
    grown: dict[str, tuple[str, ...]] = {}
    for row in table:
        key = folded_stock_name(cell(row, "name"))
        grown[key] = (*grown.get(key, ()), cell(row, "rootstock"))
    return grown


def _add_stocks_without_figures(
    drafts: dict[str, _Draft],
    tables: CatalogueTables,
    aliases: Mapping[str, tuple[str, ...]],
    notes: Sequence[CompatibilityNote],
) -> None:
    """Stocks named only in a trial or a note are in the catalogue too, with nothing known."""
    for row in tables.rootstock_trials:
        for name in aliases.get(
            folded_stock_name(cell(row, "rootstock")), (cell(row, "rootstock"),)
        ):
            _draft(drafts, name, crop=Crop.APPLE, species=say("Malus domestica"))
    for note in notes:
        for name in note.rootstock_names:
            for known_as in aliases.get(folded_stock_name(name), (name,)):
                species = "Cydonia oblonga" if "quince" in name.casefold() else ""
                _draft(drafts, known_as, crop=note.scion_crops[0], species=species)


def _add_stock_names(drafts: dict[str, _Draft], table: Table) -> None:
    for row in table:
        draft = drafts.get(folded_stock_name(cell(row, "rootstock")))
        if draft is not None and cell(row, "kind") != "shared figure":  # not said
            kind = NameKind.TRADE if cell(row, "kind") == "clone" else NameKind.SYNONYM
            draft.names.append(
                GivenName(text=cell(row, "name"), kind=kind, source=cell(row, "source"))
            )


def _stock_report(row: Mapping[str, str], *, is_shared: bool) -> RootstockReport:
    return RootstockReport(
        source=cell(row, "source"),
        source_kind=word_cell(row, "source_kind", kind=SourceKind),
        standard_percent=_span(row, "percent_of_standard"),
        height_m=_span(row, "height_m"),
        spread_m=number_cell(row, "spread_m"),
        in_row_m=_span(row, "in_row_m"),
        row_spacing_m=number_cell(row, "row_spacing_m"),
        needs_permanent_stake=_yes_or_no(cell(row, "permanent_stake")),
        years_to_crop=_span(row, "years_to_crop"),
        container_word=cell(row, "container_suitable"),
        soil_notes=cell(row, "soil_notes"),
        health_notes=cell(row, "disease_pest_notes"),
        union_height_advice=cell(row, "union_height_advice"),
        note=cell(row, "note"),
        is_shared_figure=is_shared,
    )
