"""The lessons page."""

import re
from datetime import UTC, date, datetime, timedelta
from uuid import UUID

import pytest
from django.test import Client

from graftwright.demo import LAST_DAY, entries_until
from graftwright.notebook.entries import EarlierResultsCounted, Written
from graftwright.notebook.notebook import Notebook
from graftwright.season.lessons import LessonRow
from graftwright.store.append import write
from graftwright.store.labels import print_labels
from graftwright.store.models import WrittenEntry
from graftwright.store.pages import entry_row
from graftwright.store.read import read_notebook, rebuild_standings
from graftwright.web.lessons.forest import forest
from graftwright.web.shown_first import MOST_SHOWN
from graftwright.web.winter import this_winter

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


def test_of_many_varieties_the_first_are_shown_and_all_when_asked(
    client_here: Client, db: None
) -> None:
    names = [f"Apple {number:02}" for number in range(MOST_SHOWN + 3)]
    for name in names:
        _earlier(name, 20, 15)
    page = client_here.get("/lessons/").content.decode()
    assert f"The first {MOST_SHOWN} of {len(names)}." in page
    assert names[MOST_SHOWN - 1] in page
    assert names[-1] not in page
    whole = client_here.get("/lessons/?whole=variety").content.decode()
    assert all(name in whole for name in names)
    assert "The first" not in whole


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


@pytest.fixture
def two_seasons(db: None) -> None:
    """The invented nursery as it stood at the end of its story, with its kept forecasts."""
    # the story's own tests ask the rules about every entry; here the record alone is needed
    WrittenEntry.objects.bulk_create(
        entry_row(
            Written(
                entry_id=UUID(int=place),
                written_at=datetime(2009, 12, 1, tzinfo=UTC) + timedelta(seconds=place),
                entry=entry,
            )
        )
        for place, entry in enumerate(entries_until(LAST_DAY), 1)
    )
    rebuild_standings()


def test_causes_say_what_stands_out_what_cannot_be_told_apart_and_the_false_alarms(
    client_here: Client, two_seasons: None, settings: object
) -> None:
    settings.STAND_ON = LAST_DAY  # type: ignore[attr-defined]
    page = client_here.get("/lessons/causes/?season=2008").content.decode()
    assert "Stock lot 77838 M9" in page
    assert "5 of 18 lost, elsewhere 0 of 111" in page
    assert "Cannot be told apart from stock M9" in page
    assert "of 10 seasons in which nothing but chance is at work, no more than one" in page
    assert "10 of 32" in page.split("As it was written down")[1]
    assert 'aria-current="true">Season 2008' in page
    text = client_here.get("/lessons/causes/?season=nonsense")
    assert text.status_code == 200


def test_two_methods_are_compared_in_words_with_what_changed_along(
    client_here: Client, two_seasons: None, settings: object
) -> None:
    settings.STAND_ON = LAST_DAY  # type: ignore[attr-defined]
    asked = {"factor": "method", "first": "cleft", "second": "whip and tongue"}
    page = client_here.get("/lessons/compare/", asked).content.decode()
    answer = page.split('id="answer"')[1]
    assert "from 3 varieties grafted both ways" in answer
    assert "never shared the same grafter" in answer
    assert answer.count("<svg") == 2
    assert "<table" in answer
    assert "To know next winter" in answer
    words = re.sub("<[^>]*>", " ", answer)  # a form's token may hold any letters
    for person in ("HQ", "TO", "IW"):
        assert person not in words


def test_two_ways_on_different_varieties_cannot_be_compared(
    client_here: Client, two_seasons: None, settings: object
) -> None:
    settings.STAND_ON = LAST_DAY  # type: ignore[attr-defined]
    asked = {"factor": "stock", "first": "Quince C", "second": "St Julien A"}
    page = client_here.get("/lessons/compare/", asked).content.decode()
    assert "cannot be compared" in page
    assert "Grafts of each way to see it four times in five" in page


@pytest.mark.parametrize("second", ["cleft", "no such way"])
def test_the_same_way_twice_or_an_unknown_one_is_refused_in_words(
    client_here: Client, two_seasons: None, settings: object, second: str
) -> None:
    settings.STAND_ON = LAST_DAY  # type: ignore[attr-defined]
    asked = {"factor": "method", "first": "cleft", "second": second}
    answer = client_here.get("/lessons/compare/", asked)
    assert answer.status_code == 422
    assert "choose two different ones" in answer.content.decode()


def test_forecasts_stand_beside_what_came_and_say_how_often_they_held(
    client_here: Client, two_seasons: None, settings: object
) -> None:
    settings.STAND_ON = LAST_DAY  # type: ignore[attr-defined]
    page = client_here.get("/lessons/forecasts/").content.decode()
    assert "108 forecasts have results" in page
    assert "90% of results" in page
    assert "6 March 2009" in page
    for part in page.split("<figure")[1:]:
        assert "<table" in part
    season = page.split('id="season-2009"')[1].split("</section>")[0]
    assert re.search(r"\d+ to \d+ of \d+", season)


def test_printing_labels_keeps_what_the_plan_foretells_and_only_news(
    client_here: Client, winter: Notebook
) -> None:
    assert not winter.forecasts.made
    plan = this_winter().plan
    assert plan is not None
    print_labels(plan, today=plan.made_on)
    (kept,) = read_notebook().forecasts.made
    assert kept.season == 2009
    page = client_here.post("/lessons/forecasts/keep", follow=True).content.decode()
    assert "foretells nothing that is not kept already" in page
    assert read_notebook().forecasts.made == (kept,)
    assert "17 February 2009" in client_here.get("/lessons/forecasts/").content.decode()


def test_an_empty_notebook_says_on_every_page_of_lessons_what_to_do_first(
    client_here: Client,
) -> None:
    for address, words in (
        ("/lessons/causes/", "No graft has a result yet"),
        ("/lessons/compare/", "there is nothing to compare"),
        ("/lessons/forecasts/", "No forecast is kept yet"),
    ):
        answer = client_here.get(address)
        assert answer.status_code == 200
        assert words in answer.content.decode()
    page = client_here.post("/lessons/forecasts/keep", follow=True).content.decode()
    assert "There is no plan just now" in page


def test_the_cost_of_a_living_tree_stands_stage_by_stage(
    client_here: Client, two_seasons: None, settings: object
) -> None:
    settings.STAND_ON = LAST_DAY  # type: ignore[attr-defined]
    page = client_here.get("/lessons/").content.decode()
    cost = page.split('id="cost"')[1].split("</section>")[0]
    total = float(re.search(r'class="big">£([\d.]+)', cost).group(1))  # type: ignore[union-attr]
    body = cost.split("<tbody>")[1].split("</tbody>")[0]
    parts = re.findall(r'data-head="For each living">£([\d.]+)', body)
    assert sum(map(float, parts)) == pytest.approx(total, abs=0.03)
