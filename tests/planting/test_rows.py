"""Tables that cannot be read are refused with the column's name, and nothing is guessed."""

import pytest

from graftwright.errors import GapInSeries, NotUnderstood
from graftwright.planting import CatalogueTables, VarietyTables, catalogue_from_rows, trial_rows

_NAME = {"crop": "apple", "variety": "Alder", "name": "Elder", "kind": "synonym", "source": "us"}


def test_no_tables_make_an_empty_catalogue() -> None:
    catalogue = catalogue_from_rows(CatalogueTables())
    assert catalogue.varieties == ()
    assert catalogue.rootstocks == ()


@pytest.mark.parametrize(
    ("column", "text"), [("crop", "banana"), ("kind", "nickname"), ("crop", "")]
)
def test_a_word_outside_the_choice_names_its_column(column: str, text: str) -> None:
    table = VarietyTables(names=({**_NAME, column: text},))
    with pytest.raises(NotUnderstood, match=f"column {column}"):
        catalogue_from_rows(CatalogueTables(varieties=table))


def test_a_missing_column_is_named() -> None:
    row = {key: text for key, text in _NAME.items() if key != "crop"}
    with pytest.raises(GapInSeries, match="no column crop"):
        catalogue_from_rows(CatalogueTables(varieties=VarietyTables(names=(row,))))


@pytest.mark.parametrize("text", ["five", "nan", "inf", "1,5"])
def test_a_number_that_is_none_names_its_column(text: str) -> None:
    row = {"trial": "T", "scion": "S", "rootstock": "M9", "site": "X", "age_years": text}
    with pytest.raises(NotUnderstood, match="age_years"):
        trial_rows((row,))


def test_an_unreadable_ploidy_is_refused() -> None:
    row = {"name": "Alder", "ploidy_usda": "many"}
    table = VarietyTables(apple_ploidy=(row,))
    with pytest.raises(NotUnderstood, match="ploidy"):
        catalogue_from_rows(CatalogueTables(varieties=table))


def test_an_empty_cell_stays_empty() -> None:
    row = {"trial": "T", "scion": "S", "rootstock": "M9", "site": "X", "age_years": "5"}
    (found,) = trial_rows((row,))
    assert found.trunk_section_cm2 is None
    assert found.height_m is None
