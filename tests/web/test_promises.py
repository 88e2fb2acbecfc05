"""The promises page, and the page of one promise."""

import re
from datetime import date

import pytest
from django.test import Client
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from graftwright.notebook.entries import PromiseChanged, PromiseMade
from graftwright.notebook.notebook import Notebook
from graftwright.store.read import entries_of_kind, read_notebook
from graftwright.web.promises.standing import winter_outlooks
from graftwright.web.winter import this_winter

GOOD = {
    "who": "Skelbeck School",
    "variety": "Discovery",
    "stock": "M26",
    "wanted_count": "6",
    "sureness_percent": "90",
    "priority": "2",
}


def _make(client: Client, **changed: str) -> str:
    answer = client.post("/promises/make", {**GOOD, **changed})
    assert answer.status_code == 302
    return next(iter(read_notebook().promises))


def test_an_empty_notebook_is_told_what_a_promise_is(client_here: Client) -> None:
    page = client_here.get("/promises/").content.decode()
    assert "No promise is open" in page
    assert "Write down the promise" in page


def test_a_promise_is_written_down_as_it_was_given(client_here: Client) -> None:
    code = _make(client_here, due_on="2009-11-28", spot="by the east gate")
    entry = entries_of_kind("PromiseMade")[0].entry
    assert isinstance(entry, PromiseMade)
    assert (entry.code, entry.who, entry.variety, entry.stock) == (
        code,
        "Skelbeck School",
        "Discovery",
        "M26",
    )
    assert (entry.wanted_count, entry.due_on, entry.spot) == (
        6,
        date(2009, 11, 28),
        "by the east gate",
    )
    page = client_here.get("/promises/").content.decode()
    assert "Skelbeck School" in page


@pytest.mark.parametrize(
    ("field", "value", "words"),
    [
        ("who", "", "Write who is to have the trees."),
        ("variety", "", "Write which variety is wanted."),
        ("stock", "", "Write the kind of stock"),
        ("wanted_count", "0", "at least one tree"),
        ("wanted_count", "a few", "whole number of trees"),
        ("sureness_percent", "100", "certainty cannot be had"),
        ("due_on", "31 November", "Write the day as"),
        ("variety", "Williams", "apple Williams or pear Williams"),
    ],
)
def test_what_is_wrong_stands_beside_its_field_and_nothing_is_lost(
    client_here: Client, field: str, value: str, words: str
) -> None:
    answer = client_here.post(
        "/promises/make", {**GOOD, "spot": "under the old wall", field: value}
    )
    page = answer.content.decode()
    assert answer.status_code == 422
    beside = page.split(f'id="id_{field}_error"')[1].split("</ul>")[0]
    assert words in beside
    assert "under the old wall" in page
    assert not read_notebook().promises


def test_a_name_no_list_knows_is_kept_as_it_was_written(client_here: Client) -> None:
    _make(client_here, variety="Sallow Rigg  farmhouse apple")
    (promise,) = read_notebook().promises.values()
    assert promise.variety == "Sallow Rigg farmhouse apple"


def test_a_change_says_only_what_is_different(client_here: Client) -> None:
    code = _make(client_here)
    answer = client_here.post(f"/promises/{code}/", {**GOOD, "wanted_count": "8"})
    assert answer.status_code == 302
    (written,) = entries_of_kind("PromiseChanged")
    assert isinstance(written.entry, PromiseChanged)
    assert written.entry.wanted_count == 8
    assert written.entry.who is None
    assert read_notebook().promises[code].wanted_count == 8


def test_a_change_of_nothing_writes_nothing(client_here: Client) -> None:
    code = _make(client_here)
    assert client_here.post(f"/promises/{code}/", GOOD).status_code == 302
    assert entries_of_kind("PromiseChanged") == []


def test_a_bad_change_is_refused_beside_its_field(client_here: Client) -> None:
    code = _make(client_here)
    answer = client_here.post(f"/promises/{code}/", {**GOOD, "wanted_count": "-1"})
    assert answer.status_code == 422
    assert 'id="id_wanted_count_error"' in answer.content.decode()
    assert read_notebook().promises[code].wanted_count == 6


def test_a_withdrawn_promise_stays_readable(client_here: Client) -> None:
    code = _make(client_here)
    answer = client_here.post(f"/promises/{code}/withdraw", {"reason": "the plot was sold"})
    assert answer.status_code == 302
    assert read_notebook().promises[code].withdrawn_on == date(2009, 2, 17)
    page = client_here.get("/promises/").content.decode()
    assert "withdrawn on 17 February 2009" in page
    assert client_here.get(f"/promises/{code}/").status_code == 200


@pytest.mark.parametrize("address", ["/promises/K4T76/", "/promises/no such code/"])
def test_a_code_that_names_no_promise_has_no_page(client_here: Client, address: str) -> None:
    answer = client_here.get(address)
    assert answer.status_code == 404
    assert "There is no such page" in answer.content.decode()


def test_each_open_promise_shows_its_chance_and_what_holds_it_back(
    client_here: Client, winter: Notebook
) -> None:
    page = client_here.get("/promises/").content.decode()
    open_count = sum(1 for promise in winter.promises.values() if promise.open_count)
    assert page.count('class="promise-row"') == open_count
    assert "Held back</strong>Wood: the sticks of" in page
    assert "What would raise it most:" in page
    assert "are kept together" in page


def test_the_chances_stand_in_a_table_too(client_here: Client, winter: Notebook) -> None:
    page = client_here.get("/promises/").content.decode()
    table = page.split("Open promises with their chances")[1].split("</table>")[0]
    open_count = sum(1 for promise in winter.promises.values() if promise.open_count)
    assert table.count('data-head="Nine times in ten"') == open_count


def test_a_promise_that_is_short_lists_what_would_raise_it_the_most_first(
    client_here: Client, winter: Notebook
) -> None:
    short = [one for one in winter_outlooks(this_winter()) if one.raises]
    assert short
    for outlook in short:
        gains = [one.gain_fraction for one in outlook.raises]
        assert gains == sorted(gains, reverse=True)
        page = client_here.get(f"/promises/{outlook.promise_code}/").content.decode()
        assert page.count('data-head="Chance then"') == len(outlook.raises)
        assert page.count('data-head="Each is handed over"') == len(outlook.rows)


def test_what_is_short_says_what_one_more_is_worth(client_here: Client, winter: Notebook) -> None:
    page = client_here.get("/promises/").content.decode()
    assert re.search(r"stick of Ashmead&#x27;s Kernel, about \d pieces</th><td>\S+ ", page)


def test_a_promise_too_big_to_plan_says_so_and_closes_no_page(client_here: Client) -> None:
    _make(client_here, wanted_count="9000")
    for address in ("/promises/", "/plan/", "/paper/"):
        assert client_here.get(address).status_code == 200
    page = client_here.get("/promises/").content.decode()
    assert "There is no plan just now" in page
    assert "9000 trees" in page


_ANY = st.one_of(
    st.text(max_size=40),
    st.integers(min_value=-(10**30), max_value=10**30).map(str),
    st.sampled_from(["nan", "1e400", "\x00", "２", "<b>", "2009-02-30", "9" * 400]),
)


@pytest.mark.django_db
@settings(
    max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(st.dictionaries(st.sampled_from([*GOOD, "due_on", "spot", "second_choice"]), _ANY))
def test_no_form_whatever_is_filled_in_breaks_the_page(filled: dict[str, str]) -> None:
    before = len(read_notebook().promises)
    answer = Client().post("/promises/make", {**GOOD, **filled})
    assert answer.status_code in (302, 422)
    made = len(read_notebook().promises) - before
    assert made == (1 if answer.status_code == 302 else 0)
