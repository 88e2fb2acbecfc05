"""The plan page."""

import re

import pytest
from django.test import Client

from graftwright.notebook.notebook import Notebook
from graftwright.web.winter import this_winter


def _text(client: Client, address: str, status: int = 200) -> str:
    response = client.get(address)
    assert response.status_code == status
    return response.content.decode()


def _needed_count(page: str) -> int:
    found = re.search(r"make <strong>(\d+) grafts", page)
    assert found
    return int(found[1])


def test_an_empty_notebook_is_told_to_begin_with_a_promise(client_here: Client) -> None:
    page = _text(client_here, "/plan/")
    assert "Write down a promise" in page
    assert 'href="/promises/"' in page


def test_every_open_promise_has_its_line(client_here: Client, winter: Notebook) -> None:
    page = _text(client_here, "/plan/")
    plan = this_winter().plan
    assert plan is not None
    assert len(plan.lines) == sum(1 for p in winter.promises.values() if p.open_count)
    for line in plan.lines:
        assert line.who in page
    assert _needed_count(page) == sum(line.graft_count for line in plan.lines)


def test_more_sureness_never_asks_for_fewer_grafts(client_here: Client, winter: Notebook) -> None:
    counts = [
        _needed_count(_text(client_here, f"/plan/?sureness={percent}")) for percent in (70, 90, 99)
    ]
    assert counts == sorted(counts)
    assert counts[0] < counts[-1]


def test_the_figure_counts_where_it_was_touched_and_the_slider_where_that_was(
    client_here: Client, winter: Notebook
) -> None:
    by_figure = _text(client_here, "/plan/?was=90&sureness=90&exactly=95")
    by_slider = _text(client_here, "/plan/?was=90&sureness=95&exactly=90")
    assert "each with 95 chances in 100" in by_figure
    assert "each with 95 chances in 100" in by_slider


@pytest.mark.parametrize("asked", ["exactly=abc", "exactly=100", "sureness=-3", "exactly=1e99"])
def test_a_sureness_that_cannot_be_is_answered_beside_its_field(
    client_here: Client, winter: Notebook, asked: str
) -> None:
    page = _text(client_here, f"/plan/?{asked}")
    assert 'id="sureness-wrong"' in page
    assert 'aria-invalid="true"' in page


def test_each_shortage_says_why_and_the_way_out(client_here: Client, winter: Notebook) -> None:
    page = _text(client_here, "/plan/")
    plan = this_winter().plan
    assert plan is not None
    assert plan.shortages  # the demo's winter is short of wood
    assert page.count('data-head="Way out"') == len(plan.shortages)


def test_a_table_stands_beneath_every_drawing(client_here: Client, winter: Notebook) -> None:
    page = _text(client_here, "/plan/")
    parts = re.findall(r'<section class="part".*?</section>', page, flags=re.DOTALL)
    drawn = [part for part in parts if 'role="img"' in part]
    assert len(drawn) == 3
    for part in drawn:
        assert part.rindex("<table") > part.index("<svg")


def test_the_cut_sheet_leads_to_what_its_pairing_rests_on(
    client_here: Client, winter: Notebook
) -> None:
    page = client_here.get("/plan/").content.decode()
    sheet = page[page.index('id="cuts"') :]
    assert 'href="/wood/#curve"' in sheet
    assert 'id="curve"' in client_here.get("/wood/").content.decode()


def test_every_stick_to_be_cut_is_drawn_once(client_here: Client, winter: Notebook) -> None:
    page = _text(client_here, "/plan/")
    plan = this_winter().plan
    assert plan is not None
    cut = [stick for stick in plan.sticks if stick.pieces]
    assert page.count('class="stick-drawing"') == len(cut) > 0


def test_lengths_are_shown_in_the_unit_chosen(client_here: Client, winter: Notebook) -> None:
    assert "\u00a0in" not in _text(client_here, "/plan/")
    client_here.post("/unit", {"unit": "inch", "back": "/plan/"})
    page = _text(client_here, "/plan/")
    assert re.search(r"\d/\d+\u00a0in", page)


def test_the_choice_of_unit_never_leads_to_another_site(client_here: Client) -> None:
    answer = client_here.post("/unit", {"unit": "inch", "back": "https://elsewhere.example/"})
    assert answer.headers["Location"] == "/"


def test_the_first_lines_say_what_to_do_and_lead_to_its_part(
    client_here: Client, winter: Notebook
) -> None:
    page = _text(client_here, "/plan/")
    parts = re.findall(r'<li><a href="#([a-z]+)"', page.split('class="to-do"')[1].split("</ol>")[0])
    assert parts
    assert all(f'id="{part}"' in page for part in parts)


def test_what_sureness_costs_is_told_in_grafts_stocks_hours_and_money(
    client_here: Client, winter: Notebook
) -> None:
    page = _text(client_here, "/plan/")
    table = page.split("Grafts, stocks, hours and cost at each level of sureness")[1]
    rows = re.findall(r"<tr.*?</tr>", table.split("</table>")[0], flags=re.DOTALL)[1:]
    assert len(rows) == 6
    for row in rows:
        grafts, stocks = (int(n) for n in re.findall(r'data-head="(?:Grafts|Stocks)">(\d+)', row))
        assert grafts <= stocks <= 1.05 * grafts + 1


def test_ways_of_sharing_tell_their_bound_and_gap(client_here: Client, winter: Notebook) -> None:
    page = _text(client_here, "/plan/")
    assert "Most promises" in page
    assert page.count("gap 0%") == 2
    assert "chance: all kept together" in page
