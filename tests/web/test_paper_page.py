"""The paper page and its files."""

import io

import pypdfium2
import pytest
import vobject
from django.test import Client

from graftwright.notebook.notebook import Notebook
from graftwright.store.labels import printed_labels
from graftwright.web.paper_room.listing import OFFERS
from graftwright.web.winter import this_winter

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
