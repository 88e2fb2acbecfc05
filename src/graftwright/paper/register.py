"""The position register: every tree of a place on one page, to be named when its label is gone."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import Place, Tree
from graftwright.paper.folio import Folio, written_folio
from graftwright.paper.label_words import in_walking_order
from graftwright.paper.page import FADED, HAIR, UPRIGHT
from graftwright.paper.typeface import (
    POINT_MM,
    RISE_SHARE,
    Face,
    Fitted,
    fitted,
    line_height_mm,
    width_mm,
)
from graftwright.paper.words import count_words, day_words
from graftwright.tongue import marked, say, told

_ADVICE = marked(
    "In the order in which they stand. Tick what is seen; a tree without "
    "its label is the one between its neighbours here. Write what has "
    "moved, and type it in afterwards."
)
# Columns of trees on a page and the type they are set in: the first that holds them all is taken.
_SETTINGS = ((1, 10.5), (2, 9.5), (2, 8.5), (3, 7.8), (3, 7.0), (4, 6.2), (4, 5.6), (5, 5.2))
_COLUMN_GAP_MM, _ROW_RATIO, _HEAD_MM = 5.0, 1.45, 22.0
_POSITION_SHARE, _CODE_EM, _BOX_EM = 0.17, 4.1, 1.2
_MOST_POSITION_MM = 22.0


@dataclass(frozen=True, slots=True, kw_only=True)
class _Setting:
    column_count: int
    size_pt: float
    row_count: int

    @property
    def row_mm(self) -> float:
        return self.size_pt * POINT_MM * _ROW_RATIO

    @property
    def tree_count(self) -> int:
        return self.column_count * self.row_count


def position_register(notebook: Notebook, *, today: date, place_codes: Sequence[str] = ()) -> bytes:
    """Return the register as PDF, one page for each place that trees stand in, in walking order.

    The type shrinks so that a place stays on its page; only a place of more than some four hundred
    trees runs on. With `place_codes` only those places.
    """
    return written_folio(
        lambda folio: _write(folio, notebook, place_codes),
        size=UPRIGHT,
        title=say("Position register"),
        from_whom=notebook.nursery.name,
        foot=told("As it stands on {day_words}.", day_words=day_words(today)),
    )


def _write(folio: Folio, notebook: Notebook, place_codes: Sequence[str]) -> None:
    here = [
        tree
        for tree in notebook.trees.values()
        if tree.is_here and (not place_codes or tree.place_code in place_codes)
    ]
    by_place: dict[str, list[Tree]] = {}
    for tree in in_walking_order(notebook, here):
        by_place.setdefault(tree.place_code, []).append(tree)
    if not by_place:
        folio.paragraph(say("No tree stands in these places."))
    for number, (code, trees) in enumerate(by_place.items()):
        if number:
            folio.turn()
        _write_place(folio, notebook, notebook.places.get(code), trees)


def _write_place(
    folio: Folio, notebook: Notebook, place: Place | None, trees: Sequence[Tree]
) -> None:
    name = f"{place.name}, {place.code}" if place else say("No place written down")
    folio.heading(f"{name}: {count_words(len(trees), 'tree', 'trees')}")
    missing = sum(not tree.position for tree in trees)
    words = (
        told(" {missing} have no position yet: write it in front.", missing=missing)
        if missing
        else ""
    )
    folio.paragraph(_ADVICE + words, size_pt=8.0, shade=FADED)
    setting = _setting(folio, len(trees))
    for start in range(0, len(trees), setting.tree_count):
        if start:
            folio.turn()
        _draw_columns(folio, notebook, trees[start : start + setting.tree_count], setting)


def _setting(folio: Folio, tree_count: int) -> _Setting:
    """The largest type in which all trees stand on this page, else the smallest."""
    for column_count, size_pt in _SETTINGS:
        row_mm = size_pt * POINT_MM * _ROW_RATIO
        room_mm = folio.left_over_mm - 2.0
        setting = _Setting(
            column_count=column_count, size_pt=size_pt, row_count=max(1, int(room_mm // row_mm))
        )
        if tree_count <= setting.tree_count:
            break
    return setting


def _draw_columns(
    folio: Folio, notebook: Notebook, trees: Sequence[Tree], setting: _Setting
) -> None:
    gaps_mm = _COLUMN_GAP_MM * (setting.column_count - 1)
    wide_mm = (folio.wide_mm - gaps_mm) / setting.column_count
    top_mm = folio.top_mm + 1.0
    for number, tree in enumerate(trees):
        column, row = divmod(number, setting.row_count)
        _draw_tree(
            folio,
            notebook,
            tree,
            left_mm=folio.left_mm + column * (wide_mm + _COLUMN_GAP_MM),
            top_mm=top_mm + row * setting.row_mm,
            wide_mm=wide_mm,
            setting=setting,
        )
    folio.top_mm = folio.bottom_mm


def _draw_tree(
    folio: Folio,
    notebook: Notebook,
    tree: Tree,
    *,
    left_mm: float,
    top_mm: float,
    wide_mm: float,
    setting: _Setting,
) -> None:
    """Position, code, both names, and a box to tick; a hair line beneath."""
    size_pt = setting.size_pt
    em_mm = size_pt * POINT_MM
    base_mm = top_mm + (setting.row_mm + 0.62 * em_mm) / 2.0
    position_mm = min(_POSITION_SHARE * wide_mm, _MOST_POSITION_MM)
    code_mm, box_mm = _CODE_EM * em_mm, 0.8 * em_mm
    names_mm = left_mm + position_mm + code_mm
    end_mm = left_mm + wide_mm - _BOX_EM * em_mm
    foot_mm = top_mm + setting.row_mm
    _one_line(folio, tree.position or "–", left_mm, base_mm, position_mm - 1.0, size_pt)
    _one_line(folio, tree.code, left_mm + position_mm, base_mm, code_mm, size_pt, Face.SANS_STRONG)
    names = f"{notebook.variety_of(tree) or say('unknown')}, {notebook.stock_of(tree) or 'unknown'}"
    _one_line(folio, names, names_mm, base_mm, end_mm - names_mm - 1.0, size_pt, Face.SERIF)
    folio.sheet.box(
        x_mm=left_mm + wide_mm - box_mm,
        y_mm=top_mm + (setting.row_mm - box_mm) / 2.0,
        wide_mm=box_mm,
        high_mm=box_mm,
        thick_mm=0.15,
    )
    folio.sheet.line((left_mm, foot_mm), (left_mm + wide_mm, foot_mm), thick_mm=0.1, shade=HAIR)


def _one_line(
    folio: Folio,
    text: str,
    x_mm: float,
    base_mm: float,
    wide_mm: float,
    size_pt: float,
    face: Face = Face.SANS,
) -> None:
    """One line, set smaller where it is too long; names wrap into two half-size lines at need."""
    needed_mm = width_mm(text, face=face, size_pt=size_pt)
    if needed_mm <= wide_mm or needed_mm <= 1.4 * wide_mm:
        size_pt *= min(1.0, wide_mm / needed_mm)
        folio.sheet.text(text, x_mm=x_mm, base_mm=base_mm, face=face, size_pt=size_pt)
        return
    lines: Fitted = fitted(
        text,
        face=face,
        box_width_mm=wide_mm,
        box_height_mm=size_pt * POINT_MM * _ROW_RATIO,
        largest_pt=0.72 * size_pt,
    )
    over_mm = (len(lines.lines) - 1) * line_height_mm(lines.size_pt) / 2.0
    top_mm = base_mm - 0.31 * size_pt * POINT_MM - over_mm
    folio.sheet.lines(
        lines, x_mm=x_mm, top_mm=top_mm + (0.31 - RISE_SHARE) * lines.size_pt * POINT_MM
    )
