"""A phone is paired by a link that is good once and for a short while."""

import re
from datetime import UTC, datetime, timedelta

import pytest
from django.test import Client

from graftwright.store.account_models import PairingLink, SignIn
from graftwright.store.accounts import KnownAccount, close_account
from graftwright.store.pairing import make_link
from graftwright.store.signed_in import Role

from .conftest import Enter

People = dict[Role, KnownAccount]


def _link(client: Client, address: str = "/me/phone") -> str:
    page = client.post(address).content.decode()
    found = re.search(r"http://testserver(/pair/[\w-]+/)", page)
    assert found
    assert 'class="code-square"' in page
    return found[1]


def test_the_link_signs_a_phone_in_for_a_year_under_its_name(enter: Enter) -> None:
    link = _link(enter(Role.HELPER))
    phone = Client(headers={"user-agent": "Mozilla/5.0 (Linux; Android 15) Mobile"})
    assert "Sign this phone in as Wren?" in phone.get(link).content.decode()
    assert phone.post(link).status_code == 302
    assert phone.get("/").status_code == 200
    row = SignIn.objects.get(phone_name="Android phone")
    assert abs(row.expire_date - datetime.now(UTC) - timedelta(days=365)) < timedelta(minutes=1)


def test_looking_at_a_link_does_not_use_it_up_and_using_it_does(enter: Enter) -> None:
    link = _link(enter(Role.HELPER))
    for _ in range(3):
        assert Client().get(link).status_code == 200
    assert Client().post(link).status_code == 302
    second = Client()
    assert second.post(link).status_code == 404
    assert second.get("/").status_code == 302


def test_the_link_is_good_for_a_quarter_of_an_hour(enter: Enter) -> None:
    link = _link(enter(Role.HELPER))
    row = PairingLink.objects.get()
    assert row.valid_until - row.made_at == timedelta(minutes=15)
    PairingLink.objects.update(valid_until=datetime.now(UTC) - timedelta(seconds=1))
    assert Client().post(link).status_code == 404


def test_only_a_sum_of_the_link_is_kept(enter: Enter) -> None:
    secret = _link(enter(Role.HELPER)).split("/")[2]
    kept = " ".join(str(value) for value in PairingLink.objects.values().get().values())
    assert secret not in kept


def test_an_organiser_makes_a_link_for_somebody_else_and_nobody_else_does(
    enter: Enter, people: People
) -> None:
    address = f"/people/{people[Role.HELPER].account_id}/phone"
    assert "Wren" in Client().get(_link(enter(Role.ORGANISER), address)).content.decode()
    assert enter(Role.GRAFTER).post(address).status_code == 403


def test_a_phone_is_ended_singly(enter: Enter, people: People) -> None:
    desk = enter(Role.HELPER)
    phone = Client()
    phone.post(_link(desk), {"phone": "shed phone"})
    assert "Shed phone" in desk.get("/me/").content.decode()
    row = SignIn.objects.get(phone_name="shed phone")
    other = enter(Role.GRAFTER)
    other.post("/me/end", {"key": row.session_key})
    assert phone.get("/").status_code == 200
    desk.post("/me/end", {"key": row.session_key})
    assert phone.get("/").status_code == 302
    assert phone.get("/sync/hello").status_code == 401
    assert desk.get("/").status_code == 200


def test_a_closed_account_leaves_no_link_and_no_phone(enter: Enter, people: People) -> None:
    desk = enter(Role.HELPER)
    paired, late = Client(), _link(desk)
    paired.post(_link(desk))
    close_account(people[Role.HELPER].account_id)
    assert paired.get("/").status_code == 302
    assert Client().post(late).status_code == 404


def test_guessing_at_links_is_held_up(people: People) -> None:
    client = Client()
    tried = [client.get(f"/pair/guess-{number}/").status_code for number in range(31)]
    assert tried == [404] * 30 + [429]


@pytest.mark.parametrize("secret", ["", "x", "y" * 5_000, "é" * 40])
def test_no_secret_but_the_right_one_opens(people: People, secret: str) -> None:
    make_link(people[Role.HELPER].account_id)
    assert Client().post(f"/pair/{secret}/").status_code in (401, 404)
