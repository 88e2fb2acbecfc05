"""Whose rates may be seen: one's own, and those of people who chose to show theirs.

A person's grafts count in everything, but no row names the person. This is a courtesy of the page,
not a lock: whoever has the notebook has its entries.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from graftwright.notebook.entries import PracticeSet
from graftwright.notebook.standing import Nursery
from graftwright.tongue import marked, say

_PRACTICE = "show the rates of "  # not said
ONE_PERSON = marked("one person’s grafts")


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """The people whose rates are shown to one reader."""

    people: frozenset[str] = frozenset()

    def name(self, person: str) -> str:
        """Return the person's initials, or words that name nobody."""
        return person if person in self.people else ONE_PERSON


def shown_to(reader: str, *, nursery: Nursery) -> Shown:
    """Return whose rates this reader sees: their own, and those shown to all."""
    own = {reader} if reader else set()
    return Shown(people=frozenset(own | set(showing(nursery))))


def showing(nursery: Nursery) -> tuple[str, ...]:
    """Return the people who chose to show their rates to everybody, in order."""
    return tuple(
        sorted(
            one.practice.removeprefix(_PRACTICE)
            for one in nursery.practices
            if one.practice.startswith(_PRACTICE) and one.value == "yes"
        )
    )


def choice_to_show(person: str, *, is_shown: bool, on: date) -> PracticeSet:
    """Return the entry by which a person shows their rates to everybody, or hides them again."""
    return PracticeSet(
        happened_on=on,
        practice=f"{_PRACTICE}{person}",
        value="yes" if is_shown else "no",
        words=say("a person’s rates are private unless they choose otherwise"),
    )


def hidden_people(people: Iterable[str], shown: Shown) -> tuple[str, ...]:
    """Return those among the people whose rates this reader does not see, each once."""
    return tuple(sorted({person for person in people if person and person not in shown.people}))
