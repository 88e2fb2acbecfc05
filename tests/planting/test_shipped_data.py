"""The tables that come with the package: each has its notice, none is from memory."""

import csv
from importlib.resources import files

import pytest

import graftwright.planting as planting

_DATA = files("graftwright").joinpath("data")
_LARGEST_BYTES = 2_500_000


def _tables() -> list[str]:
    return sorted(table.name for table in _DATA.iterdir() if table.name.endswith(".csv"))


def test_every_shipped_table_has_its_notice() -> None:
    notice = _DATA.joinpath("NOTICE.md").read_text(encoding="utf-8")
    assert [name for name in _tables() if f"`{name}`" not in notice] == []


@pytest.mark.parametrize(
    "words", ["Met Éireann accepts no", "Zoe Migicovsky", "Lars Caspersen", "CC0"]
)
def test_the_notices_name_those_they_must(words: str) -> None:
    assert words in _DATA.joinpath("NOTICE.md").read_text(encoding="utf-8")


def test_the_shipped_tables_stay_small() -> None:
    assert sum(len(_DATA.joinpath(name).read_bytes()) for name in _tables()) < _LARGEST_BYTES


@pytest.mark.parametrize("name", _tables())
def test_no_shipped_row_is_from_memory(name: str) -> None:
    with _DATA.joinpath(name).open(encoding="utf-8") as table:
        rows = list(csv.DictReader(table))
    assert rows
    kinds = {row.get("source_kind", "") for row in rows} | {row.get("basis", "") for row in rows}
    assert "memory" not in kinds


def test_the_public_names_are_sorted_and_all_there() -> None:
    assert planting.__all__ == sorted(planting.__all__)
    assert all(hasattr(planting, name) for name in planting.__all__)
