"""The demo's people are invented, say so, and appear nowhere else."""

from importlib.resources import files
from pathlib import Path

import pytest

from graftwright.demo import DEFAULT_DAY, entries_until
from graftwright.demo.lines import in_mm
from graftwright.demo.mothers import MOTHERS, NEW_MOTHERS
from graftwright.demo.winter_2009 import BUNDLES, LOTS, PROMISES
from graftwright.demo.world import INITIALS
from graftwright.errors import NotUnderstood
from graftwright.intake.catalogue import shipped_catalogue
from graftwright.notebook.entries import NoteWritten
from graftwright.planting import Compatibility, verdict

_NAMES = (
    "Quill",
    "Orrock",
    "Wadlow",
    "Sleddale",
    "Alderclough",
    "Fellbeck",
    "Garthside",
    "Ottilie Marrow",
    "Pim Hallows",
    "Wilfrida Tarn",
    "Imrie Vann",
)


def test_the_notebook_says_that_its_people_are_invented() -> None:
    notes = [e.words for e in entries_until(DEFAULT_DAY) if isinstance(e, NoteWritten)]
    assert any("invented" in words for words in notes)
    assert all(any(initials in words for words in notes) for initials in INITIALS)


def test_no_other_room_knows_the_people_of_the_demo() -> None:
    root = Path(str(files("graftwright")))
    others = [path for path in root.rglob("*.py") if "demo" not in path.relative_to(root).parts]
    assert len(others) > 50
    found = [
        (path.name, name)
        for path in others
        for name in _NAMES
        if name in path.read_text(encoding="utf-8")
    ]
    assert found == []


def test_williams_is_promised_on_a_stock_that_needs_a_piece_between() -> None:
    catalogue = shipped_catalogue()
    (line,) = [line for line in PROMISES if line.variety == "pear Williams"]
    found = verdict(line.variety, line.stock, catalogue).compatibility
    assert found is Compatibility.NEEDS_INTERSTEM


def test_the_winter_promises_fourteen_lines_on_seven_stocks() -> None:
    assert len(PROMISES) == 14
    assert {line.stock for line in PROMISES} == {
        "M27",
        "M9",
        "M26",
        "M116",
        "M25",
        "Quince C",
        "St Julien A",
    }
    assert {line.stock for line in LOTS} == {line.stock for line in PROMISES}


def test_each_bundle_is_of_a_known_tree_or_came_by_post() -> None:
    keys = {line.key for line in (*MOTHERS, *NEW_MOTHERS)}
    assert all(line.mother_key in keys or line.from_whom for line in BUNDLES)


@pytest.mark.parametrize(
    ("written", "length_mm"),
    [("330 mm", 330.0), ("36 cm", 360.0), ("3/8 in", 9.525), ("9 1/2 in", 241.3)],
)
def test_an_inch_is_25_point_4_mm(written: str, length_mm: float) -> None:
    assert in_mm(written) == pytest.approx(length_mm)


def test_a_length_without_a_unit_is_refused() -> None:
    with pytest.raises(NotUnderstood, match="mm, cm or in"):
        in_mm("33")
