"""The organiser's page: offers in and out, the joint plan, who may see it."""

import json
from pathlib import Path

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from graftwright.demo import demo_neighbours
from graftwright.exchange import offer_bytes, offer_from_bytes
from graftwright.notebook.notebook import Notebook
from graftwright.store.offers import kept_offers
from graftwright.store.signed_in import Role
from graftwright.web.people.access import ACCESS


@pytest.fixture(autouse=True)
def _offers_apart(settings, tmp_path: Path) -> None:
    settings.NOTEBOOK_FOLDER = tmp_path / "notebook"


def _bring(client: Client, content: bytes):
    upload = SimpleUploadedFile("offer.json", content)
    return client.post("/scheme/bring", {"file": upload}, follow=True)


def test_offers_of_three_nurseries_become_one_plan_with_papers(
    client_here: Client, winter: Notebook
) -> None:
    assert "An offer of another nursery" in client_here.get("/scheme/").content.decode()
    for offer in demo_neighbours():
        assert _bring(client_here, offer_bytes(offer)).status_code == 200
    ticked = {"sends_wood": "on", "sends_stocks": "on"}
    page = client_here.post("/scheme/own", ticked, follow=True).content.decode()
    assert winter.nursery.name in page
    assert "Proved" in page
    assert "plant health authority" in page
    assert page.count("parcel-slips.pdf") == 1
    slips = client_here.get("/scheme/paper/parcel-slips.pdf")
    assert slips.content.startswith(b"%PDF")
    assert client_here.get("/scheme/paper/none.pdf").status_code == 404
    own = [name for name, raw in kept_offers().items() if b"Lantern" in raw[:400]]
    answer = client_here.get(f"/scheme/{own[0]}.json")
    assert offer_from_bytes(answer.content).nursery == winter.nursery.name
    dear = client_here.get(
        "/scheme/?tree_price=0.5&parcel_price=9999&journey_price=9999"
    ).content.decode()
    assert "Nothing is worth posting" in dear


def test_a_newer_offer_takes_the_place_of_the_older_and_one_can_be_removed(
    client_here: Client, winter: Notebook
) -> None:
    offer = demo_neighbours()[0]
    _bring(client_here, offer_bytes(offer))
    newer = json.loads(offer_bytes(offer)) | {"made_on": "2009-02-17", "wants": []}
    _bring(client_here, json.dumps(newer).encode())
    (name,) = kept_offers()
    assert offer_from_bytes(kept_offers()[name]).wants == ()
    client_here.post(f"/scheme/{name}/remove")
    assert kept_offers() == {}
    again = client_here.post(f"/scheme/{name}/remove", follow=True)
    assert "no such offer" in again.content.decode()


@pytest.mark.parametrize("name", ["..%2f..%2fsecret-key", "0" * 63, "0" * 64])
def test_nothing_but_an_offer_is_given_out(client_here: Client, winter: Notebook, name) -> None:
    assert client_here.get(f"/scheme/{name}.json").status_code == 404


def test_a_bad_file_is_refused_with_its_place_and_nothing_is_kept(
    client_here: Client, winter: Notebook
) -> None:
    bad = json.loads(offer_bytes(demo_neighbours()[0]))
    bad["wood"][2]["health"] = "<b>fine</b>"
    answer = _bring(client_here, json.dumps(bad).encode())
    assert answer.status_code == 422
    assert "wood 3: health" in answer.content.decode()
    assert "<b>fine" not in answer.content.decode()
    assert kept_offers() == {}


def test_the_page_is_the_organisers_alone() -> None:
    names = ("scheme", "bring-offer", "make-own-offer", "remove-offer", "offer-file")
    assert {ACCESS[name] for name in (*names, "scheme-paper")} == {Role.ORGANISER}
