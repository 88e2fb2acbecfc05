"""From a spreadsheet: reading in, asking, listing, entering."""

import io
import zipfile

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from graftwright.demo import demo_workbook, messy_workbook
from graftwright.intake.workbook import read_workbook
from graftwright.notebook.notebook import Notebook
from graftwright.store.models import WrittenEntry
from graftwright.store.read import read_notebook
from graftwright.store.waiting import kept
from graftwright.web.spreadsheet.forms import MOST_BYTES


def _read_in(client: Client, name: str, content: bytes) -> str:
    answer = client.post("/spreadsheet/read", {"workbook": SimpleUploadedFile(name, content)})
    assert answer.status_code == 302, answer.content.decode()
    return answer.headers["Location"]


def test_the_empty_workbook_can_be_had_and_read_back_without_a_bad_row(
    client_here: Client,
) -> None:
    answer = client_here.get("/spreadsheet/template")
    assert answer.status_code == 200
    reading = read_workbook(answer.content, name="empty.xlsx")
    assert reading.problems == ()


def test_nothing_is_entered_by_reading(client_here: Client) -> None:
    address = _read_in(client_here, "winter.xlsx", demo_workbook())
    assert not WrittenEntry.objects.exists()
    page = client_here.get(address).content.decode()
    assert "Nothing is entered yet" in page
    assert "winter.xlsx" in client_here.get("/spreadsheet/").content.decode()


def test_the_good_rows_are_entered_on_the_word_of_the_person(client_here: Client) -> None:
    address = _read_in(client_here, "winter.xlsx", demo_workbook())
    answer = client_here.post(f"{address}enter")
    assert answer.status_code == 302
    notebook = read_notebook()
    assert len(notebook.promises) == 14
    assert len(notebook.mother_trees) == 11
    assert kept() == []


def test_the_same_workbook_entered_twice_adds_no_second_promise(
    client_here: Client, winter: Notebook
) -> None:
    address = _read_in(client_here, "winter.xlsx", demo_workbook())
    assert "Known already" in client_here.get(address).content.decode()
    client_here.post(f"{address}enter")
    assert read_notebook().promises.keys() == winter.promises.keys()


def test_every_bad_row_is_listed_with_where_what_and_what_to_do(client_here: Client) -> None:
    address = _read_in(client_here, "messy.xlsx", messy_workbook())
    page = client_here.get(address).content.decode()
    reading = read_workbook(messy_workbook(), name="messy.xlsx")
    asked = {question.question_id for question in reading.questions}
    listed = [one for one in reading.problems if one.question_id not in asked]
    assert len(listed) > 10
    assert page.count('data-head="What to do"') >= len(listed)
    for problem in listed:
        assert f"row {problem.row_number}</span>" in page


def test_a_date_with_two_readings_is_asked_about_and_read_as_answered(
    client_here: Client,
) -> None:
    address = _read_in(client_here, "messy.xlsx", messy_workbook())
    page = client_here.get(address).content.decode()
    assert 'type="radio"' in page
    (question,) = read_workbook(messy_workbook(), name="messy.xlsx").questions
    answer = client_here.post(
        f"{address}answer", {f"answer:{question.question_id}": question.choices[0]}
    )
    assert answer.status_code == 302
    page = client_here.get(address).content.decode()
    assert "Questions answered" in page
    assert question.choices[0] in page
    assert 'type="radio"' not in page
    client_here.post(f"{address}answer", {"again": "1"})
    assert 'type="radio"' in client_here.get(address).content.decode()


def test_an_answer_nobody_offered_is_refused(client_here: Client) -> None:
    address = _read_in(client_here, "messy.xlsx", messy_workbook())
    (question,) = read_workbook(messy_workbook(), name="messy.xlsx").questions
    answer = client_here.post(f"{address}answer", {f"answer:{question.question_id}": "sideways"})
    assert answer.status_code == 422
    assert "expected one of" in answer.content.decode()


def test_a_workbook_put_away_is_forgotten(client_here: Client) -> None:
    address = _read_in(client_here, "winter.xlsx", demo_workbook())
    assert client_here.post(f"{address}drop").status_code == 302
    assert client_here.get(address).status_code == 404
    assert not WrittenEntry.objects.exists()


@pytest.mark.parametrize(
    ("name", "content", "words"),
    [
        ("notes.docx", b"PK", "none of .xlsx"),
        ("winter.xlsx", b"PK\x03\x04 and no more", "winter.xlsx"),
        ("winter.xlsx", b"", "empty"),
        ("big.csv", b"x" * (MOST_BYTES + 1), "at most 8 MB"),
    ],
)
def test_what_is_no_workbook_is_answered_beside_its_field(
    client_here: Client, name: str, content: bytes, words: str
) -> None:
    answer = client_here.post("/spreadsheet/read", {"workbook": SimpleUploadedFile(name, content)})
    page = answer.content.decode()
    assert answer.status_code == 422
    assert words in page.split('id="id_workbook_error"')[1].split("</ul>")[0]
    assert kept() == []


def test_no_file_at_all_is_answered_beside_its_field(client_here: Client) -> None:
    answer = client_here.post("/spreadsheet/read")
    assert answer.status_code == 422
    assert "Choose a file first." in answer.content.decode()


def test_a_loggers_days_go_to_the_place_it_stood_in(client_here: Client, winter: Notebook) -> None:
    place = next(iter(winter.places))
    record = (
        b"date,lowest (\xc2\xb0C),highest (\xc2\xb0C)\n2009-01-01,-2.5,4.0\n2009-01-02,0.5,6.5\n"
    )
    answer = client_here.post(
        "/spreadsheet/temperatures",
        {"record": SimpleUploadedFile("logger.csv", record), "place": place},
    )
    assert answer.status_code == 302, answer.content.decode()
    client_here.post(f"{answer.headers['Location']}enter")
    days = read_notebook().temperatures[place]
    assert list(days.low_c) == [-2.5, 0.5]
    assert list(days.high_c) == [4.0, 6.5]


def test_a_record_for_no_place_is_answered_beside_its_field(
    client_here: Client, winter: Notebook
) -> None:
    answer = client_here.post(
        "/spreadsheet/temperatures",
        {"record": SimpleUploadedFile("logger.csv", b"date,low\n"), "place": "nowhere"},
    )
    assert answer.status_code == 422
    assert 'id="id_place_error"' in answer.content.decode()


def _zip(content: bytes) -> bytes:
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as archive:
        archive.writestr("promises.csv", content)
    return packed.getvalue()


@pytest.mark.django_db
@settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(
    content=st.one_of(
        st.binary(max_size=300),
        st.text(alphabet='abc,;\n"=\t019-/ é', max_size=300).map(str.encode),
        st.binary(max_size=200).map(_zip),
        st.integers(min_value=1, max_value=6000).map(lambda length: demo_workbook()[:length]),
    ),
    ending=st.sampled_from(["xlsx", "csv", "zip", "ods"]),
)
def test_no_file_whatever_it_holds_breaks_the_page_or_enters_anything(
    content: bytes, ending: str
) -> None:
    client = Client()
    name = f"promises.{ending}"
    answer = client.post("/spreadsheet/read", {"workbook": SimpleUploadedFile(name, content)})
    assert answer.status_code in (302, 422)
    if answer.status_code == 302:
        assert client.get(answer.headers["Location"]).status_code == 200
    assert not WrittenEntry.objects.exists()
