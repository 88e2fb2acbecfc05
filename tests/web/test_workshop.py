"""The workshop page."""

import re

import pytest
from django.test import Client

from graftwright.losses import BEGINNER_CUTS, chance_of_enough
from graftwright.notebook.notebook import Notebook

_CHANCE = re.compile(r'class="big[^"]*">(?:over |under )?(\d+)%</strong>')


def _chance(page: str) -> int:
    found = _CHANCE.search(page)
    assert found, "no chance on the page"
    return int(found.group(1))


def _cells(page: str, head: str) -> list[str]:
    return re.findall(rf'data-head="{head}">(?:<strong>)?([^<,]+)', page)


def test_a_first_visit_says_how_much_to_lay_out_for_twelve(client_here: Client, db: None) -> None:
    page = client_here.get("/workshop/").content.decode()
    assert _chance(page) >= 95
    wood, stocks = map(int, _cells(page, "Lay out"))
    assert wood > stocks > 12
    assert "Every cut goes away from the hand that holds" in page


def test_with_what_lies_there_the_chance_is_that_of_the_wood_at_most(
    client_here: Client, db: None
) -> None:
    asked = {"people": "15", "trees": "2", "wood": "40", "stocks": "200"}
    page = client_here.get("/workshop/", asked).content.decode()
    # with stocks in plenty only the wood can run out: one exact sum
    only_wood = chance_of_enough(40, 30, [BEGINNER_CUTS])
    assert _chance(page) == pytest.approx(100 * only_wood, abs=1)
    late = page.split('id="late"')[1].split("</section>")[0]
    assert "pieces of scion wood" in late
    chances = [int(one) for one in re.findall(r'<td class="n">(?:under )?(\d+)%', late)]
    assert chances == sorted(chances, reverse=True)


def test_more_sureness_and_less_practice_lay_out_more(client_here: Client, db: None) -> None:
    def wood(**asked: str) -> int:
        page = client_here.get("/workshop/", {"people": "10", "trees": "1", **asked})
        return int(_cells(page.content.decode(), "Lay out")[0])

    assert wood(sureness="80") < wood(sureness="95") < wood(exactly="99", was="95", sureness="95")
    assert wood(hands="practised grafters") < wood(hands="some practice") < wood()


def test_the_store_is_looked_into_for_what_is_named(client_here: Client, winter: Notebook) -> None:
    asked = {"people": "12", "trees": "1", "variety": "James Grieve", "stock": "M26"}
    page = client_here.get("/workshop/", asked).content.decode()
    wood, stocks = map(int, _cells(page, "In store"))
    held = sum(lot.in_hand_count for lot in winter.lots.values() if lot.stock == "M26")
    assert stocks == held
    assert wood == sum(
        bundle.pieces_left
        for bundle in winter.bundles.values()
        if bundle.is_in_store and winter.variety_of_bundle(bundle.code) == "James Grieve"
    )


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        ({"people": "0"}, "A workshop is for at least one."),
        ({"people": "many"}, "Enter a whole number"),
        ({"people": "400"}, "hold two days"),
        ({"hands": "careless"}, "not one of the available choices"),
        ({"exactly": "100"}, "certainty cannot be had"),
    ],
)
def test_what_cannot_be_reckoned_is_said_beside_its_field(
    client_here: Client, db: None, asked: dict[str, str], words: str
) -> None:
    answer = client_here.get("/workshop/", {"people": "5", "trees": "1", **asked})
    assert answer.status_code == 422
    assert words in answer.content.decode()


def test_the_workshop_stands_in_the_contents_and_leads_to_its_pack(
    client_here: Client, db: None
) -> None:
    page = client_here.get("/workshop/", {"people": "3", "trees": "2"}).content.decode()
    assert 'aria-current="page">Workshop' in page
    pack = re.search(r'href="(/paper/workshop\?[^"]+)"', page)
    assert pack
    answer = client_here.get(pack.group(1).replace("&amp;", "&"))
    assert answer.status_code == 200
    assert answer.headers["Content-Type"] == "application/pdf"
