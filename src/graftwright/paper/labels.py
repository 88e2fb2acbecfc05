"""Labels for trees: both names, the code large, its square, the day, the bundle, how sure the name.

Everything on a label keeps clear of its edge, because office printers do not hit the middle.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from graftwright.errors import OutOfRange
from graftwright.paper.code_square import MODULE_COUNT, QUIET_MODULE_COUNT, runs_from_foot
from graftwright.paper.label_grid import OFFICE_GRID, LabelGrid
from graftwright.paper.page import FADED, HAIR, PaperSize, Sheet
from graftwright.paper.typeface import POINT_MM, Face, Fitted, fitted, width_mm
from graftwright.paper.words import day_words
from graftwright.season.planned import Plan
from graftwright.tagcode import read_code

# The layout is drawn for this label and scaled to others.
_MODEL_WIDTH_MM, _MODEL_HEIGHT_MM = 63.5, 38.1
_EDGE_MM = 3.0
_SQUARE_MM = 16.8
_NAME_PT, _STOCK_PT, _CODE_PT, _SMALL_PT = 17.0, 12.0, 25.0, 7.6
_LEAST_SMALL_PT = 5.2
_CAP_SHARE = 0.66


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """What one label says. `line` is free (bundle, graft number); `certainty` is in words.

    Raises UnknownCode if the code does not check, OutOfRange if a name is missing.
    """

    code: str
    variety: str
    stock: str
    line: str = ""
    certainty: str = ""
    day: date | None = None

    def __post_init__(self) -> None:
        read_code(self.code)
        if not self.variety.strip() or not self.stock.strip():
            raise OutOfRange(
                f"the label of {self.code} has variety {self.variety!r} and stock "
                f"{self.stock!r}; a label carries both names: write 'unknown' for one not known"
            )

    @property
    def small_words(self) -> str:
        """The small print in one line: the free line and the day."""
        parts = (self.line, day_words(self.day) if self.day else "")
        return ", ".join(part for part in parts if part)


def labels_of(
    plan: Plan, *, codes: Sequence[str], certainty_of: Callable[[str], str]
) -> tuple[Label, ...]:
    """Return one label per planned graft, in working order.

    `codes` are taken in order; `certainty_of` says for a bundle's code how sure its name is, in
    words. Raises OutOfRange if there are fewer codes than grafts.
    """
    joins = sorted(plan.joins, key=lambda join: join.number)
    if len(codes) < len(joins):
        raise OutOfRange(
            f"{len(codes)} codes for {len(joins)} grafts; ask for as many as the plan has"
        )
    day_of = {number: run.bench_on for run in plan.runs for number in run.join_numbers}
    return tuple(
        Label(
            code=code,
            variety=join.variety,
            stock=join.stock,
            line=f"graft {join.number}, bundle {join.bundle_code}",
            certainty=certainty_of(join.bundle_code),
            day=day_of.get(join.number),
        )
        for code, join in zip(codes, joins, strict=False)
    )


def square_corner_mm(grid: LabelGrid, position: int) -> tuple[float, float, float]:
    """Return left, top and side of the QR symbol at a position, without its quiet margin. [mm]"""
    left_mm, top_mm = grid.corner_mm(position)
    side_mm = _SQUARE_MM * _scale(grid)
    edge_mm = _edge_mm(grid)
    return (
        left_mm + grid.label_width_mm - edge_mm - side_mm,
        top_mm + grid.label_height_mm - edge_mm - side_mm,
        side_mm,
    )


def label_sheets(
    labels: Sequence[Label],
    *,
    grid: LabelGrid = OFFICE_GRID,
    start_position: int = 1,
    second_copy: bool = False,
) -> bytes:
    """Return a PDF of label sheets, in the order given.

    `start_position` is the first label still on a part-used sheet (1 is the top left one); with
    `second_copy` each label is printed twice, side by side. Without labels: one blank page.
    Raises OutOfRange for a start that is not on the sheet.
    """
    grid.corner_mm(start_position)
    sheet = _blank_sheet(grid, title="Labels")
    for place, label in enumerate(_copies(labels, second_copy=second_copy), start_position - 1):
        if place and place % grid.position_count == 0:
            sheet.next_page()
        _draw_label(sheet, label, grid=grid, position=place % grid.position_count + 1)
    return sheet.content()


def label_test_page(grid: LabelGrid = OFFICE_GRID) -> bytes:
    """Return a PDF that shows, on plain paper, where the labels will lie, with a ruler.

    Held against a label sheet before the window, it shows whether the printer hits the labels.
    """
    sheet = _blank_sheet(grid, title="Label test page")
    for position in range(1, grid.position_count + 1):
        left_mm, top_mm = grid.corner_mm(position)
        sheet.box(
            x_mm=left_mm,
            y_mm=top_mm,
            wide_mm=grid.label_width_mm,
            high_mm=grid.label_height_mm,
            thick_mm=0.15,
        )
        sheet.text(
            str(position), x_mm=left_mm + 2.0, base_mm=top_mm + 4.5, size_pt=8.0, shade=FADED
        )
    _draw_advice(sheet, grid)
    return sheet.content()


def _blank_sheet(grid: LabelGrid, *, title: str) -> Sheet:
    size = PaperSize(width_mm=grid.page_width_mm, height_mm=grid.page_height_mm)
    return Sheet(size=size, title=title)


def _copies(labels: Sequence[Label], *, second_copy: bool) -> Iterator[Label]:
    for label in labels:
        yield label
        if second_copy:
            yield label


def _scale(grid: LabelGrid) -> float:
    return min(grid.label_width_mm / _MODEL_WIDTH_MM, grid.label_height_mm / _MODEL_HEIGHT_MM, 1.6)


def _edge_mm(grid: LabelGrid) -> float:
    return max(_EDGE_MM * _scale(grid), 1.6)


def _draw_label(sheet: Sheet, label: Label, *, grid: LabelGrid, position: int) -> None:
    scale, edge_mm = _scale(grid), _edge_mm(grid)
    left_mm, top_mm = (corner + edge_mm for corner in grid.corner_mm(position))
    square_left_mm, square_top_mm, side_mm = square_corner_mm(grid, position)
    quiet_mm = QUIET_MODULE_COUNT * side_mm / MODULE_COUNT
    sheet.fill_modules(
        runs_from_foot(label.code),
        left_mm=square_left_mm,
        top_mm=square_top_mm,
        module_mm=side_mm / MODULE_COUNT,
        module_count=MODULE_COUNT,
    )
    name = fitted(
        label.variety,
        face=Face.SERIF,
        box_width_mm=grid.label_width_mm - 2 * edge_mm,
        box_height_mm=square_top_mm - quiet_mm - top_mm,
        largest_pt=_NAME_PT * scale,
    )
    foot_mm = sheet.lines(name, x_mm=left_mm, top_mm=top_mm)
    _draw_column(
        sheet,
        label,
        left_mm=left_mm,
        wide_mm=square_left_mm - quiet_mm - left_mm,
        top_mm=foot_mm,
        foot_mm=square_top_mm + side_mm,
        scale=scale,
    )


def _draw_column(
    sheet: Sheet,
    label: Label,
    *,
    left_mm: float,
    wide_mm: float,
    top_mm: float,
    foot_mm: float,
    scale: float,
) -> None:
    """Stock under the name, small print at the foot, the code between them, as large as fits."""
    stock = fitted(
        f"on {label.stock}",
        face=Face.SANS,
        box_width_mm=wide_mm,
        box_height_mm=0.32 * (foot_mm - top_mm),
        largest_pt=_STOCK_PT * scale,
    )
    stock_foot_mm = sheet.lines(stock, x_mm=left_mm, top_mm=top_mm + 0.6 * scale)
    small_pt = max(_SMALL_PT * scale, _LEAST_SMALL_PT)
    small_top_mm = foot_mm
    for small in _small_print(
        label, wide_mm=wide_mm, high_mm=0.2 * (foot_mm - stock_foot_mm), largest_pt=small_pt
    ):
        small_top_mm -= small.height_mm + (0.3 * scale if small_top_mm < foot_mm else 0.0)
        sheet.lines(small, x_mm=left_mm, top_mm=small_top_mm)
    code = _fitted_code(
        label.code, wide_mm=wide_mm, high_mm=small_top_mm - stock_foot_mm, scale=scale
    )
    cap_mm = code.size_pt * _CAP_SHARE * POINT_MM
    base_mm = (stock_foot_mm + small_top_mm + cap_mm) / 2
    sheet.text(
        code.lines[0],
        x_mm=left_mm,
        base_mm=base_mm,
        face=code.face,
        size_pt=code.size_pt,
        spread_pt=0.03 * code.size_pt,
    )


def _small_print(
    label: Label, *, wide_mm: float, high_mm: float, largest_pt: float
) -> tuple[Fitted, ...]:
    """Certainty, then the free line: from the foot up, both in the smaller of their sizes."""

    def at_most(size_pt: float) -> tuple[Fitted, ...]:
        return tuple(
            fitted(
                words,
                face=Face.SANS,
                box_width_mm=wide_mm,
                box_height_mm=high_mm,
                largest_pt=size_pt,
            )
            for words in (label.certainty, label.small_words)
        )

    return at_most(min(small.size_pt for small in at_most(largest_pt)))


def _fitted_code(code: str, *, wide_mm: float, high_mm: float, scale: float) -> Fitted:
    """The code on one line, never broken, limited by width and by height of its capitals."""
    face = Face.SANS_STRONG
    by_width_pt = wide_mm / (1.15 * width_mm(code, face=face, size_pt=1.0))
    by_height_pt = 0.85 * high_mm / (_CAP_SHARE * POINT_MM)
    size_pt = min(_CODE_PT * scale, by_width_pt, by_height_pt)
    return Fitted(lines=(code,), size_pt=size_pt, face=face)


def _draw_advice(sheet: Sheet, grid: LabelGrid) -> None:
    """Two rulers through the first label's corner, and what to do with the page."""
    left_mm, top_mm = grid.corner_mm(1)
    middle_mm = top_mm + 0.55 * grid.label_height_mm
    wide_mm = 0.8 * grid.label_width_mm
    _draw_ruler(sheet, left_mm=left_mm, base_mm=middle_mm)
    advice = fitted(
        "Print at actual size, without scaling to fit. Measure the ruler, then hold this page "
        "and a sheet of labels against the light: each outline lies on its label.",
        face=Face.SANS,
        box_width_mm=wide_mm,
        box_height_mm=0.36 * grid.label_height_mm,
        largest_pt=8.0,
    )
    sheet.lines(advice, x_mm=left_mm + 2.0, top_mm=middle_mm + 1.6)


def _draw_ruler(sheet: Sheet, *, left_mm: float, base_mm: float) -> None:
    """A ruler of 100 mm from the first label's left edge, a tick each mm, a number each 10 mm."""
    sheet.line((left_mm, base_mm), (left_mm + 100.0, base_mm), thick_mm=0.2)
    for tick in range(101):
        x_mm = left_mm + tick
        tall_mm = 3.4 if tick % 10 == 0 else 2.4 if tick % 5 == 0 else 1.5
        sheet.line((x_mm, base_mm), (x_mm, base_mm - tall_mm), thick_mm=0.12)
        if tick and tick % 10 == 0:
            sheet.text(str(tick), x_mm=x_mm, base_mm=base_mm - 3.9, size_pt=6.0, align="centre")
    sheet.text("mm", x_mm=left_mm + 102.0, base_mm=base_mm, size_pt=6.0, shade=HAIR / 2)
