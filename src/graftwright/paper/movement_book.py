"""The movement book of a year: what came, what left, what went from place to place."""

from collections.abc import Iterable, Sequence

from graftwright.paper.csv_table import csv_text
from graftwright.paper.folio import Folio, written_folio
from graftwright.paper.page import FADED, LYING
from graftwright.paper.ruled import Column, draw_table
from graftwright.paper.typeface import Face
from graftwright.paper.words import short_day_words
from graftwright.season.movements import Movement, Way
from graftwright.tongue import marked, say, told

_CAUTION = marked(
    "Moving plants and wood may need papers where you live: a plant "
    "passport, a permit; some areas are closed to it. Ask your plant "
    "health authority, and keep this book as long as it says."
)
_HEADINGS = (
    (Way.IN, marked("Came in")),
    (Way.OUT, marked("Left")),
    (Way.WITHIN, marked("Went from place to place")),
)
_COLUMNS = (
    Column(head=marked("day"), share=13),
    Column(head=marked("what"), share=58),
    Column(head=marked("how many"), share=13, is_right=True),
    Column(head=marked("from or to"), share=70),
    Column(head=marked("codes"), share=80, face=Face.SANS),
    Column(head=marked("by"), share=12),
)
_HEADER = ("day", "way", "what", "how_many", "from_or_to", "codes", "by")


def movement_book(found: Sequence[Movement], *, year: int, nursery_name: str = "") -> bytes:
    """Return the movement book of a year as PDF: what came, what left, what moved within."""
    return written_folio(
        lambda folio: _write(folio, found),
        size=LYING,
        title=told("Movement book {year}", year=year),
        from_whom=nursery_name,
        foot=say("Made from the notebook; a correction is a new entry there."),
    )


def movement_book_csv(found: Iterable[Movement]) -> str:
    """Return the movements as CSV, one a row."""
    return csv_text(
        _HEADER,
        (one.cells for one in found),
    )


def _write(folio: Folio, found: Sequence[Movement]) -> None:
    folio.paragraph(_CAUTION, size_pt=8.5, shade=FADED)
    if not found:
        folio.paragraph(say("Nothing that came, left or moved is written down for this year."))
    for way, heading in _HEADINGS:
        rows = [one for one in found if one.way is way]
        if rows:
            folio.heading(heading, row_count=len(rows))
            draw_table(folio, columns=_COLUMNS, rows=map(_row, rows), size_pt=8.5)


def _row(one: Movement) -> tuple[str, ...]:
    return (
        short_day_words(one.day),
        one.what,
        str(one.count) if one.count else say("not counted"),
        one.where,
        " ".join(one.codes),
        one.written_by,
    )
