"""Signing in: nothing is given away, guessing is held up, and every sign-in ends."""

from datetime import UTC, datetime, timedelta

import pytest
from django.contrib.auth.hashers import PBKDF2PasswordHasher
from django.test import Client

from graftwright.errors import CannotFollow, OutOfRange
from graftwright.store.account_models import Account, SignIn
from graftwright.store.accounts import (
    KnownAccount,
    add_account,
    change_password,
    change_role,
    close_account,
)
from graftwright.store.signed_in import Role

from .conftest import PASSWORD, Enter, sign_in

People = dict[Role, KnownAccount]


def test_name_and_password_let_in_and_lead_to_the_page_wanted(people: People) -> None:
    client = Client()
    asked = client.get("/trees/?q=22223")
    assert asked.headers["Location"] == "/sign-in/?then=%2Ftrees%2F%3Fq%3D22223"
    said = {"name": " ROWAN ", "password": PASSWORD, "then": "/trees/?q=22223"}
    assert client.post("/sign-in/", said).headers["Location"] == "/trees/?q=22223"


@pytest.mark.parametrize("then", ["https://elsewhere.example/", "//elsewhere.example", "x:y", ""])
def test_nobody_is_led_elsewhere(people: People, then: str) -> None:
    said = {"name": "rowan", "password": PASSWORD, "then": then}
    assert Client().post("/sign-in/", said).headers["Location"] == "/"


def test_an_unknown_name_and_a_wrong_password_are_answered_alike(people: People) -> None:
    close_account(people[Role.HELPER].account_id)
    pages = []
    for name, password in (("rowan", "wrong"), ("nobody", "wrong"), ("wren", PASSWORD)):
        answer = Client().post("/sign-in/", {"name": name, "password": password})
        page = answer.content.decode().replace(f'value="{name}"', "")
        start = page.index("<main")
        token = page.index('name="csrfmiddlewaretoken"')
        pages.append((answer.status_code, page[start:token], page[page.index("</p>", token) :]))
    assert pages[0][0] == 422
    assert pages[0] == pages[1] == pages[2]


def test_an_unknown_name_costs_the_same_hashing_as_a_known_one(
    people: People, settings: object, monkeypatch: pytest.MonkeyPatch
) -> None:
    counted: list[str] = []

    class Counting(PBKDF2PasswordHasher):
        iterations = 10

        def encode(self, password: str, salt: str, iterations: int | None = None) -> str:
            counted.append(password)
            return super().encode(password, salt, iterations)

    name = f"{__name__}.Counting"
    monkeypatch.setitem(globals(), "Counting", Counting)
    settings.PASSWORD_HASHERS = [name]  # type: ignore[attr-defined]
    change_password(people[Role.HELPER].account_id, PASSWORD)
    costs = []
    for who in ("wren", "nobody"):
        counted.clear()
        sign_in(Client(), who, "wrong")
        costs.append(len(counted))
    assert costs == [1, 1]


def test_guessing_at_one_name_is_held_up_even_with_the_right_password(people: People) -> None:
    client = Client()
    tried = [sign_in(client, "rowan", f"guess {number}") for number in range(10)]
    assert set(tried) == {422}
    assert sign_in(client, "rowan") == 429
    assert sign_in(client, "hazel") == 302


def test_guessing_at_many_names_from_one_address_is_held_up(people: People) -> None:
    client = Client(REMOTE_ADDR="192.0.2.7")
    tried = [sign_in(client, f"name {number}", "guess") for number in range(31)]
    assert tried[:30] == [422] * 30
    assert tried[30] == 429
    assert sign_in(Client(REMOTE_ADDR="192.0.2.8"), "rowan") == 302


def test_signing_in_gives_a_new_secret(people: People) -> None:
    client = Client()
    client.cookies["sessionid"] = "a-secret-somebody-else-chose-12345"
    sign_in(client, "rowan")
    first = client.cookies["sessionid"].value
    assert first != "a-secret-somebody-else-chose-12345"
    sign_in(client, "rowan")
    assert client.cookies["sessionid"].value != first


def test_the_cookie_is_out_of_reach_of_scripts_and_other_sites(people: People) -> None:
    client = Client()
    sign_in(client, "rowan")
    cookie = client.cookies["sessionid"]
    assert cookie["httponly"]
    assert cookie["samesite"] == "Lax"


def test_the_tables_hold_no_secret_that_opens_anything(people: People) -> None:
    client = Client()
    sign_in(client, "rowan")
    row = SignIn.objects.get()
    assert client.cookies["sessionid"].value not in (row.session_key, row.session_data)
    thief = Client()
    thief.cookies["sessionid"] = row.session_key
    assert thief.get("/").status_code == 302


def test_a_sign_in_ends_twelve_hours_after_it_began_however_busy(enter: Enter) -> None:
    client = enter(Role.GRAFTER)
    row = SignIn.objects.get()
    assert abs(row.expire_date - datetime.now(UTC) - timedelta(hours=12)) < timedelta(minutes=1)
    client.get("/")
    assert SignIn.objects.get().expire_date == row.expire_date
    SignIn.objects.update(expire_date=datetime.now(UTC) - timedelta(seconds=1))
    assert client.get("/").status_code == 302


def test_signing_out_ends_it_on_the_program_side_too(enter: Enter) -> None:
    client = enter(Role.GRAFTER)
    secret = client.cookies["sessionid"].value
    assert client.post("/sign-out").headers["Location"] == "/sign-in/"
    thief = Client()
    thief.cookies["sessionid"] = secret
    assert thief.get("/").status_code == 302


def test_closing_an_account_ends_its_sign_ins(enter: Enter, people: People) -> None:
    client = enter(Role.GRAFTER)
    close_account(people[Role.GRAFTER].account_id)
    assert client.get("/").status_code == 302
    assert sign_in(Client(), "hazel") == 422


def test_a_new_password_ends_every_other_sign_in(enter: Enter) -> None:
    here, elsewhere = enter(Role.GRAFTER), enter(Role.GRAFTER)
    said = {"before": PASSWORD, "password": "seven hazels by the wall"}
    assert here.post("/me/password", said).status_code == 302
    assert here.get("/me/").status_code == 200
    assert elsewhere.get("/me/").status_code == 302


def test_the_password_is_not_changed_without_the_one_so_far(enter: Enter) -> None:
    said = {"before": "wrong", "password": "seven hazels by the wall"}
    answer = enter(Role.GRAFTER).post("/me/password", said)
    assert answer.status_code == 422
    assert sign_in(Client(), "hazel") == 302


@pytest.mark.parametrize("weak", ["short", "1234567890", "password123", "rosa lindqvist"])
def test_weak_passwords_are_refused(db: None, weak: str) -> None:
    with pytest.raises(OutOfRange):
        add_account("rosa lindqvist", initials="RL", role=Role.HELPER, password=weak)


def test_initials_and_names_belong_to_one_person(people: People) -> None:
    for name, initials in (("Rowan", "R2"), ("Other", "rn")):
        with pytest.raises(OutOfRange):
            add_account(name, initials=initials, role=Role.HELPER, password=PASSWORD)


def test_a_closed_account_opens_again_under_its_name_and_initials(people: People) -> None:
    close_account(people[Role.HELPER].account_id)
    again = add_account("Wren", initials="WR", role=Role.GRAFTER, password=PASSWORD)
    assert (again.account_id, again.role) == (people[Role.HELPER].account_id, Role.GRAFTER)
    assert sign_in(Client(), "wren") == 302


def test_the_last_organiser_stays(people: People) -> None:
    number = people[Role.ORGANISER].account_id
    with pytest.raises(CannotFollow):
        close_account(number)
    with pytest.raises(CannotFollow):
        change_role(number, Role.HELPER)
    assert Account.objects.get(pk=number).is_active


def test_the_organiser_lets_in_and_closes_by_the_page(enter: Enter, people: People) -> None:
    client = enter(Role.ORGANISER)
    said = {"name": "Linnet", "initials": "LT", "role": "helper", "password": PASSWORD}
    assert client.post("/people/add", said).status_code == 302
    assert sign_in(Client(), "linnet") == 302
    assert client.post("/people/add", said).status_code == 422
    number = people[Role.GRAFTER].account_id
    client.post(f"/people/{number}/close")
    assert sign_in(Client(), "hazel") == 422
    page = client.get("/people/").content.decode()
    assert "Linnet" in page
    assert PASSWORD not in page
