"""The lessons page."""

import re
from datetime import date

import pytest
from django.test import Client

from graftwright.notebook.entries import EarlierResultsCounted
from graftwright.season.lessons import LessonRow
from graftwright.store.append import write
from graftwright.store.read import read_notebook
from graftwright.web.lessons.forest import forest

from .small_notebook import Small, write_small


@pytest.fixture
def small(db: None) -> Small:
    return write_small()


def _earlier(variety: str, grafted: int, taken: int, grafter: str = "TO") -> None:
    write(
        EarlierResultsCounted(
            happened_on=date(2009, 1, 1),
            season=2008,
            variety=variety,
            stock="M26",
            grafted_count=grafted,
            taken_count=taken,
            grafter=grafter,
        )
    )


def _row(name: str, tried: int, passed: int, low: float, mean: float, high: float) -> LessonRow:
    return LessonRow(
        by="variety",
        name=name,
        stage="take",
        tried_count=tried,
        passed_count=passed,
        mean_fraction=mean,
        low_fraction=low,
        high_fraction=high,
        words="",
    )


def test_a_notebook_without_counts_says_what_to_count(client_here: Client) -> None:
    page = client_here.get("/lessons/").content.decode()
    assert "Nothing is counted yet" in page
    assert "Judge the takes" in page


def test_none_of_three_is_not_shown_as_nothing_and_is_called_few(
    client_here: Client, db: None
) -> None:
    _earlier("Discovery", 40, 34)
    _earlier("James Grieve", 3, 0)
    page = client_here.get("/lessons/").content.decode()
    row = page.split("By variety, as a table")[1].split("James Grieve")[1].split("</tr>")[0]
    assert "0 of 3" in row
    assert "Few counts: near the general rate." in row
    assert "between" in row
    assert "0 %" not in row


def test_varieties_stand_in_the_order_of_their_names_not_of_their_rates(
    client_here: Client, db: None
) -> None:
    _earlier("Discovery", 20, 5)
    _earlier("Ashmead's Kernel", 3, 3)
    _earlier("Bramley's Seedling", 20, 19)
    table = client_here.get("/lessons/").content.decode().split("By variety, as a table")[1]
    names = re.findall(r'<th scope="row">([^<]+)</th>', table.split("</table>")[0])
    assert names == sorted(names)


def test_nobody_sees_another_persons_rates_unless_they_are_shown(
    client_here: Client, db: None
) -> None:
    _earlier("Discovery", 20, 15)
    _earlier("James Grieve", 30, 29, grafter="HQ")
    page = client_here.get("/lessons/").content.decode()
    hands = page.split('id="by-grafter"')[1].split("</section>")[0]
    assert "50 grafts of 2 other people count in everything else" in hands
    assert "15 of 20" not in hands
    assert "29 of 30" not in hands

    client_here.post("/lessons/reader", {"reader": "TO"})
    hands = client_here.get("/lessons/").content.decode().split('id="by-grafter"')[1]
    assert "15 of 20" in hands.split("</section>")[0]
    assert "29 of 30" not in hands.split("</section>")[0]
    client_here.post("/lessons/show")
    assert "15 of 20" in Client().get("/lessons/").content.decode().split('id="by-grafter"')[1]
    client_here.post("/lessons/show")
    assert "15 of 20" not in Client().get("/lessons/").content.decode().split('id="by-grafter"')[1]


def test_a_stranger_to_the_notebook_cannot_be_chosen_as_reader(
    client_here: Client, db: None
) -> None:
    _earlier("Discovery", 20, 15)
    client_here.post("/lessons/reader", {"reader": "somebody else"})
    assert not client_here.cookies["reader"].value
    client_here.post("/lessons/show")
    assert "Say first who you are" in client_here.get("/lessons/").content.decode()


def test_a_stage_that_no_graft_has_reached_is_not_shown(client_here: Client, db: None) -> None:
    _earlier("Discovery", 20, 15)
    page = client_here.get("/lessons/").content.decode()
    assert "of 0<" not in page
    assert "First winter" not in page.split('id="cost"')[0]


def test_every_drawing_has_its_table(client_here: Client, db: None) -> None:
    _earlier("Discovery", 20, 15)
    page = client_here.get("/lessons/").content.decode()
    for part in page.split('<figure class="drawing forest">')[1:]:
        assert "<table" in part.split("</section>")[0]


def test_fewer_counts_draw_a_smaller_dot_and_a_bar_from_low_to_high() -> None:
    drawn = forest(
        [_row("few", 3, 0, 0.3, 0.6, 0.85), _row("many", 60, 48, 0.7, 0.8, 0.88)],
        general_fraction=0.75,
    )
    few, many = drawn.bars
    assert (few.low_x, few.mean_x, few.high_x) == ("30.00%", "60.00%", "85.00%")
    assert drawn.general_x == "75.00%"
    assert float(few.radius) < float(many.radius)
    assert (few.is_few, many.is_few) == (True, False)


def test_a_season_goes_round_from_run_to_take_to_lessons(
    client_here: Client, small: Small, settings: object
) -> None:
    run = {
        "bundle": small.bundle,
        "lot": small.lot,
        "how_many": "12",
        "method": "whip and tongue",
        "binding": "stretch film",
        "who": "TO",
        "place": small.greenhouse,
    }
    assert client_here.post("/bench/", run).status_code == 302
    labels = tuple(read_notebook().trees)
    assert "Nothing is counted yet" in client_here.get("/lessons/").content.decode()

    settings.STAND_ON = date(2009, 6, 20)  # type: ignore[attr-defined]
    growth = {f"growth-{code}": "150" for code in labels[:9]}
    sent = {"trees": " ".join(labels), "happened_on": "2009-06-20"}
    client_here.post("/results/growth", {**sent, **growth})
    dead = {"trees": " ".join(labels[9:]), "happened_on": "2009-06-20"}
    client_here.post("/results/take", {**dead, "scion": "dead", "stock": "alive", "cause": ""})

    page = client_here.get("/lessons/").content.decode()
    table = page.split("By variety, as a table")[1].split("</table>")[0]
    assert "Discovery" in table
    assert "9 of 12" in table
    assert "What changes next winter" in page
