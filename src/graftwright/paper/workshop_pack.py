"""The pack of a workshop day: what to lay out, a sheet for every tree, the list to follow up."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from graftwright.errors import OutOfRange
from graftwright.paper.folio import Folio, written_folio
from graftwright.paper.page import FADED, HAIR, RULE, UPRIGHT
from graftwright.paper.ruled import Column, draw_table
from graftwright.paper.typeface import Face, fitted
from graftwright.paper.words import count_words, percent, weekday_words
from graftwright.season.workshop_plan import KNIFE_WORDS, STOCKS, WOOD, WorkshopPlan
from graftwright.tongue import inside, marked, say, told

_MOST_TREES = 500
_TREE_SHEET_MM = 118.0
_LABEL_MM = (66.0, 42.0)
_NEXT = (
    marked("Keep it out of sun and wind, the roots moist and never standing in water."),
    marked(
        "Leave the binding alone until the shoots are as long as a hand; then "
        "slit it on the side away from the cut."
    ),
    marked("Rub off what grows below the join. Do not pull or peel to see whether it holds."),
    marked(
        "No green by midsummer: ask before you throw it out. The stock may "
        "live and be worked again."
    ),
    marked("Write the two names on a second label and hang it on the tree as well as in the pot."),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkshopDay:
    """A workshop as reckoned: when, where, the plan of what to lay out, and which varieties.

    Raises OutOfRange for more than 500 trees.
    """

    on: date
    plan: WorkshopPlan
    where: str = ""
    varieties: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        tree_count = self.plan.wish.tree_count
        if tree_count > _MOST_TREES:
            raise OutOfRange(
                told(
                    "{tree_count} trees to take home; expected 1 to {MOST_TREES} in one "
                    "pack; make it in two parts",
                    tree_count=tree_count,
                    MOST_TREES=_MOST_TREES,
                )
            )


def workshop_pack(day: WorkshopDay, *, codes: Sequence[str] = (), nursery_name: str = "") -> bytes:
    """Return the pack as PDF: what to lay out, a half-page sheet for each tree, the list of people.

    `codes` are put on the tree sheets in order; where there are too few, a blank is left.
    """
    return written_folio(
        lambda folio: _write(folio, day, codes),
        size=UPRIGHT,
        title=say("Workshop pack"),
        from_whom=nursery_name,
        foot=", ".join(part for part in (weekday_words(day.on), day.where) if part) + ".",
    )


def _write(folio: Folio, day: WorkshopDay, codes: Sequence[str]) -> None:
    _write_table(folio, day)
    _write_people(folio, day)
    folio.turn()
    for number in range(day.plan.wish.tree_count):
        code = codes[number] if number < len(codes) else ""
        _write_tree_sheet(folio, day, number=number + 1, code=code)


def _write_table(folio: Folio, day: WorkshopDay) -> None:
    wish = day.plan.wish
    folio.heading(
        told(
            "{count_words}, {trees_each_count} each",
            count_words=count_words(wish.people_count, "person", "people"),
            trees_each_count=wish.trees_each_count,
        )
    )
    folio.paragraph(_outlook_words(day.plan))
    columns = (
        Column(head=say("to lay out"), share=40, face=Face.SANS_STRONG),
        Column(head=say("how many"), share=18, is_right=True),
        Column(head=say("why so many"), share=80),
        Column(head=marked("there"), share=14, is_box=True),
    )
    draw_table(folio, columns=columns, rows=_rows(day), size_pt=9.5, row_high_mm=8.0)
    folio.paragraph(KNIFE_WORDS)


def _outlook_words(plan: WorkshopPlan) -> str:
    first = min(plan.laid_out, key=lambda one: one.chance_fraction)
    words = told(
        "The chance that nobody goes without is {percent}", percent=percent(plan.chance_fraction)
    )
    if first.chance_fraction < 1.0:
        words += told(
            "; what runs out first is {first_name} ({laid_out_count} laid out, {percent})",
            first_name=first.name,
            laid_out_count=first.laid_out_count,
            percent=percent(first.chance_fraction),
        )
    good = plan.good_cuts
    fit = round(100 * good.a / (good.a + good.b))
    return told(
        "{words}. Cuts are taken to be fit about {fit} times in a hundred: {hands}.",
        words=words,
        fit=fit,
        hands=plan.wish.hands,
    )


def _rows(day: WorkshopDay) -> Iterator[tuple[str, ...]]:
    handling = {inside(line.what): line.words for line in day.plan.pack}
    given = {STOCKS: day.plan.wish.stock, WOOD: ", ".join(day.varieties)}
    for one in day.plan.laid_out:
        which = f": {given[one.name]}" if given[one.name] else ""
        spare = one.laid_out_count - one.needed_count
        why = told(
            "{needed_count} to take home and {spare} for spoilt cuts",
            needed_count=one.needed_count,
            spare=spare,
        )
        yield one.name + which, str(one.laid_out_count), f"{why}; {handling[one.name]}", ""
    for line in day.plan.pack:
        if inside(line.what) not in given:
            yield inside(line.what), str(line.count), line.words, ""


def _write_people(folio: Folio, day: WorkshopDay) -> None:
    folio.heading(say("Who came, to ask in midsummer"), row_count=day.plan.wish.people_count)
    columns = (
        Column(head="", share=5, is_right=True),
        Column(head=marked("name"), share=44, is_box=True),
        Column(head=say("how to reach, if they wish"), share=52, is_box=True),
        Column(head=say("codes of their trees"), share=40, is_box=True),
        Column(head=say("alive in midsummer"), share=20, is_box=True),
    )
    rows = ((str(number), "", "", "", "") for number in range(1, day.plan.wish.people_count + 1))
    draw_table(folio, columns=columns, rows=rows, size_pt=9.0, row_high_mm=8.5)


def _write_tree_sheet(folio: Folio, day: WorkshopDay, *, number: int, code: str) -> None:
    """Half a page for one tree: its names to write in, its code, what to do next."""
    if folio.left_over_mm < _TREE_SHEET_MM - 2.0:
        folio.turn()
    folio.part(say("Tree {number}").format(number=number))
    sheet, top_mm = folio.sheet, folio.top_mm
    left_mm, right_mm = folio.left_mm, folio.right_mm
    sheet.text(
        told("Tree {number}", number=number),
        x_mm=left_mm,
        base_mm=top_mm + 7.0,
        size_pt=9.0,
        shade=FADED,
    )
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
    known = ("", day.plan.wish.stock, "", "")
    for head, words in zip(
        ("variety", say("on stock"), say("grafted by"), say("on the day")), known, strict=True
    ):
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
        say("the tree's second label"),
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
