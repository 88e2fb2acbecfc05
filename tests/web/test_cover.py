"""The page of things under cover: bars, a change tried, a night and a day written down."""

import re
from datetime import date, timedelta
from pathlib import Path

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from graftwright.notebook.entries import MotherTreeEntered
from graftwright.notebook.notebook import Notebook
from graftwright.season.frost_watch import (
    EXPECTED_LOW_ERROR_SD_C,
    GREEN_FOR_DAYS,
    LESS_HARDY_C,
)
from graftwright.store.append import write_many
from graftwright.store.read import all_written, read_notebook, standings_that_differ
from graftwright.web.cover.now import cover_now
from graftwright.web.shown_first import MOST_SHOWN
from tests.season.cover_world import GLASS, OUT, SHED, hours_at, nursery, run, tree_codes

pytestmark = pytest.mark.django_db

GRAFTED = date(2009, 2, 1)


@pytest.fixture
def grafted(client_here: Client) -> Client:
    hours = hours_at(GLASS, GRAFTED, [12.0] * 24 * 10)
    write_many([*nursery(), run(GRAFTED, tree_codes(100, 4)), hours])
    return client_here


def _text(client: Client, address: str = "/cover/") -> str:
    answer = client.get(address)
    assert answer.status_code == 200
    return answer.content.decode()


def test_a_batch_stands_as_bars_with_today_marked_and_a_table_beneath(grafted: Client) -> None:
    page = _text(grafted)
    assert "4 grafts of 1 Feb, Glass" in page
    assert ">today</text>" in page
    assert "Batches and their dates" in page
    assert "Measured in the place" in page
    assert "Modelled from outdoors" not in page
    assert "no figure for them was found" in page


def test_an_empty_notebook_says_what_to_do_first(client_here: Client) -> None:
    assert "No place is written down yet" in _text(client_here)


def test_hours_of_a_logger_stand_in_the_notebook_as_the_record_has_them(grafted: Client) -> None:
    assert read_notebook().hours[GLASS].hourly_c == (12.0,) * 240
    assert standings_that_differ() == []


def test_a_change_is_drawn_beside_the_old_days_and_nothing_is_written(grafted: Client) -> None:
    before = len(all_written())
    asked = "/cover/?if-kept_at=20&if-reach=union&if-place=&if-from_on=2009-02-01&if-batch="
    page = _text(grafted, asked)
    assert "What it would change" in page
    assert "days earlier" in page
    fragment = grafted.get(asked, headers={"HX-Request": "true"}).content.decode()
    assert "<h1" not in fragment
    assert "What it would change" in fragment
    assert len(all_written()) == before


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        ("if-kept_at=99&if-from_on=2009-02-01", "Between 0 and 30 °C"),
        ("if-kept_at=&if-from_on=2009-02-01", "Write a temperature, or choose another place."),
        ("if-kept_at=18&if-from_on=soon", "Write it as a day"),
        ("if-kept_at=18&if-from_on=2009-02-01&if-batch=none", "none"),
        ("if-kept_at=nan&if-from_on=2009-02-01", "Write a number in °C."),
    ],
)
def test_a_change_that_cannot_be_tried_is_refused_in_words(
    grafted: Client, asked: str, words: str
) -> None:
    answer = grafted.get(f"/cover/?{asked}")
    assert answer.status_code == 422
    assert words in answer.content.decode()


def test_an_expected_night_warns_here_and_on_the_day_list(grafted: Client) -> None:
    typed = {"night-low": "-20", "night-false_alarm": "1", "night-miss": "10"}
    assert grafted.post("/cover/night", typed).status_code == 302
    assert "At -20 °C outdoors tonight" in _text(grafted)
    assert "Frost tonight: " in _text(grafted, "/")


def test_a_night_without_figures_is_refused(grafted: Client) -> None:
    typed = {"night-low": "cold", "night-false_alarm": "0", "night-miss": ""}
    answer = grafted.post("/cover/night", typed)
    assert answer.status_code == 422
    assert "Write a number in °C." in answer.content.decode()


def test_a_day_read_off_is_written_down(grafted: Client) -> None:
    typed = {"day-place": OUT, "day-on": "2009-02-16", "day-low": "-3", "day-high": "4"}
    assert grafted.post("/cover/day", typed).status_code == 302
    known = read_notebook().temperatures[OUT]
    assert (known.first_on, known.low_c, known.high_c) == (date(2009, 2, 16), (-3.0,), (4.0,))


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"day-on": "2009-02-18"}, "has not come yet"),
        ({"day-low": "9"}, "swapped?"),
        ({"day-low": "", "day-high": ""}, "Write the lowest, the highest, or both."),
        ({"day-place": "22222"}, "22222"),
        ({"day-low": "-400"}, "Between -40 and 50 °C"),
    ],
)
def test_a_day_that_cannot_be_is_refused_and_nothing_is_written(
    grafted: Client, change: dict[str, str], words: str
) -> None:
    before = len(all_written())
    typed = {"day-place": OUT, "day-on": "2009-02-16", "day-low": "-3", "day-high": "4", **change}
    answer = grafted.post("/cover/day", typed)
    assert answer.status_code == 422
    assert words in answer.content.decode()
    assert len(all_written()) == before


def test_without_a_source_nothing_is_asked_and_the_page_offers_none(grafted: Client) -> None:
    assert "/cover/weather" not in _text(grafted)
    assert grafted.post("/cover/weather").status_code == 302


def test_a_logger_file_is_shown_before_it_is_entered(grafted: Client) -> None:
    assert 'action="/spreadsheet/temperatures"' in _text(grafted)


def test_the_demo_winter_shows_its_places_and_last_days_to_cut(
    client_here: Client, winter: Notebook
) -> None:
    page = _text(client_here)
    assert "Last days to cut" in page
    assert winter.places
    assert len(page) < 100_000


def test_two_weeks_are_drawn_measured_days_solid_and_the_table_stands_beneath(
    grafted: Client,
) -> None:
    page = _text(grafted)
    title = f'id="days-{GLASS}">Glass, 4 February to 10 February: from 12.0 to 12.0 °C, 7 of 7 days'
    assert title in page
    drawing = page[page.index(f'id="days-{GLASS}"') :]
    drawing = drawing[: drawing.index("</svg>")]
    assert drawing.count('class="leaf thick"') == 7
    assert "dashed" not in drawing
    # steady days are 4 high at least, or they could not be seen
    feet = re.findall(r'leaf thick" x1="[^"]+" y1="([^"]+)" x2="[^"]+" y2="([^"]+)"', drawing)
    assert [float(low) - float(high) >= 4.0 for low, high in feet] == [True] * 7
    assert page.index(f'id="days-{GLASS}"') < page.index("Temperatures of the last two weeks")


def test_a_logger_file_is_mended_shown_and_then_entered(grafted: Client) -> None:
    rows = ["2009-02-11 03:00,50", "2009-02-11 03:30,50", "2009-02-11 05:00,59"]
    content = "\n".join(("time utc,temp degF", *rows, rows[-1], "")).encode()
    file = SimpleUploadedFile("logger.csv", content)
    before = read_notebook().hours[GLASS]
    answer = grafted.post("/spreadsheet/temperatures", {"record": file, "place": GLASS})
    page = _text(grafted, answer["Location"])
    assert "in °F and were turned into °C" in page
    assert "1 duplicate joined" in page
    assert "several readings in an hour" in page
    assert "1 gap of up to 3 hours filled by a straight line (1 hour)" in page
    assert read_notebook().hours[GLASS] == before


def test_the_weather_button_writes_down_what_a_file_knows(
    grafted: Client, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = tmp_path / "days.csv"
    file.write_text(
        "date,low_c,high_c\n2009-02-15,-2,5\n2009-02-16,0,6\n2009-02-18,-4,3\n",
        encoding="utf-8",
    )
    monkeypatch.setenv("GRAFTWRIGHT_WEATHER_FILE", str(file))
    tree = MotherTreeEntered(
        happened_on=GRAFTED,
        code=tree_codes(500, 1)[0],
        variety="Discovery",
        latitude_deg=54.2,
        longitude_deg=-2.9,
    )
    write_many([tree])
    assert "Ask days.csv" in _text(grafted)
    assert grafted.post("/cover/weather").status_code == 302
    known = read_notebook().temperatures[OUT]
    assert (known.first_on, known.low_c, known.high_c) == (
        date(2009, 2, 15),
        (-2.0, 0.0),
        (5.0, 6.0),
    )
    assert "At -4 °C outdoors tonight" in _text(grafted)


def test_figures_that_rest_on_judgement_are_said(grafted: Client) -> None:
    page = _text(grafted)
    assert f"{LESS_HARDY_C:g} °C is taken off" in page
    assert f"doubted by {EXPECTED_LOW_ERROR_SD_C:g} °C" in page
    assert GREEN_FOR_DAYS == 10
    assert "green stage for ten days" in page


@pytest.fixture
def many(client_here: Client) -> Client:
    days = [date(2009, 1, 1) + timedelta(days=n) for n in range(MOST_SHOWN + 2)]
    glass = [run(on, tree_codes(100 + n, 1)) for n, on in enumerate(days)]
    shed = [run(days[-n], tree_codes(200 + n, 1), SHED) for n in (1, 2)]
    write_many([*nursery(), *glass, *shed])
    return client_here


def _batches(page: str) -> int:
    table = page.split("Batches and their dates")[1].split("</table>")[0]
    return table.count('<th scope="row">')


def test_many_batches_show_the_oldest_first_and_all_or_those_of_a_place_when_asked(
    many: Client,
) -> None:
    count = MOST_SHOWN + 4
    first = _text(many)
    assert f"The first {MOST_SHOWN} of {count}." in first
    assert _batches(first) == MOST_SHOWN
    assert 'href="?whole=batches"' in first
    assert f'<option value="{SHED}">Shed (2)</option>' in first
    assert _batches(_text(many, "/cover/?whole=batches")) == count
    shed = _text(many, f"/cover/?in={SHED}")
    assert _batches(shed) == 2
    assert "1 graft of 11 Feb, Shed" in shed
    assert "The first" not in shed
    glass = _text(many, f"/cover/?in={GLASS}")
    assert f'href="?whole=batches&amp;in={GLASS}"' in glass
    assert _batches(_text(many, f"/cover/?whole=batches&in={GLASS}")) == MOST_SHOWN + 2


def test_a_few_batches_are_all_shown_and_no_place_is_asked_for(grafted: Client) -> None:
    page = _text(grafted)
    assert "Show the batches of" not in page
    assert "The first" not in page


def test_a_change_to_many_batches_is_worked_out_for_all_when_asked(many: Client) -> None:
    asked = "/cover/?if-kept_at=20&if-reach=union&if-place=&if-from_on=2009-02-01&if-batch="

    def changes(address: str) -> int:
        table = _text(many, address).split("What it would change")[1].split("</table>")[0]
        return table.count('<th scope="row">')

    assert changes(asked) == MOST_SHOWN
    way = re.search(r'href="(\?whole=changes[^"]*)"', _text(many, asked))
    assert way
    assert changes("/cover/" + way.group(1).replace("&amp;", "&")) == MOST_SHOWN + 4
    key = next(
        one.batch.key for one in cover_now().batches[MOST_SHOWN:] if one.batch.place_code == SHED
    )
    assert key not in _text(many)
    assert changes(asked + key) == 1


def test_a_night_names_every_batch_at_risk_when_asked(many: Client) -> None:
    many.post("/cover/night", {"night-low": "-20", "night-false_alarm": "1", "night-miss": "10"})

    def risks(address: str) -> int:
        table = _text(many, address).split("outdoors tonight</caption>")[1].split("</table>")[0]
        return table.count('<th scope="row">')

    assert risks("/cover/") == MOST_SHOWN
    assert risks("/cover/?whole=frost") == MOST_SHOWN + 4
