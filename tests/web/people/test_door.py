"""Nothing is answered on a network before somebody signs in, and then by role."""

import re

import pytest
from django.test import Client

from graftwright.store.accounts import KnownAccount
from graftwright.store.signed_in import Role
from graftwright.web.people.access import _ACCESS, ACCESS, HELPER_DEEDS, Open, access_to, may

from ..small_notebook import graft, write_small
from .conftest import Enter
from .every_address import ADDRESSES

People = dict[Role, KnownAccount]
_TO_ALL = {"sign-in", "pair", "receiver-card", "worker-script"}
_NAMES = [name for name, _ in ADDRESSES]


def test_every_address_stands_in_the_table_and_no_other() -> None:
    assert set(ACCESS) == set(_NAMES)


def test_no_address_stands_in_the_table_twice() -> None:
    named = [name for names in _ACCESS.values() for name in names.split()]
    assert len(named) == len(set(named))


def test_only_login_pairing_card_and_the_script_without_data_are_open_to_all() -> None:
    assert {name for name, access in ACCESS.items() if access is Open.TO_ALL} == _TO_ALL


def test_only_programs_calendars_and_copies_look_at_tokens_of_their_own() -> None:
    by_token = {address for name, address in ADDRESSES if ACCESS[name] is Open.BY_TOKEN}
    assert all(address.startswith(("/api/", "/feed/", "/merge/")) for address in by_token)


def test_an_address_nobody_thought_of_is_the_organisers_alone() -> None:
    assert access_to("a page of tomorrow") is Role.ORGANISER


@pytest.mark.parametrize("method", ["get", "post"])
def test_every_address_needs_an_account(people: People, method: str) -> None:
    client = Client()
    let_through = []
    for name, address in ADDRESSES:
        if name in _TO_ALL:
            continue
        answer = getattr(client, method)(address)
        to_sign_in = answer.headers.get("Location", "").startswith("/sign-in/?then=")
        if name == "calendar-feed":  # a wrong secret finds nothing, whoever asks
            assert answer.status_code in (404, 405)
        elif not ((answer.status_code == 302 and to_sign_in) or answer.status_code == 401):
            let_through.append((name, answer.status_code))
    assert let_through == []


def test_an_address_that_is_none_asks_to_sign_in_and_shows_nothing(people: People) -> None:
    answer = Client().get("/no/such/page")
    assert (answer.status_code, answer.content) == (302, b"")


def test_on_this_machine_alone_nobody_has_to_sign_in(db: None) -> None:
    answer = Client().get("/promises/")
    assert answer.status_code == 200
    assert "sessionid" not in answer.cookies
    assert "Sign out" not in answer.content.decode()
    for address in ("/sign-in/", "/pair/x/", "/me/"):
        assert Client().get(address).status_code == 404


@pytest.mark.parametrize("role", list(Role))
def test_a_role_is_refused_exactly_what_the_table_keeps_from_it(enter: Enter, role: Role) -> None:
    client = enter(role)
    for name, address in ADDRESSES:
        if name in (*_TO_ALL, "begin", "sign-out") or ACCESS[name] is Open.BY_TOKEN:
            continue
        expected = may(role, name) and not (name == "write-deed" and role is Role.HELPER)
        # an answer by a method nobody serves: it comes after the door and changes nothing
        status_code = client.put(address).status_code
        assert (status_code != 403) is expected, (name, status_code)


# What the roles are for, written down apart from the table that enforces it.
@pytest.mark.parametrize(
    ("address", "least"),
    [
        ("/", Role.HELPER),
        ("/bench/", Role.HELPER),
        ("/walk/", Role.HELPER),
        ("/results/", Role.HELPER),
        ("/water/", Role.HELPER),
        ("/trees/", Role.HELPER),
        ("/sync/", Role.HELPER),
        ("/me/", Role.HELPER),
        ("/promises/", Role.GRAFTER),
        ("/plan/", Role.GRAFTER),
        ("/lessons/", Role.GRAFTER),
        ("/exchange/", Role.GRAFTER),
        ("/exchange/notebook.jsonl", Role.GRAFTER),
        ("/spreadsheet/", Role.GRAFTER),
        ("/mothers/", Role.GRAFTER),
        ("/people/", Role.ORGANISER),
    ],
)
def test_roles_open_what_they_are_for(enter: Enter, address: str, least: Role) -> None:
    for role in Role:
        assert (enter(role).get(address).status_code == 200) is role.reaches(least), role


def test_a_helper_writes_notes_and_results_but_hands_no_tree_over(enter: Enter) -> None:
    client = enter(Role.HELPER)
    assert {"note", "take", "water"} <= HELPER_DEEDS
    assert client.post("/trees/22223/write/note").status_code != 403
    assert client.post("/trees/22223/write/hand-over").status_code == 403


def test_a_helper_is_shown_only_what_a_helper_may_write(enter: Enter) -> None:
    tree = graft(write_small(), 1)[0]
    forms = {
        role: set(re.findall(rf'/trees/{tree}/write/([\w-]+)"', _page_of(enter(role), tree)))
        for role in (Role.HELPER, Role.GRAFTER)
    }
    assert forms[Role.HELPER] == forms[Role.GRAFTER] & HELPER_DEEDS
    assert "hand-over" in forms[Role.GRAFTER]
    assert "take" in forms[Role.HELPER]


def test_no_link_on_a_tree_s_page_is_closed_to_the_helper_who_reads_it(enter: Enter) -> None:
    tree = graft(write_small(), 1)[0]
    client = enter(Role.HELPER)
    page = _page_of(client, tree)
    matter = page[page.index("<main") : page.index("</main>")]
    for address in set(re.findall(r'href="(/[^"#?]*)', matter)):
        assert client.get(address).status_code != 403, address


def _page_of(client: Client, tree: str) -> str:
    return client.get(f"/trees/{tree}/").content.decode()


def test_the_contents_name_only_what_the_role_opens(enter: Enter) -> None:
    page = enter(Role.HELPER).get("/").content.decode()
    contents = page[page.index('<nav class="contents"') : page.index("</nav>")]
    assert ">Bench<" in contents
    assert ">Promises<" not in contents


def test_a_change_of_role_holds_from_the_next_page_on(enter: Enter, people: People) -> None:
    helper, organiser = enter(Role.HELPER), enter(Role.ORGANISER)
    number = people[Role.HELPER].account_id
    organiser.post(f"/people/{number}/role", {f"role-{number}-role": "grafter"})
    assert helper.get("/promises/").status_code == 200


def test_every_post_needs_the_token_of_a_form(enter: Enter, people: People) -> None:
    client = enter(Role.ORGANISER)
    client.handler.enforce_csrf_checks = True
    taken = []
    for name, address in ADDRESSES:
        if ACCESS[name] is Open.BY_TOKEN:
            continue
        answer = client.post(address)
        if answer.status_code != 403:
            taken.append((name, answer.status_code))
    assert taken == []


def test_signing_in_needs_the_token_of_its_form(people: People) -> None:
    strict = Client(enforce_csrf_checks=True)
    assert sign_in_status(strict) == 403
    assert "sessionid" not in strict.cookies


def sign_in_status(client: Client) -> int:
    said = {"name": "rowan", "password": "four walnuts in a jar"}
    return client.post("/sign-in/", said).status_code


def test_programs_addresses_look_at_no_cookie(enter: Enter) -> None:
    assert enter(Role.ORGANISER).get("/api/entries").status_code == 401


@pytest.mark.parametrize("who", [None, Role.HELPER, Role.ORGANISER])
def test_every_answer_carries_the_content_policy_and_no_script_or_style_of_its_own(
    enter: Enter, who: Role | None
) -> None:
    client = enter(who) if who else Client()
    for name, address in ADDRESSES:
        if name == "sign-out":
            continue
        answer = client.get(address)
        policy = answer.headers["Content-Security-Policy"]
        assert "default-src 'none'" in policy, name
        assert "unsafe" not in policy, name
        assert answer.headers["X-Content-Type-Options"] == "nosniff", name
        assert answer.headers["X-Frame-Options"] == "DENY", name
        if answer.headers.get("Content-Type", "").startswith("text/html"):
            page = answer.content.decode()
            assert not re.search(r"\sstyle=|\son[a-z]+=|<style", page), name
            assert all("src=" in tag for tag in re.findall(r"<script[^>]*>", page)), name


def test_a_refused_form_is_answered_under_the_content_policy_too(people: People) -> None:
    answer = Client(enforce_csrf_checks=True).post("/sign-in/", {})
    assert answer.status_code == 403
    assert "default-src 'none'" in answer.headers["Content-Security-Policy"]
    assert "<style" not in answer.content.decode()


def test_what_one_person_saw_is_not_kept_for_the_next(enter: Enter) -> None:
    assert "private" in enter(Role.GRAFTER).get("/promises/").headers["Cache-Control"]
