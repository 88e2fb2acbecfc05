"""One job of the day."""

from dataclasses import dataclass
from datetime import date

from graftwright.notebook.notebook import Notebook
from graftwright.tongue import counted, say


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """Something to do: where, to which things, why, and by when at the latest.

    `done_by` is the kind of entry that a tick writes, empty where a tick alone says nothing.
    `minutes` is a rough guess of the work, from the count (no source). `given_to` are the initials
    of whoever it was given to.
    """

    name: str
    what: str
    place_code: str
    place_name: str
    walking_order: int
    codes: tuple[str, ...]
    why: str
    last_safe_on: date | None
    minutes: float
    is_warning: bool = False
    done_by: str = ""
    given_to: str = ""


_NOWHERE_ORDER = 10_000


def job_at(
    notebook: Notebook,
    place_code: str,
    *,
    name: str,
    what: str,
    codes: tuple[str, ...],
    why: str,
    last_safe_on: date | None = None,
    minutes_each: float = 0.5,
    is_warning: bool = False,
    done_by: str = "",
) -> Job:
    """Return a job at a place, its name and its order on the round filled in."""
    place = notebook.places.get(place_code)
    return Job(
        name=name,
        what=what,
        place_code=place_code if place else "",
        place_name=place.name if place else say("At the desk"),
        walking_order=place.walking_order if place else _NOWHERE_ORDER,
        codes=codes,
        why=why,
        last_safe_on=last_safe_on,
        minutes=max(2.0, minutes_each * len(codes)),
        is_warning=is_warning,
        done_by=done_by,
    )


def count_of(codes: tuple[str, ...], one: str, many: str) -> str:
    """Return a count with its word: "1 tree", "3 trees"."""
    return counted(len(codes), one, many)
