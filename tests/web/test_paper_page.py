"""The paper page and its files."""

import io
import re

import pypdfium2
import pytest
import vobject
from django.test import Client

from graftwright.notebook.notebook import Notebook
from graftwright.store.labels import printed_labels
from graftwright.web.paper_room.listing import OFFERS
from graftwright.web.winter import this_winter
from tests.paper import reading

OFFICE = {"sheet": "office", "start_position": "1"}
OWN = {
    "sheet": "own",
    "start_position": "1",
    "page_width_mm": "210",
    "page_height_mm": "297",
    "row_count": "4",
    "column_count": "2",
    "label_width_mm": "90",
    "label_height_mm": "60",
    "left_margin_mm": "10",
    "top_margin_mm": "20",
    "column_gap_mm": "5",
    "row_gap_mm": "0",
}


def _page_count(pdf: bytes) -> int:
    return len(pypdfium2.PdfDocument(io.BytesIO(pdf)))


def _graft_count() -> int:
    plan = this_winter().plan
    assert plan is not None
    return len(plan.joins)


def test_an_empty_notebook_is_told_what_comes_before_paper(client_here: Client) -> None:
    page = client_here.get("/paper/").content.decode()
    assert "there is no plan yet" in page
    assert 'href="/promises/"' in page


@pytest.mark.parametrize("file_name", sorted(OFFERS))
def test_every_paper_offered_can_be_had(
    client_here: Client, winter: Notebook, file_name: str
) -> None:
    answer = client_here.get(f"/paper/{file_name}")
    assert answer.status_code == 200
    assert f'filename="{file_name}"' in answer.headers["Content-Disposition"]
    if file_name.endswith(".pdf"):
        assert _page_count(answer.content) >= 1
    elif file_name.endswith(".ics"):
        assert list(vobject.readComponents(answer.content.decode()))
    else:
        assert answer.content.decode().strip()


def test_the_tables_of_the_plan_can_be_had_one_by_one(
    client_here: Client, winter: Notebook
) -> None:
    page = client_here.get("/paper/").content.decode()
    assert 'href="/paper/grafts.csv"' in page
    rows = client_here.get("/paper/grafts.csv").content.decode().splitlines()
    assert len(rows) == _graft_count() + 1


def test_a_paper_nobody_offers_has_no_page(client_here: Client, winter: Notebook) -> None:
    assert client_here.get("/paper/secret-key").status_code == 404


def test_a_paper_asked_for_before_there_is_a_plan_leads_back(client_here: Client) -> None:
    answer = client_here.get("/paper/nothing.pdf")
    assert answer.status_code in (302, 404)


@pytest.mark.parametrize(("start", "twice"), [(1, False), (20, False), (1, True)])
def test_labels_fill_as_many_sheets_as_their_count_needs(
    client_here: Client, winter: Notebook, start: int, twice: bool
) -> None:
    asked = {**OFFICE, "start_position": str(start)} | ({"second_copy": "on"} if twice else {})
    answer = client_here.post("/paper/labels", asked)
    assert answer.status_code == 200
    places = start - 1 + _graft_count() * (2 if twice else 1)
    assert _page_count(answer.content) == -(-places // 21)  # 3 across, 7 down


def test_printing_again_gives_the_same_codes(client_here: Client, winter: Notebook) -> None:
    client_here.post("/paper/labels", OFFICE)
    first = printed_labels(2009)
    assert len(first) == _graft_count()
    client_here.post("/paper/labels", OFFICE)
    assert printed_labels(2009) == first


def test_a_sheet_of_other_measures_is_taken(client_here: Client, winter: Notebook) -> None:
    answer = client_here.post("/paper/labels", {**OWN, "test": "1"})
    assert answer.status_code == 200
    assert _page_count(answer.content) == 1


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"label_width_mm": "120"}, "width"),
        ({"label_width_mm": "5"}, "too small"),
        ({"row_count": "0"}, "one at least"),
        ({"row_gap_mm": ""}, "Gap between rows"),
        ({"start_position": "9"}, "8 labels"),
        ({"start_position": "0"}, "number 1"),
        ({"sheet": "none of these"}, "Choose a sheet"),
        ({"label_width_mm": "nan"}, "number"),
        ({"row_count": "9" * 40}, "height"),
    ],
)
def test_a_sheet_that_cannot_be_is_answered_beside_its_field(
    client_here: Client, winter: Notebook, changed: dict[str, str], words: str
) -> None:
    answer = client_here.post("/paper/labels", {**OWN, **changed})
    page = answer.content.decode()
    assert answer.status_code == 422
    wrong = [part.split("</ul>")[0] for part in page.split('class="wrong"')[1:]]
    assert any(words in part for part in wrong), wrong


def test_labels_can_be_had_for_bundles_trees_and_the_pocket(
    client_here: Client, winter: Notebook
) -> None:
    bundles = sum(one.is_in_store for one in winter.bundles.values())
    answer = client_here.post("/paper/labels", {**OFFICE, "what": "bundles"})
    assert _page_count(answer.content) == -(-bundles // 21)
    assert client_here.post("/paper/labels", {**OFFICE, "what": "trees"}).status_code == 422
    spare = {**OFFICE, "sheet": "roll", "what": "spare", "spare_count": "5"}
    assert _page_count(client_here.post("/paper/labels", spare).content) == 5


def test_blank_tags_never_bear_the_same_code_twice(client_here: Client, winter: Notebook) -> None:
    asked = {**OFFICE, "what": "spare", "spare_count": "4"}
    codes = [
        set(re.findall(r"\b[2-9CEFHJ-NPRTWXY]{5}\b", reading.words_of(pdf)))
        for pdf in (client_here.post("/paper/labels", asked).content for _ in range(2))
    ]
    assert [len(some) for some in codes] == [4, 4]
    assert not codes[0] & codes[1]


def test_a_sheet_is_kept_offered_and_forgotten(client_here: Client, winter: Notebook) -> None:
    kept = client_here.post("/paper/labels", {**OWN, "keep": "1", "name": "Shed printer"})
    assert kept.status_code == 302
    page = client_here.get("/paper/labels").content.decode()
    assert "Shed printer: 2 across, 4 down, each 90 × 60 mm" in page
    asked = {**OFFICE, "sheet": "label sheet: Shed printer", "start_position": "8"}
    assert client_here.post("/paper/labels", {**asked, "test": "1"}).status_code == 200
    client_here.post("/paper/labels/forget", {"sheet": "label sheet: Shed printer"})
    assert "Shed printer" not in client_here.get("/paper/labels").content.decode()


def test_a_sheet_without_a_name_is_not_kept(client_here: Client, winter: Notebook) -> None:
    assert client_here.post("/paper/labels", {**OWN, "keep": "1", "name": " "}).status_code == 422


def test_a_pitch_does_as_well_as_a_gap(client_here: Client, winter: Notebook) -> None:
    pitched = {**OWN, "column_gap_mm": "", "column_pitch_mm": "95"}
    as_gap = client_here.post("/paper/labels", {**OWN, "test": "1"})
    as_pitch = client_here.post("/paper/labels", {**pitched, "test": "1"})
    assert as_pitch.content == as_gap.content
    overlapping = {**pitched, "column_pitch_mm": "80", "test": "1"}
    assert client_here.post("/paper/labels", overlapping).status_code == 422


def test_squares_may_open_the_pages_themselves(client_here: Client, winter: Notebook) -> None:
    asked = {**OFFICE, "what": "bundles", "address": "https://lantern.example"}
    page = next(reading.images(client_here.post("/paper/labels", asked).content, dots_per_inch=300))
    found = reading.symbols(page, dots_per_inch=300)
    assert found
    assert all(one.text.startswith("https://lantern.example/code/") for one in found)
    assert client_here.post("/paper/labels", {**asked, "address": "nowhere"}).status_code == 422


@pytest.mark.parametrize(
    ("mm", "words"), [("97", "smaller"), ("100", "keeps to size"), ("", "Write")]
)
def test_the_measured_ruler_is_answered(
    client_here: Client, winter: Notebook, mm: str, words: str
) -> None:
    asked = {"measured_mm": mm, "ruler_mm": "100"}
    assert words in client_here.post("/paper/labels/scale", asked, follow=True).content.decode()


@pytest.mark.parametrize(
    "file_name",
    [
        "position-register.pdf",
        "watering.pdf",
        "movement-book-2009.pdf",
        "season-report-2009.pdf",
    ],
)
def test_papers_of_the_notebook_can_be_had_with_or_without_a_plan(
    client_here: Client, file_name: str
) -> None:
    assert _page_count(client_here.get(f"/paper/{file_name}").content) >= 1


def test_the_movement_book_comes_as_csv_too(client_here: Client, winter: Notebook) -> None:
    rows = client_here.get("/paper/movement-book-2009.csv").content.decode("utf-8-sig")
    assert rows.startswith("day,way,what,how_many,from_or_to,codes,by")


def test_a_workshop_s_pack_is_made_from_its_numbers(client_here: Client, winter: Notebook) -> None:
    asked = {"people_count": "6", "trees_each_count": "2", "on": "2009-03-28", "stock": "M26"}
    answer = client_here.get("/paper/workshop", asked)
    assert _page_count(answer.content) == 1 + 6
    assert client_here.get("/paper/workshop", {**asked, "on": "soon"}).status_code == 422
    assert client_here.get("/paper/workshop", {**asked, "people_count": "0"}).status_code == 422


def test_the_run_sheets_on_paper_ask_for_what_the_page_takes(
    client_here: Client, winter: Notebook
) -> None:
    plan = this_winter().plan
    assert plan is not None
    words = reading.words_of(client_here.get("/paper/run-sheets.pdf").content)
    page = client_here.get("/bench/sheet").content.decode()
    for asked_for in ("bundle", "lot", "spoilt", "who"):
        assert asked_for in words
        assert asked_for in page.casefold()
    assert all(run.bundle_code in words for run in plan.runs)
