"""The passport file is valid field by field, by the rules of its descriptors."""

import csv
import io
import re

import pytest

from graftwright.errors import OutOfRange
from graftwright.exchange import MCPD_FIELDS, Holder, passport_csv, passport_rows
from graftwright.intake.catalogue import shipped_catalogue
from graftwright.notebook.standing import MotherTree
from tests.exchange.record import demo_notebook

# The descriptors in their order, each with what its published rule allows; every one may be empty
# but those of NEEDED. Words part several values with semicolons without a blank.
WORDS = r"[^;\s][^;]*(;[^;\s][^;]*)*"
DAY = r"\d{4}(0[0-9]|1[0-2]|--)([0-2][0-9]|3[01]|--)"
INSTITUTE = r"[A-Z]{3}\d{3,4}"
RULES = {
    "PUID": WORDS,
    "INSTCODE": INSTITUTE,
    "ACCENUMB": r"[^;]+",
    "COLLNUMB": WORDS,
    "COLLCODE": f"{INSTITUTE}(;{INSTITUTE})*",
    "COLLNAME": WORDS,
    "COLLINSTADDRESS": WORDS,
    "COLLMISSID": WORDS,
    "GENUS": r"[A-Z][a-z]+",
    "SPECIES": r"[a-z]+(-[a-z]+)?|sp\.",
    "SPAUTHOR": r"[^;]+",
    "SUBTAXA": r"(subsp|convar|var|f|Group)\..+",
    "SUBTAUTHOR": r"[^;]+",
    "CROPNAME": r"[a-z ]+",
    "ACCENAME": r"[^a-z;\s][^;]*(;[^a-z;\s][^;]*)*",
    "ACQDATE": DAY,
    "ORIGCTY": r"[A-Z]{3}",
    "COLLSITE": r"[^;]+",
    "DECLATITUDE": r"-?([0-8]?\d(\.\d{1,5})?|90(\.0{1,5})?)",
    "LATITUDE": r"\d{6}[NS]",
    "DECLONGITUDE": r"-?((\d{1,2}|1[0-7]\d)(\.\d{1,5})?|180(\.0{1,5})?)",
    "LONGITUDE": r"\d{7}[EW]",
    "COORDUNCERT": r"\d+",
    "COORDDATUM": r"[A-Z0-9]+",
    "GEOREFMETH": r"[^;]+",
    "ELEVATION": r"-?\d+",
    "COLLDATE": DAY,
    "BREDCODE": f"{INSTITUTE}(;{INSTITUTE})*",
    "BREDNAME": WORDS,
    "SAMPSTAT": r"100|110|120|130|200|300|4[0-2]\d|500|600|999",
    "ANCEST": r"[^;]+",
    "COLLSRC": r"1[0-6]|2[0-8]|30|40|50|6[0-2]|99",
    "DONORCODE": INSTITUTE,
    "DONORNAME": r"[^;]+",
    "DONORNUMB": WORDS,
    "OTHERNUMB": r"[^;:]*:[^;:]+(;[^;:]*:[^;:]+)*",
    "DUPLSITE": f"{INSTITUTE}(;{INSTITUTE})*",
    "DUPLINSTNAME": WORDS,
    "STORAGE": r"(1[0-3]|20|30|40|50|99)(;(1[0-3]|20|30|40|50|99))*",
    "MLSSTAT": r"0|1|99",
    "REMARKS": r"[A-Z]+:[^;\s][^;]*(;[A-Z]+:[^;\s][^;]*)*",
}
NEEDED = ("ACCENUMB",)
AWKWARD = MotherTree(
    code="K4T76",
    names=("pear old; ‘red’ one ", "=Ŵyn"),
    as_received="from; a card",
    evidence="leaf;shape",
    site=" by the\ngate ",
    owner="A; B",
    latitude_deg=-33.5,
    longitude_deg=151.123456789,
)


def check(rows: list[dict[str, str]]) -> None:
    assert rows
    for row in rows:
        assert tuple(row) == MCPD_FIELDS
        for name, value in row.items():
            assert value == value.strip()
            if value or name in NEEDED:
                assert re.fullmatch(RULES[name], value), f"{name}: {value!r}"


@pytest.mark.source("MCPD2015", "the list of descriptors 0 to 28, in their order")
def test_the_descriptors_are_those_of_the_standard_in_their_order() -> None:
    assert tuple(RULES) == MCPD_FIELDS


@pytest.mark.source("MCPD2015", "common formatting rules and each descriptor's own")
@pytest.mark.parametrize("holder", [None, Holder(institute_code="GBR999", country="GBR")])
def test_every_field_of_the_demo_s_mother_trees_is_valid(holder: Holder | None) -> None:
    trees = demo_notebook().mother_trees.values()
    check(passport_rows(trees, catalogue=shipped_catalogue(), holder=holder))


@pytest.mark.source("MCPD2015", "common formatting rules and each descriptor's own")
def test_awkward_words_do_not_break_a_rule() -> None:
    holder = Holder(with_owners=True)
    (row,) = passport_rows([AWKWARD], catalogue=shipped_catalogue(), holder=holder)
    check([row])
    assert row["DECLATITUDE"] == "-33.50000"
    assert row["DONORNAME"] == "A, B"


def test_owners_stay_out_unless_asked_for() -> None:
    trees = demo_notebook().mother_trees.values()
    owners = [tree.owner for tree in trees if tree.owner]
    assert owners
    text = passport_csv(trees, catalogue=shipped_catalogue()).decode()
    assert [owner for owner in owners if f",{owner}," in text] == []


def test_a_tree_of_unknown_kind_leaves_its_taxon_empty() -> None:
    tree = MotherTree(code="K4T76", names=("the one behind the chapel",))
    (row,) = passport_rows([tree], catalogue=shipped_catalogue())
    assert (row["GENUS"], row["SPECIES"], row["CROPNAME"]) == ("", "", "")


def test_the_file_has_a_header_and_a_row_a_tree_and_runs_no_formula() -> None:
    content = passport_csv([AWKWARD], catalogue=shipped_catalogue()).decode()
    (row,) = csv.DictReader(io.StringIO(content))
    assert row["ACCENAME"].startswith("'=")
    assert row["DECLATITUDE"] == "-33.50000"


@pytest.mark.parametrize(("code", "country"), [("GB1", ""), ("", "UK"), ("gbr001", "")])
def test_a_code_that_is_none_is_refused(code: str, country: str) -> None:
    with pytest.raises(OutOfRange, match="expected"):
        Holder(institute_code=code, country=country)
