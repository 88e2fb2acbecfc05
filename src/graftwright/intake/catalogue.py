"""The shipped catalogue, read from the tables that come with the package."""

import csv
from collections.abc import Mapping, Sequence
from functools import cache
from importlib.resources import files

from graftwright.planting.catalogue import Catalogue
from graftwright.planting.rows import CatalogueTables, catalogue_from_rows
from graftwright.planting.variety_rows import VarietyTables
from graftwright.tongue import ENGLISH, speaking


@cache
def shipped_catalogue() -> Catalogue:
    """Read the shipped tables and build the catalogue; the same value is given each time."""
    varieties = VarietyTables(
        names=_rows("variety_names.csv"),
        apple_cultivars=_rows("apple_cultivars.csv"),
        apple_ploidy=_rows("apple_ploidy_usda.csv"),
        apple_s_genotypes=_rows("apple_s_genotypes.csv"),
        cherry_s_genotypes=_rows("cherry_s_genotypes.csv"),
        flowering_groups=_rows("variety_flowering_groups.csv"),
        flowering_records=_rows("flowering_dates_klein_altendorf_zaragoza.csv"),
        cherry_phenology=_rows("cherry_phenology_europe.csv"),
        self_fertility=_rows("variety_self_fertility.csv"),
        incompatible_pairs=_rows("variety_incompatible_pairs.csv"),
        ploidy_notes=_rows("variety_ploidy_notes.csv"),
        vigour=_rows("variety_vigour.csv"),
    )
    tables = CatalogueTables(
        rootstocks=_rows("rootstocks.csv"),
        rootstock_names=_rows("rootstock_names.csv"),
        compatibility=_rows("compatibility.csv"),
        spacing_forms=_rows("spacing_forms.csv"),
        rootstock_trials=_rows("rootstock_trials.csv"),
        varieties=varieties,
    )
    with speaking(None, language=ENGLISH):  # one catalogue for readers of every language
        return catalogue_from_rows(tables)


def _rows(file_name: str) -> Sequence[Mapping[str, str]]:
    shipped = files("graftwright").joinpath("data", file_name)
    with shipped.open(encoding="utf-8") as table:
        lines = csv.reader(table)
        columns = next(lines)
        return tuple(dict(zip(columns, line, strict=True)) for line in lines if line)
