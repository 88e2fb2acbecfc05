"""The receiver's card: one side of A5 about exactly one tree."""

from dataclasses import dataclass

from graftwright.paper.code_square import QUIET_MODULE_COUNT, symbol_of
from graftwright.paper.page import FADED, HAIR, INK, PaperSize, Sheet
from graftwright.paper.typeface import Face, Fitted, fitted, line_height_mm, width_mm, wrapped
from graftwright.paper.words import day_words
from graftwright.season.receiver_card import ReceiverCard
from graftwright.tongue import marked, say, told

A5 = PaperSize(width_mm=148.0, height_mm=210.0, margin_mm=10.0)
_SQUARE_MM = 22.0
_LARGEST_PT, _STEP, _FLOOR_PT = 9.0, 0.97, 2.0
_SIDE_MM = 25.0
_GAP_MM = 2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class _Row:
    """A side head with its paragraphs, each already broken into lines."""

    head: str
    lines: tuple[str, ...]


def receiver_card_pdf(card: ReceiverCard, *, address: str = "") -> bytes:
    """Return the card as a PDF of one A5 side, whatever its length: the type shrinks to fit.

    Its square holds the code, or under the address of the pages leads to the same card there.
    """
    sheet = Sheet(
        size=A5,
        title=told(
            "{variety} on {stock}, {card_code}",
            variety=card.variety,
            stock=card.stock,
            card_code=card.code,
        ),
    )
    top_mm = _draw_head(sheet, card, address)
    foot_mm = A5.height_mm - A5.margin_mm - 6.0
    size_pt, rows = _fitting_rows(card, foot_mm - top_mm)
    for row in rows:
        top_mm = _draw_row(sheet, row, top_mm=top_mm, size_pt=size_pt)
    _draw_foot(sheet, card)
    return sheet.content()


def card_text(card: ReceiverCard) -> tuple[tuple[str, str], ...]:
    """Return what the card says under each of its side heads."""
    months = "\n".join(f"{_capital(work.months)}: {work.words}." for work in card.months)
    return (
        (marked("Name"), card.name_words),
        (marked("Size"), f"{card.size} {card.distance}"),
        (marked("Stake"), card.stake),
        (marked("Union"), "\n".join(card.union)),
        (marked("Partners"), card.partners),
        (say("The year"), months),
        (marked("Binding"), card.binding),
        (say("If it dies back"), card.dies_back),
        (say("Take care"), "\n".join(card.cautions)),
        (marked("Ask"), card.ask),
    )


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]


def _fitting_rows(card: ReceiverCard, high_mm: float) -> tuple[float, list[_Row]]:
    size_pt = _LARGEST_PT
    while True:
        rows = _rows(card, size_pt)
        if sum(_row_mm(row, size_pt) for row in rows) <= high_mm or size_pt <= _FLOOR_PT:
            return size_pt, rows
        size_pt *= _STEP


def _rows(card: ReceiverCard, size_pt: float) -> list[_Row]:
    wide_mm = A5.width_mm - 2.0 * A5.margin_mm - _SIDE_MM
    rows = []
    for head, text in card_text(card):
        lines = [
            line
            for paragraph in text.split("\n")
            for line in wrapped(paragraph, face=Face.SANS, size_pt=size_pt, box_width_mm=wide_mm)
        ]
        rows.append(_Row(head=head, lines=tuple(lines)))
    return rows


def _row_mm(row: _Row, size_pt: float) -> float:
    return len(row.lines) * line_height_mm(size_pt) + _gap_mm(size_pt)


def _gap_mm(size_pt: float) -> float:
    return _GAP_MM * size_pt / _LARGEST_PT


def _draw_row(sheet: Sheet, row: _Row, *, top_mm: float, size_pt: float) -> float:
    left_mm = A5.margin_mm
    sheet.line((left_mm, top_mm), (A5.width_mm - left_mm, top_mm), thick_mm=0.12, shade=HAIR)
    text_mm = top_mm + _gap_mm(size_pt) * 0.45
    head = Fitted(lines=(row.head,), size_pt=size_pt, face=Face.SANS_STRONG)
    sheet.lines(head, x_mm=left_mm, top_mm=text_mm)
    words = Fitted(lines=row.lines, size_pt=size_pt, face=Face.SANS)
    sheet.lines(words, x_mm=left_mm + _SIDE_MM, top_mm=text_mm)
    return top_mm + _row_mm(row, size_pt)


def _draw_head(sheet: Sheet, card: ReceiverCard, address: str) -> float:
    left_mm, top_mm = A5.margin_mm, A5.margin_mm
    wide_mm = A5.width_mm - 2.0 * left_mm - _SQUARE_MM - 4.0
    name = fitted(
        card.variety,
        face=Face.SERIF,
        box_width_mm=wide_mm,
        box_height_mm=15.0,
        largest_pt=24.0,
    )
    foot_mm = sheet.lines(name, x_mm=left_mm, top_mm=top_mm)
    stock = fitted(
        told("on {stock}", stock=card.stock),
        face=Face.SANS,
        box_width_mm=wide_mm,
        box_height_mm=7.0,
        largest_pt=12.0,
    )
    sheet.lines(stock, x_mm=left_mm, top_mm=foot_mm + 1.0)
    _draw_square(sheet, card.code, address)
    return top_mm + _SQUARE_MM + 7.0


def _draw_square(sheet: Sheet, code: str, address: str) -> None:
    symbol = symbol_of(code, address=address, is_for_receiver=True)
    module_mm = _SQUARE_MM / (symbol.module_count + 2 * QUIET_MODULE_COUNT)
    left_mm = A5.width_mm - A5.margin_mm - _SQUARE_MM
    quiet_mm = QUIET_MODULE_COUNT * module_mm
    sheet.fill_modules(
        symbol.runs,
        left_mm=left_mm + quiet_mm,
        top_mm=A5.margin_mm,
        module_mm=module_mm,
        module_count=symbol.module_count,
    )
    sheet.text(
        code,
        x_mm=left_mm + _SQUARE_MM / 2.0,
        base_mm=A5.margin_mm + symbol.module_count * module_mm + 4.4,
        face=Face.SANS_STRONG,
        size_pt=11.0,
        align="centre",
    )


def _draw_foot(sheet: Sheet, card: ReceiverCard) -> None:
    base_mm = A5.height_mm - A5.margin_mm
    left_mm = A5.margin_mm
    sheet.line(
        (left_mm, base_mm - 4.2), (A5.width_mm - left_mm, base_mm - 4.2), thick_mm=0.3, shade=INK
    )
    printed = day_words(card.made_on)
    dated_mm = width_mm(printed, face=Face.SANS, size_pt=7.5)
    nursery = fitted(
        card.nursery,
        face=Face.SANS,
        box_width_mm=A5.width_mm - 2 * left_mm - dated_mm - 6.0,
        box_height_mm=3.8,
        largest_pt=7.5,
    )
    sheet.lines(nursery, x_mm=left_mm, top_mm=base_mm - 2.3, shade=FADED)
    sheet.text(
        printed,
        x_mm=A5.width_mm - left_mm,
        base_mm=base_mm - 0.3,
        size_pt=7.5,
        shade=FADED,
        align="right",
    )
