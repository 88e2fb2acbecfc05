"""The watering sheet: each place with what stands in it, and a box for every day of a fortnight."""

from collections import Counter
from collections.abc import Sequence
from datetime import date, timedelta

from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import Tree
from graftwright.paper.folio import Folio, written_folio
from graftwright.paper.label_words import in_walking_order
from graftwright.paper.page import LYING
from graftwright.paper.ruled import Column, draw_table
from graftwright.paper.typeface import Face
from graftwright.paper.words import count_words, day_words, number_words
from graftwright.tongue import marked, say, told, weekday_name

_DAY_COUNT = 14
_ADVICE = marked(
    "Lift a pot or push a finger in before you water: wet roots under a "
    "young graft do as much harm as dry ones. Initials in the box of the "
    "day, a stroke where none was needed. Water in the morning, on the "
    "soil and not on the unions."
)
_ROW_HIGH_MM = 12.0


def watering_sheet(notebook: Notebook, *, first_on: date) -> bytes:
    """Return the sheet as PDF: fourteen days from `first_on`, places in walking order."""
    return written_folio(
        lambda folio: _write(folio, notebook, first_on),
        size=LYING,
        title=say("Watering"),
        from_whom=notebook.nursery.name,
        foot=told("From {day_words}.", day_words=day_words(first_on)),
    )


def _write(folio: Folio, notebook: Notebook, first_on: date) -> None:
    folio.paragraph(_ADVICE, size_pt=8.5)
    here = [tree for tree in notebook.trees.values() if tree.is_here]
    by_place: dict[str, list[Tree]] = {}
    for tree in in_walking_order(notebook, here):
        by_place.setdefault(tree.place_code, []).append(tree)
    if not by_place:
        folio.paragraph(say("No tree stands in the nursery today."))
        return
    days = [first_on + timedelta(days=offset) for offset in range(_DAY_COUNT)]
    columns = (
        Column(head=marked("place"), share=30, face=Face.SANS_STRONG),
        Column(head=say("what stands there"), share=46),
        *(Column(head=f"{weekday_name(day)[:2]} {day.day}", share=11, is_box=True) for day in days),
    )
    rows = [
        (_name(notebook, code), _contents(trees), *[""] * _DAY_COUNT)
        for code, trees in by_place.items()
    ]
    draw_table(folio, columns=columns, rows=rows, size_pt=9.5, row_high_mm=_ROW_HIGH_MM)


def _name(notebook: Notebook, code: str) -> str:
    place = notebook.places.get(code)
    return place.name if place else say("no place written down")


def _contents(trees: Sequence[Tree]) -> str:
    by_pot = Counter(tree.pot_litres for tree in trees)
    parts = [
        told("{count} in {number_words} l", count=count, number_words=number_words(litres))
        if litres
        else told("{count} not potted on", count=count)
        for litres, count in sorted(by_pot.items(), reverse=True)
    ]
    waiting = sum(tree.scion == "waiting" for tree in trees)
    words = f"{count_words(len(trees), 'tree', 'trees')}: {', '.join(parts)}"
    return (
        told("{words}; {waiting} not yet in leaf", words=words, waiting=waiting)
        if waiting
        else words
    )
