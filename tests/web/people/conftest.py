"""Three people of an invented nursery, and pages that are served on a network."""

from collections.abc import Callable

import pytest
from django.test import Client

from graftwright.store.accounts import KnownAccount, add_account
from graftwright.store.signed_in import Role
from graftwright.web.people import card, pairing, signing, views

PASSWORD = "four walnuts in a jar"
Enter = Callable[[Role], Client]


@pytest.fixture(autouse=True)
def _forget_tries() -> None:
    for tries in (
        signing.BY_NAME,
        signing.BY_NETWORK,
        pairing.OPENINGS,
        card.WRONG_CODES,
        views.OWN_CHANGES,
    ):
        tries.forget()


@pytest.fixture
def network(settings: object) -> None:
    """Pages served on a network; passwords hashed quickly, as many are in these tests."""
    settings.NEEDS_ACCOUNT = True  # type: ignore[attr-defined]
    settings.PASSWORD_HASHERS = [  # type: ignore[attr-defined]
        "django.contrib.auth.hashers.MD5PasswordHasher"
    ]


@pytest.fixture
def people(db: None, network: None) -> dict[Role, KnownAccount]:
    """A helper, a grafter and an organiser, each with an account."""
    return {
        role: add_account(name, initials=initials, role=role, password=PASSWORD)
        for role, name, initials in (
            (Role.HELPER, "Wren", "WR"),
            (Role.GRAFTER, "Hazel", "HZ"),
            (Role.ORGANISER, "Rowan", "RN"),
        )
    }


def sign_in(client: Client, name: str, password: str = PASSWORD) -> int:
    """Sign in through the page and return the number of its answer."""
    return client.post("/sign-in/", {"name": name, "password": password}).status_code


@pytest.fixture
def enter(people: dict[Role, KnownAccount]) -> Enter:
    """Return a browser signed in with a role."""

    def entered(role: Role) -> Client:
        client = Client()
        assert sign_in(client, people[role].name) == 302
        return client

    return entered
