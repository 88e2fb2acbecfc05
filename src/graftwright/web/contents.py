"""The contents of the program: its places in the order in which a year meets them."""

from dataclasses import dataclass

from django.http import HttpRequest
from django.urls import NoReverseMatch, reverse

from graftwright.store.signed_in import signed_in
from graftwright.tongue import marked
from graftwright.web.people.access import may


@dataclass(frozen=True, slots=True, kw_only=True)
class ContentsLine:
    """One place: the words shown, its address, and whether the reader is there."""

    words: str
    address: str
    is_here: bool


_PLACES = (
    (marked("Today"), "today"),
    (marked("Promises"), "promises"),
    (marked("Plan"), "plan"),
    (marked("Wood"), "wood"),
    (marked("Bench"), "bench"),
    (marked("Workshop"), "workshop"),
    (marked("Under cover"), "cover"),
    (marked("Trees"), "trees"),
    (marked("Planting"), "planting"),
    (marked("Lessons"), "lessons"),
    (marked("Paper"), "paper"),
    (marked("From a spreadsheet"), "spreadsheet"),
)

# Pages that are reached from a place and stand at an address of their own: they mark that place.
_REACHED_FROM = {
    "walk": "today",
    "water": "today",
    "clashes": "today",
    "practice": "today",
    "this-phone": "today",
    "me": "today",
    "people": "today",
    "scheme": "plan",
    "results": "bench",
    "second-chance": "trees",
    "autumn": "trees",
    "trace": "trees",
    "mothers": "planting",
    "exchange": "paper",
}


def places(request: HttpRequest) -> dict[str, object]:
    """Return the contents with the reader's place marked; a place not yet built is left out."""
    lines = []
    person = signed_in()
    for words, name in _PLACES:
        if person and not may(person.role, name):
            continue
        try:
            address = reverse(name)
        except NoReverseMatch:
            continue
        below = (reverse(page) for page, place in _REACHED_FROM.items() if place == name)
        is_here = request.path == address or request.path.startswith(
            (*below, *([address] if address != "/" else []))
        )
        lines.append(ContentsLine(words=words, address=address, is_here=is_here))
    return {"contents": lines}
