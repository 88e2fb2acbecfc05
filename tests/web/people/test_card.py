"""The receiver's card: open to all, for trees that were handed over, and nothing beyond it."""

import io
import re

import pypdfium2
import pytest
import zxingcpp
from django.test import Client

from graftwright.notebook.entries import PromiseMade, TreeHandedOver
from graftwright.store.append import write
from graftwright.store.codes import next_codes
from tests.web.small_notebook import GRAFTED_ON, Small, graft, write_small

_RECEIVER = "Almshouse of Skelbeck, care of Ida Thornthwaite"


@pytest.fixture
def small(network: None, db: None) -> Small:
    return write_small()


@pytest.fixture
def trees(small: Small) -> tuple[str, ...]:
    """Two trees; the first was handed over."""
    codes = graft(small, 2)
    (promise,) = next_codes(1, today=GRAFTED_ON)
    write(
        PromiseMade(
            happened_on=GRAFTED_ON,
            code=promise,
            who=_RECEIVER,
            variety="Discovery",
            stock="M26",
            wanted_count=1,
        )
    )
    write(TreeHandedOver(happened_on=GRAFTED_ON, tree_codes=codes[:1], to_whom=_RECEIVER))
    return codes


def test_the_card_of_a_tree_handed_over_is_open_to_all(trees: tuple[str, ...]) -> None:
    answer = Client().get(f"/card/{trees[0]}/")
    page = answer.content.decode()
    assert answer.status_code == 200
    assert trees[0] in page
    assert "Grows" in page
    assert answer.headers["X-Robots-Tag"] == "noindex"


def test_it_names_no_person_and_leads_nowhere(trees: tuple[str, ...]) -> None:
    page = Client().get(f"/card/{trees[0]}/").content.decode()
    for name in ("Thornthwaite", "Almshouse", "came to us as"):
        assert name not in page
    assert re.findall(r'<a [^>]*href="([^"]*)"', page) == ["#matter"]
    assert "<form" not in page
    assert "<script" not in page


def test_every_other_code_gives_the_same_answer(trees: tuple[str, ...], small: Small) -> None:
    codes = (trees[1], small.mother, small.bundle, small.lot, "22222", "no code")
    answers = [Client().get(f"/card/{code}/") for code in codes]
    assert {answer.status_code for answer in answers} == {404}
    assert len({answer.content for answer in answers}) == 1


def test_guessing_at_codes_is_held_up_and_others_are_not(trees: tuple[str, ...]) -> None:
    guesser = Client(REMOTE_ADDR="192.0.2.9")
    tried = [guesser.get("/card/22222/").status_code for _ in range(21)]
    assert tried == [404] * 20 + [429]
    assert guesser.get(f"/card/{trees[0]}/").status_code == 429
    assert Client().get(f"/card/{trees[0]}/").status_code == 200


def test_reading_ones_own_card_again_and_again_is_no_guessing(trees: tuple[str, ...]) -> None:
    assert {Client().get(f"/card/{trees[0]}/").status_code for _ in range(40)} == {200}


@pytest.mark.parametrize("address", ["", "https://trees.example.org"])
def test_the_printed_square_leads_to_the_card_where_the_address_is_known(
    trees: tuple[str, ...], settings: object, address: str
) -> None:
    settings.NEEDS_ACCOUNT = False  # type: ignore[attr-defined]
    settings.PUBLIC_ADDRESS = address  # type: ignore[attr-defined]
    content = Client().get(f"/card/{trees[0]}.pdf").content
    picture = pypdfium2.PdfDocument(io.BytesIO(content))[0].render(scale=4).to_pil()
    (found,) = zxingcpp.read_barcodes(picture)
    assert found.text == (f"{address}/card/{trees[0]}/" if address else trees[0])
