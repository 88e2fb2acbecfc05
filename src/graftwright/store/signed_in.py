"""Who is signed in while a page is answered: what is written meanwhile carries their initials."""

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass

from graftwright.tongue import Choice


class Role(Choice):
    """What an account may do; each may do what those before it may."""

    HELPER = "helper"
    GRAFTER = "grafter"
    ORGANISER = "organiser"

    def reaches(self, other: "Role") -> bool:
        """Whether this role may do what the other may."""
        order = list(Role)
        return order.index(self) >= order.index(other)


@dataclass(frozen=True, slots=True, kw_only=True)
class SignedIn:
    """The person who is signed in."""

    account_id: int
    name: str
    initials: str
    role: Role


_signed_in: ContextVar[SignedIn | None] = ContextVar("signed_in", default=None)


@contextmanager
def by(person: SignedIn) -> Iterator[None]:
    """Let every entry written meanwhile be this person's."""
    before = _signed_in.set(person)
    try:
        yield
    finally:
        _signed_in.reset(before)


def signed_in() -> SignedIn | None:
    """Return who is signed in just now; None on a machine that asks for no account."""
    return _signed_in.get()


def writer(said: str) -> str:
    """Return whose initials an entry bears: those signed in, else those said."""
    person = signed_in()
    return person.initials if person else said
