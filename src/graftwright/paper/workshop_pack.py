"""The pack of a workshop day: what to lay out, a sheet for every tree, the list to follow up."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date

from graftwright.errors import OutOfRange
from graftwright.losses import (
    BEGINNER_CUTS,
    BetaRate,
    Supply,
    WorkshopOutlook,
    to_lay_out,
    workshop_outlook,
)
from graftwright.paper.cut_sheet import KNIFE_CAUTION
from graftwright.paper.folio import Folio, written_folio
from graftwright.paper.page import FADED, HAIR, RULE, UPRIGHT
from graftwright.paper.ruled import Column, draw_table
from graftwright.paper.typeface import Face, fitted
from graftwright.paper.words import count_words, percent, weekday_words

_MOST_TREES = 500
_PRACTICE_CUTS_EACH = 4  # common practice, no source: some cuts on waste wood before the first tree
_TREE_SHEET_MM = 118.0
_LABEL_MM = (66.0, 42.0)
_NEXT = (
    "Keep it out of sun and wind, the roots moist and never standing in water.",
    "Leave the binding alone until the shoots are as long as a hand; then slit it on the side away "
    "from the cut.",
    "Rub off what grows below the join. Do not pull or peel to see whether it holds.",
    "No green by midsummer: ask before you throw it out. The stock may live and be worked again.",
    "Write the two names on a second label and hang it on the tree as well as in the pot.",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkshopDay:
    """A workshop: when and where, how many people, trees each, how sure it must last for all.

    `laid_out_counts` names what is there already, so that the outlook counts with it; anything not
    named is taken as laid out in full. Raises OutOfRange for more than 500 trees or none.
    """

    on: date
    where: str = ""
    people_count: int
    trees_each_count: int = 1
    service_fraction: float = 0.95
    good_rate: BetaRate = BEGINNER_CUTS
    varieties: tuple[str, ...] = ()
    stock: str = ""
    laid_out_counts: tuple[tuple[str, int], ...] = field(default=())

    def __post_init__(self) -> None:
        if not 1 <= self.tree_count <= _MOST_TREES:
            raise OutOfRange(
                f"{self.people_count} people with {self.trees_each_count} trees each make "
                f"{self.tree_count} trees; expected 1 to {_MOST_TREES}"
            )

    @property
    def tree_count(self) -> int:
        """Trees to take home, of everybody together."""
        return self.people_count * self.trees_each_count

    @property
    def cut_count(self) -> int:
        """Scion pieces, and stocks, to lay out so that spoilt cuts leave enough."""
        return to_lay_out(
            people_count=self.people_count,
            trees_each_count=self.trees_each_count,
            good_rate=self.good_rate,
            service_fraction=self.service_fraction,
        )

    def supplies(self) -> tuple[Supply, ...]:
        """Return what a tree takes, with its spoilt share, as counted on the table."""
        there = dict(self.laid_out_counts)
        spoilt = (("stocks", self.cut_count), ("scion pieces", self.cut_count))
        whole = (("labels", self.tree_count), ("pots or bags", self.tree_count))
        return (
            *(
                Supply(name=name, laid_out_count=there.get(name, count), good_rate=self.good_rate)
                for name, count in spoilt
            ),
            *(Supply(name=name, laid_out_count=there.get(name, count)) for name, count in whole),
        )

    def outlook(self) -> WorkshopOutlook:
        """Return the chance that nobody goes without, and what runs out first."""
        return workshop_outlook(
            self.supplies(),
            people_count=self.people_count,
            trees_each_count=self.trees_each_count,
        )


def workshop_pack(day: WorkshopDay, *, codes: Sequence[str] = (), nursery_name: str = "") -> bytes:
    """Return the pack as PDF: what to lay out, a half-page sheet for each tree, the list of people.

    `codes` are put on the tree sheets in order; where there are too few, a blank is left.
    """
    return written_folio(
        lambda folio: _write(folio, day, codes),
        size=UPRIGHT,
        title="Workshop pack",
        from_whom=nursery_name,
        foot=", ".join(part for part in (weekday_words(day.on), day.where) if part) + ".",
    )


def _write(folio: Folio, day: WorkshopDay, codes: Sequence[str]) -> None:
    _write_table(folio, day)
    _write_people(folio, day)
    folio.turn()
    for number in range(day.tree_count):
        code = codes[number] if number < len(codes) else ""
        _write_tree_sheet(folio, day, number=number + 1, code=code)


def _write_table(folio: Folio, day: WorkshopDay) -> None:
    folio.heading(
        f"{count_words(day.people_count, 'person', 'people')}, {day.trees_each_count} each"
    )
    folio.paragraph(_outlook_words(day))
    columns = (
        Column(head="to lay out", share=40, face=Face.SANS_STRONG),
        Column(head="how many", share=18, is_right=True),
        Column(head="why so many", share=80),
        Column(head="there", share=14, is_box=True),
    )
    draw_table(folio, columns=columns, rows=_rows(day), size_pt=9.5, row_high_mm=8.0)
    folio.paragraph(KNIFE_CAUTION)


def _outlook_words(day: WorkshopDay) -> str:
    outlook = day.outlook()
    first = outlook.supplies[0]
    words = f"The chance that nobody goes without is {percent(outlook.chance_fraction)}"
    if first.chance_fraction < 1.0:
        words += (
            f"; what runs out first is {first.name} ({first.laid_out_count} laid out, "
            f"{percent(first.chance_fraction)})"
        )
    return f"{words}. Beginners' cuts are taken to be fit {_good_words(day.good_rate)}."


def _good_words(rate: BetaRate) -> str:
    return f"about {round(100 * rate.a / (rate.a + rate.b))} times in a hundred"


def _rows(day: WorkshopDay) -> Iterator[tuple[str, ...]]:
    trees, people = day.tree_count, day.people_count
    spare = day.cut_count - trees
    counts = f"{trees} to take home and {spare} for spoilt cuts"
    stocks = f"stocks{', ' + day.stock if day.stock else ''}"
    each = ", ".join(day.varieties)
    yield stocks, str(day.cut_count), counts, ""
    yield "scion pieces", str(day.cut_count), f"{counts}{': ' + each if each else ''}", ""
    practice = people * _PRACTICE_CUTS_EACH
    yield "practice cuts, waste wood", str(practice), f"{_PRACTICE_CUTS_EACH} for each person", ""
    yield "bindings", str(day.cut_count), "one for each graft begun", ""
    yield "labels", str(2 * trees), "two for each tree: on the tree and in the pot", ""
    yield "pots or bags", str(trees), "one for each tree", ""
    yield "knives and boards", str(people), "one for each person, sharp", ""
    yield "plasters, a first-aid box", str(max(10, people)), "and somebody who knows how", ""


def _write_people(folio: Folio, day: WorkshopDay) -> None:
    folio.heading("Who came, to ask in midsummer", row_count=day.people_count)
    columns = (
        Column(head="", share=5, is_right=True),
        Column(head="name", share=44, is_box=True),
        Column(head="how to reach, if they wish", share=52, is_box=True),
        Column(head="codes of their trees", share=40, is_box=True),
        Column(head="alive in midsummer", share=20, is_box=True),
    )
    rows = ((str(number), "", "", "", "") for number in range(1, day.people_count + 1))
    draw_table(folio, columns=columns, rows=rows, size_pt=9.0, row_high_mm=8.5)


def _write_tree_sheet(folio: Folio, day: WorkshopDay, *, number: int, code: str) -> None:
    """Half a page for one tree: its names to write in, its code, what to do next."""
    if folio.left_over_mm < _TREE_SHEET_MM - 2.0:
        folio.turn()
    sheet, top_mm = folio.sheet, folio.top_mm
    left_mm, right_mm = folio.left_mm, folio.right_mm
    sheet.text(f"Tree {number}", x_mm=left_mm, base_mm=top_mm + 7.0, size_pt=9.0, shade=FADED)
    if code:
        sheet.text(
            code,
            x_mm=right_mm,
            base_mm=top_mm + 9.0,
            face=Face.SANS_STRONG,
            size_pt=26.0,
            align="right",
        )
    else:
        _draw_label_place(folio, top_mm)
    end_mm = right_mm if code else right_mm - _LABEL_MM[0] - 6.0
    line_mm = top_mm + 20.0
    known = ("", day.stock, "", "")
    for head, words in zip(("variety", "on stock", "grafted by", "on the day"), known, strict=True):
        sheet.text(head, x_mm=left_mm, base_mm=line_mm, size_pt=8.5, shade=FADED)
        sheet.line((left_mm + 24.0, line_mm + 0.8), (end_mm, line_mm + 0.8), shade=RULE)
        sheet.text(words, x_mm=left_mm + 26.0, base_mm=line_mm, face=Face.SERIF, size_pt=13.0)
        line_mm += 10.0
    folio.top_mm = line_mm
    _write_next(folio)
    folio.top_mm = top_mm + _TREE_SHEET_MM
    if number % 2:
        cut_mm = folio.top_mm - 4.0
        sheet.line((left_mm, cut_mm), (right_mm, cut_mm), thick_mm=0.12, shade=HAIR)


def _draw_label_place(folio: Folio, top_mm: float) -> None:
    """Where the tree's second label is stuck."""
    wide_mm, high_mm = _LABEL_MM
    left_mm = folio.right_mm - wide_mm
    folio.sheet.box(
        x_mm=left_mm, y_mm=top_mm + 6.0, wide_mm=wide_mm, high_mm=high_mm, thick_mm=0.15, shade=RULE
    )
    folio.sheet.text(
        "the tree's second label",
        x_mm=left_mm + wide_mm / 2.0,
        base_mm=top_mm + 7.0 + high_mm / 2.0,
        size_pt=8.0,
        shade=FADED,
        align="centre",
    )


def _write_next(folio: Folio) -> None:
    for words in _NEXT:
        text = fitted(
            words,
            face=Face.SANS,
            box_width_mm=folio.wide_mm - 5.0,
            box_height_mm=11.0,
            largest_pt=10.0,
        )
        folio.sheet.text("–", x_mm=folio.left_mm, base_mm=folio.top_mm + 2.8, size_pt=10.0)
        foot_mm = folio.sheet.lines(text, x_mm=folio.left_mm + 5.0, top_mm=folio.top_mm)
        folio.top_mm = foot_mm + 2.2
