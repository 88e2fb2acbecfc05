"""Mother trees on their pages: what is written, what a new name changes, names and rights."""

from datetime import date

import pytest
from django.test import Client

from graftwright.notebook.entries import Certainty, Health
from graftwright.notebook.notebook import Notebook
from graftwright.season.mother_trees import descendants
from graftwright.season.rights_remarks import nursery_country
from graftwright.store.read import entries_of_kind, read_notebook

DAY = "2009-02-17"


def _mother(winter: Notebook) -> str:
    return max(winter.mother_trees, key=lambda code: len(descendants(code, winter)))


@pytest.mark.parametrize(
    ("deed", "answers", "field", "expected"),
    [
        ("certainty", {"certainty": "fruited and checked"}, "certainty", Certainty.FRUITED),
        ("permission", {"owner": "A. Body", "granted": "no"}, "permission", False),
        ("health", {"health": "diseased"}, "health", Health.DISEASED),
        ("shoots", {"length": "4 cm", "thickness": "5", "count": "8"}, "shoot_length_mm", 40.0),
    ],
)
def test_each_deed_writes_its_entry(
    client_here: Client,
    winter: Notebook,
    deed: str,
    answers: dict[str, str],
    field: str,
    expected: object,
) -> None:
    code = _mother(winter)
    posted = {f"{deed}-{name}": value for name, value in answers.items()}
    answer = client_here.post(
        f"/mothers/{code}/write/{deed}", {**posted, f"{deed}-happened_on": DAY}
    )
    assert answer.status_code == 302
    assert getattr(read_notebook().mother_trees[code], field) == expected
    assert client_here.get("/mothers/").status_code == 200
    assert client_here.get(f"/mothers/{code}/").status_code == 200


def test_short_shoots_bring_the_advice_a_year_ahead(client_here: Client, winter: Notebook) -> None:
    code = _mother(winter)
    posted = {"shoots-length": "40", "shoots-thickness": "4", "shoots-happened_on": DAY}
    client_here.post(f"/mothers/{code}/write/shoots", posted)
    assert "Renew this winter, cut next" in client_here.get("/mothers/").content.decode()


@pytest.mark.parametrize("length", ["", "long", "-5", "99999"])
def test_a_bad_length_stands_beside_its_field(
    client_here: Client, winter: Notebook, length: str
) -> None:
    code = _mother(winter)
    posted = {"shoots-length": length, "shoots-thickness": "4", "shoots-happened_on": DAY}
    answer = client_here.post(f"/mothers/{code}/write/shoots", posted)
    assert answer.status_code == 422
    assert 'id="id_shoots-length_error"' in answer.content.decode()
    before = winter.mother_trees[code].shoot_length_mm
    assert read_notebook().mother_trees[code].shoot_length_mm == before


def test_a_new_name_shows_every_tree_and_holder_before_it_is_said(
    client_here: Client, winter: Notebook
) -> None:
    code = _mother(winter)
    raised = descendants(code, winter)
    asked = {"variety": "Sallow Rigg Codlin", "evidence": "seen in fruit", "happened_on": DAY}
    answer = client_here.post(f"/mothers/{code}/rename", asked)
    page = answer.content.decode()
    assert answer.status_code == 200
    assert all(one.code in page and one.stock in page for one in raised)
    assert read_notebook().mother_trees[code].variety != "Sallow Rigg Codlin"
    seen = page.split('name="seen" value="')[1].split('"')[0]
    assert client_here.post(f"/mothers/{code}/rename", {**asked, "seen": seen}).status_code == 302
    notebook = read_notebook()
    assert notebook.mother_trees[code].variety == "Sallow Rigg Codlin"
    for one in raised:
        assert notebook.variety_of(notebook.trees[one.code]) == "Sallow Rigg Codlin"


def test_a_list_seen_for_another_name_is_not_enough(client_here: Client, winter: Notebook) -> None:
    code = _mother(winter)
    asked = {"variety": "One Name", "happened_on": DAY, "seen": f"{code}/Other Name/0"}
    assert client_here.post(f"/mothers/{code}/rename", asked).status_code == 200
    assert read_notebook().mother_trees[code].variety != "One Name"


def test_the_same_name_again_is_refused(client_here: Client, winter: Notebook) -> None:
    code = _mother(winter)
    same = {"variety": winter.mother_trees[code].variety, "happened_on": DAY}
    answer = client_here.post(f"/mothers/{code}/rename", same)
    assert answer.status_code == 422
    assert "already" in answer.content.decode()


def test_distance_and_direction_show_once_the_nursery_has_its_place(
    client_here: Client, winter: Notebook
) -> None:
    assert " km " not in client_here.get("/mothers/").content.decode()
    answer = client_here.post("/mothers/nursery", {"latitude": "54.2", "longitude": "-2.3"})
    assert answer.status_code == 302
    assert " km " in client_here.get("/mothers/").content.decode()
    bad = client_here.post("/mothers/nursery", {"latitude": "95", "longitude": "x"})
    assert bad.status_code == 422


def test_the_country_once_said_is_the_one_whose_rights_count(
    client_here: Client, winter: Notebook
) -> None:
    code = _mother(winter)
    assert "this country" in client_here.get(f"/mothers/{code}/").content.decode()
    answer = client_here.post("/mothers/nursery", {"country": "  United  Kingdom "})
    assert answer.status_code == 302
    assert nursery_country(read_notebook()) == "United Kingdom"
    page = client_here.get(f"/mothers/{code}/").content.decode()
    assert "rights in United Kingdom: not known" in page.replace("&#x27;", "'")
    names = client_here.get("/mothers/names/").content.decode()
    assert "Those of United Kingdom count here" in names
    assert 'value="United Kingdom"' in names


def test_a_southern_latitude_alone_is_enough_and_an_empty_form_is_not(
    client_here: Client, winter: Notebook
) -> None:
    assert client_here.post("/mothers/nursery", {"latitude": "-42.9"}).status_code == 302
    assert read_notebook().nursery.latitude_deg == -42.9
    empty = client_here.post("/mothers/nursery", {"country": " "})
    assert empty.status_code == 422
    assert "Write at least one of the three" in empty.content.decode()


def test_doubtful_names_stay_apart_until_joined_and_joining_is_undone(
    client_here: Client, winter: Notebook
) -> None:
    page = client_here.get("/mothers/names/").content.decode()
    doubt = page.split('id="doubt"')[1].split("</ul>")[0]
    assert "Sallow Rigg farmhouse apple" in doubt
    posted = {"kept": "Discovery", "joined": "Sallow Rigg farmhouse apple", "because": "DNA"}
    assert client_here.post("/mothers/names/join", posted).status_code == 302
    page = client_here.get("/mothers/names/?q=sallow+rigg").content.decode()
    assert "Sallow Rigg farmhouse apple" not in page.split('id="doubt"')[1].split("<details")[0]
    assert "Discovery" in page.split('id="find"')[1].split('id="doubt"')[0]
    client_here.post("/mothers/names/part", {"joined": "Sallow Rigg farmhouse apple"})
    page = client_here.get("/mothers/names/").content.decode()
    assert "Sallow Rigg farmhouse apple" in page.split('id="doubt"')[1].split("</ul>")[0]
    assert len(entries_of_kind("NamesJoined", "NamesParted")) == 2


def test_names_of_two_crops_are_refused_beside_the_field(
    client_here: Client, winter: Notebook
) -> None:
    posted = {"kept": "Discovery", "joined": "Conference", "because": "a guess"}
    answer = client_here.post("/mothers/names/join", posted)
    assert answer.status_code == 422
    assert "one crop" in answer.content.decode().split('id="id_kept_error"')[1].split("</ul>")[0]
    assert not entries_of_kind("NamesJoined")


def test_not_known_is_never_free_and_a_protected_variety_prompts_in_the_plan(
    client_here: Client, winter: Notebook
) -> None:
    code = next(c for c, m in winter.mother_trees.items() if m.variety == "Discovery")
    assert "not known" in client_here.get(f"/mothers/{code}/").content.decode()
    posted = {
        "plant": "Discovery",
        "country": "Elsewhere",
        "status": "protected",
        "looked_up_in": "the public register",
        "ends_on": "2021-12-31",
        "happened_on": DAY,
    }
    assert client_here.post("/mothers/names/rights", posted).status_code == 302
    for address in ("/plan/", f"/mothers/{code}/"):
        page = client_here.get(address).content.decode()
        assert "rights in Elsewhere: protected" in page
        assert "2009-02-17" in page
        assert "the public register" in page
    (written,) = entries_of_kind("RightsRecorded")
    assert written.entry.happened_on == date(2009, 2, 17)


@pytest.mark.parametrize("missing", ["plant", "country", "status", "looked_up_in"])
def test_a_look_up_without_country_source_or_plant_is_refused(
    client_here: Client, missing: str
) -> None:
    whole = {
        "plant": "Discovery",
        "country": "Elsewhere",
        "status": "protected",
        "looked_up_in": "a register",
        "happened_on": DAY,
    }
    answer = client_here.post("/mothers/names/rights", {**whole, missing: ""})
    assert answer.status_code == 422
    assert f'id="id_{missing}_error"' in answer.content.decode()
    assert not entries_of_kind("RightsRecorded")


@pytest.mark.parametrize("address", ["/mothers/K4T76/", "/mothers/nonsense/"])
def test_a_code_of_no_mother_tree_has_no_page(client_here: Client, address: str) -> None:
    assert client_here.get(address).status_code == 404
    assert client_here.post(f"{address}rename", {}).status_code == 404
    assert client_here.post("/mothers/names/sell", {}).status_code == 404
