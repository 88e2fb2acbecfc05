"""The planting page, the plot's page with its files, and the card of a tree."""

import json
from datetime import date
from html import unescape
from urllib.parse import urlencode

import pypdfium2
import pytest
from django.test import Client
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from graftwright.intake.normals import shipped_normals
from graftwright.notebook.entries import TemperaturesAdded
from graftwright.notebook.notebook import Notebook
from graftwright.planting import Ground
from graftwright.store.append import write
from graftwright.store.read import entries_of_kind, read_notebook

PLOT = {"width": "20", "depth": "24", "trees": "4 Discovery on M26\n6 x James Grieve on M27"}


def _planting(client: Client, status: int = 200, **answers: str) -> str:
    answer = client.get(f"/planting/?{urlencode({'space': '3.5', **answers})}")
    assert answer.status_code == status
    return answer.content.decode()


def test_an_empty_page_asks_six_questions(client_here: Client) -> None:
    page = client_here.get("/planting/").content.decode()
    for number in range(1, 7):
        assert f"<legend>{number}. " in page
    assert "Stocks that suit" not in page


def test_suitable_stocks_are_drawn_beside_a_person_and_a_door_with_a_table(
    client_here: Client,
) -> None:
    page = _planting(client_here)
    drawing = page.split("<title")[2].split("</title>")[0]
    assert "person of 1.7 m and a door of 2 m" in drawing
    assert page.count('<path class="leaf dashed no-scale"') == 3
    assert "The trees drawn" in page


def test_a_dwarfing_stock_in_rough_grass_without_a_stake_is_ruled_out_in_words(
    client_here: Client,
) -> None:
    page = _planting(client_here, ground="rough grass", stake="no", stocks="M9")
    assert "No stock suits this spot" in page
    assert "Wants ground free of weeds" in page
    assert "Needs a stake for life, and none is allowed here" in page


def test_a_stock_no_list_knows_shows_the_widest_range_and_says_so(client_here: Client) -> None:
    page = _planting(client_here, stocks="grandfather's root")
    assert "not in the lists" in page
    assert "the widest range of any apple" in page


def test_what_is_taken_for_an_answer_left_out_is_what_the_form_shows(client_here: Client) -> None:
    page = _planting(client_here)
    assert '<option value="bush" selected>' in page
    soil = page.split('name="soil"')[1].split("</select>")[0]
    assert '<option value="not known" selected>' in soil


@pytest.mark.source("GardenersWorld2021", "Bramley is triploid")
def test_partners_name_triploids_and_no_variety_serves_itself(client_here: Client) -> None:
    page = _planting(
        client_here, wanted="Bramley's Seedling", neighbours="Discovery", many_near="on"
    )
    assert "It is triploid and serves no other tree." in page
    assert "A variety is no partner to itself." in page
    assert "Many trees stand about: the worry is small." in page
    assert "Every tree sets fruit alone or has a partner." in page


def test_a_planting_that_sets_no_fruit_names_the_fewest_to_add(
    client_here: Client, winter: Notebook
) -> None:
    page = _planting(client_here, wanted="Bramley's Seedling")
    assert "Not every tree can count on fruit." in page
    added = page.split("The fewest that make all of them set fruit: ")[1].split(",")[0]
    mended = _planting(client_here, wanted="\n".join(["Bramley's Seedling", *added.split(" and ")]))
    assert "Every tree sets fruit alone or has a partner." in mended


def test_the_missing_partners_are_added_in_one_step(client_here: Client) -> None:
    page = _planting(client_here, wanted="Bramley's Seedling")
    address = unescape(page.split('class="deed is-quiet" href="/planting/?')[1].split('"')[0])
    added = client_here.get(f"/planting/?{address.split('#')[0]}").content.decode()
    assert "Every tree sets fruit alone or has a partner." in added


def test_a_nursery_with_many_springs_has_its_own_days_and_others_are_told_how(
    client_here: Client,
) -> None:
    wanted = "Discovery\nJames Grieve"
    assert "bring them in" in _planting(client_here, wanted=wanted)
    _measure_years(from_on=date(2000, 1, 1), until_on=date(2009, 1, 31))
    springs = _planting(client_here, wanted=wanted)
    assert "learnt at Klein-Altendorf" in springs
    assert "bring them in" not in springs
    assert "Frost on open flowers" in springs
    assert "Discovery: in 0 of" in springs
    assert "Washington State University" in springs
    given = _planting(client_here, wanted=wanted, full_flower="2009-05-12")
    assert "learnt at Klein-Altendorf" not in given
    assert "Days for the day given for this place" in given


def _measure_years(*, from_on: date, until_on: date) -> None:
    """Write the shipped temperatures down as if they had been measured here."""
    days = shipped_normals()
    first, last = ((on - days.first_on).days for on in (from_on, until_on))
    write(
        TemperaturesAdded(
            happened_on=until_on,
            place_code="",
            first_on=from_on,
            low_c=days.low_c[first:last],
            high_c=days.high_c[first:last],
            station="the yard",
        ),
        device="desk",
    )


def test_the_vigour_of_the_first_variety_names_its_source_or_the_person(
    client_here: Client,
) -> None:
    listed = _planting(client_here, wanted="Bramley's Seedling")
    assert "strong (Garden Apple ID)" in listed
    said = _planting(client_here, wanted="Bramley's Seedling", vigour="weak")
    assert "weak, as you say" in said
    assert "A weak variety" in said


def test_a_plot_says_whether_its_trees_set_fruit_together(client_here: Client) -> None:
    page = client_here.get(f"/planting/plot/?{urlencode(PLOT)}").content.decode()
    assert "Flowering and partners" in page
    alone = {**PLOT, "trees": "3 Discovery on M26"}
    assert (
        "has no partner" in client_here.get(f"/planting/plot/?{urlencode(alone)}").content.decode()
    )


def test_a_pear_that_wants_a_piece_between_is_told_which(client_here: Client) -> None:
    page = _planting(client_here, crop="pear", wanted="Williams", stocks="Quince C")
    assert "Pieces named to go between" in page
    assert "Beurre Hardy" in page


def test_a_name_nobody_listed_is_shown_with_its_days_not_known(client_here: Client) -> None:
    page = _planting(client_here, wanted="Sallow Rigg farmhouse apple")
    assert "days not known" in page


@pytest.mark.parametrize(
    ("field", "value", "words"),
    [
        ("space", "", "Write the length"),
        ("space", "wide", "wide"),
        ("space", "900", "is not likely"),
        ("height", "-1", "is not likely"),
        ("soil", "purple", "is none of these"),
        ("pot", "none", "Write litres"),
        ("pot", "nan", "Write litres"),
        ("form", "bonsai", "is none of these"),
        ("full_flower", "31 June", "Write the day"),
        ("wanted", "\n".join(f"apple {n}" for n in range(40)), "at most 30"),
        ("neighbours", "x" * 200, "too long"),
    ],
)
def test_what_is_wrong_stands_beside_its_field(
    client_here: Client, field: str, value: str, words: str
) -> None:
    page = _planting(client_here, 422, **{field: value})
    assert words in page.split(f'id="id_{field}_error"')[1].split("</ul>")[0]


def test_a_name_two_varieties_bear_is_asked_about(client_here: Client) -> None:
    page = _planting(client_here, 422, wanted="Williams", crop="plum")
    assert "More than one tree is called Williams" in page


def test_a_spot_is_written_down_and_opens_with_its_answers(client_here: Client) -> None:
    query = urlencode({"space": "3.5", "ground": "mown grass", "wanted": "Discovery"})
    answer = client_here.post("/planting/keep", {"query": query, "name": "by the gate"})
    assert answer.status_code == 302
    (spot,) = read_notebook().spots.values()
    assert spot.described.ground is Ground.MOWN
    assert spot.described.wanted_varieties == ("Discovery",)
    client_here.post("/planting/keep", {"query": "space=2", "name": "  By the GATE "})
    (again,) = read_notebook().spots.values()
    assert again.described.space_m == 2.0
    assert len(entries_of_kind("SpotDescribed")) == 2
    assert "space=2" in client_here.get("/planting/").content.decode()


def test_a_spot_without_a_name_or_answers_is_refused_and_nothing_is_written(
    client_here: Client,
) -> None:
    for query, name in (("space=3", ""), ("space=x", "gate"), ("", "gate")):
        answer = client_here.post("/planting/keep", {"query": query, "name": name})
        assert answer.status_code == 422
    assert not read_notebook().spots


def test_a_plot_is_drawn_and_goes_out_as_a_map_file_and_on_paper(client_here: Client) -> None:
    corner = {"latitude": "54.2", "longitude": "-2.3"}
    page = client_here.get(f"/planting/plot/?{urlencode({**PLOT, **corner})}").content.decode()
    assert "10 trees in" in page
    answer = client_here.get(f"/planting/plot/plan.geojson?{urlencode({**PLOT, **corner})}")
    assert answer.headers["Content-Type"] == "application/geo+json"
    assert len(json.loads(answer.content)["features"]) == 11
    paper = client_here.get(f"/planting/plot/plan.pdf?{urlencode(PLOT)}")
    assert len(pypdfium2.PdfDocument(paper.content)) == 2


def test_without_a_corner_there_is_no_map_file(client_here: Client) -> None:
    page = client_here.get(f"/planting/plot/?{urlencode(PLOT)}").content.decode()
    assert "plan.geojson" not in page
    answer = client_here.get(f"/planting/plot/plan.geojson?{urlencode(PLOT)}")
    assert answer.status_code == 302


@pytest.mark.parametrize(
    ("field", "value", "words"),
    [
        ("width", "0", "is not likely"),
        ("trees", "many apples", "write it as"),
        ("trees", "9999 Discovery on M26", "expected 1 to"),
        ("latitude", "100", "85"),
    ],
)
def test_a_plot_that_cannot_be_is_refused_beside_its_field(
    client_here: Client, field: str, value: str, words: str
) -> None:
    answer = client_here.get(f"/planting/plot/?{urlencode({**PLOT, field: value})}")
    assert answer.status_code == 422
    beside = answer.content.decode().split(f'id="id_{field}_error"')[1].split("</ul>")[0]
    assert words in beside


def test_the_card_of_a_tree_is_one_side_and_other_codes_have_none(
    client_here: Client, winter: Notebook
) -> None:
    promise = next(iter(winter.promises))
    for code in ("XXXXX", promise, "no code"):
        assert client_here.get(f"/card/{code}.pdf").status_code == 404
    for code in list(winter.trees)[:2]:
        answer = client_here.get(f"/card/{code.lower()}.pdf")
        assert answer.status_code == 200
        assert len(pypdfium2.PdfDocument(answer.content)) == 1


@settings(
    max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(
    answers=st.dictionaries(
        st.sampled_from(
            [
                *("space", "height", "soil", "ground", "form", "pot", "crop", "wanted"),
                *("neighbours", "stocks", "full_flower", "stake", "width", "depth", "trees"),
            ]
        ),
        st.one_of(st.text(max_size=20), st.sampled_from(["3", "M9", "espalier", "pear", "1e9"])),
    )
)
def test_no_answers_break_the_pages(client_here: Client, answers: dict[str, str]) -> None:
    query = urlencode({"space": "3", **answers}, errors="replace")
    assert client_here.get(f"/planting/?{query}").status_code in (200, 422)
    plot = urlencode({**PLOT, **answers}, errors="replace")
    assert client_here.get(f"/planting/plot/?{plot}").status_code in (200, 422)
    assert client_here.get(f"/planting/plot/plan.pdf?{plot}").status_code in (200, 302)
