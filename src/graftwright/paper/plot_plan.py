"""A planting plan on paper: the plot to scale on one side, then its trees in a table."""

from math import cos, pi, sin

from graftwright.errors import OutOfRange
from graftwright.paper.folio import Folio, written_folio
from graftwright.paper.page import FADED, HAIR, INK, LYING, RULE
from graftwright.paper.ruled import Column, draw_table
from graftwright.paper.typeface import Face, fitted
from graftwright.paper.words import number_span
from graftwright.season.planting_plan import PlantingPlan, TreePlace
from graftwright.tongue import marked, say, told

SCALES = (20, 25, 50, 100, 200, 250, 500, 1000, 2000, 5000)
_BAR_STEPS_M = (1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0)
_LONGEST_BAR_MM = 60.0
_ROUND = 48
_CAPTION_MM = 14.0
_INSET_MM = 10.0
_ROOM_FOR_NUMBER_MM = 4.5
_KEY_MM = 55.0


def plot_plan_pdf(plan: PlantingPlan, *, nursery_name: str = "", title: str = "") -> bytes:
    """Return the plan as a PDF of A4 lying: the drawing on the first page, the table after it."""
    scale = drawing_scale(plan)

    def write(folio: Folio) -> None:
        _draw_plot(folio, plan, scale)
        folio.turn()
        _write_table(folio, plan)

    heading = title or say("Planting plan")
    foot = told("Scale 1 : {scale} where it is printed without fitting to the page", scale=scale)
    return written_folio(write, size=LYING, title=heading, from_whom=nursery_name, foot=foot)


def drawing_scale(plan: PlantingPlan) -> int:
    """Return the largest of the usual scales at which the plot fits a lying A4 page.

    Raises OutOfRange if it fits at none.
    """
    wide_mm, high_mm = _room_mm()
    for scale in SCALES:
        fits_wide = plan.plot.width_m * 1000.0 / scale <= wide_mm
        if fits_wide and plan.plot.depth_m * 1000.0 / scale <= high_mm:
            return scale
    raise OutOfRange(
        told(
            "a plot {width_m:g} m wide; expected one that fits 1 : {SCALES}",
            width_m=plan.plot.width_m,
            SCALES=SCALES[-1],
        )
    )


def _room_mm() -> tuple[float, float]:
    wide_mm = LYING.width_mm - 2.0 * LYING.margin_mm - 22.0 - 2.0 * _INSET_MM
    high_mm = LYING.height_mm - 2.0 * LYING.margin_mm - 19.0 - _CAPTION_MM
    return wide_mm, high_mm


class _OnPaper:
    """Metres of the plot as millimetres of the page, north at the top."""

    def __init__(self, folio: Folio, plan: PlantingPlan, scale: int) -> None:
        self.mm_per_m = 1000.0 / scale
        self.left_mm = folio.left_mm + _INSET_MM
        self.foot_mm = folio.top_mm + plan.plot.depth_m * self.mm_per_m

    def at(self, east_m: float, north_m: float) -> tuple[float, float]:
        return self.left_mm + east_m * self.mm_per_m, self.foot_mm - north_m * self.mm_per_m


def _draw_plot(folio: Folio, plan: PlantingPlan, scale: int) -> None:
    paper = _OnPaper(folio, plan, scale)
    left_mm, top_mm = paper.at(0.0, plan.plot.depth_m)
    folio.sheet.box(
        x_mm=left_mm,
        y_mm=top_mm,
        wide_mm=plan.plot.width_m * paper.mm_per_m,
        high_mm=plan.plot.depth_m * paper.mm_per_m,
        thick_mm=0.4,
    )
    for place in plan.places:
        _draw_tree(folio, paper, place)
    _draw_north(folio)
    _draw_key(folio, paper, plan)
    _draw_bar(folio, paper, scale)


def _draw_tree(folio: Folio, paper: _OnPaper, place: TreePlace) -> None:
    at = paper.at(place.east_m, place.north_m)
    for spread_m, shade in ((place.spread_high_m, HAIR), (place.spread_low_m, RULE)):
        radius_mm = spread_m / 2.0 * paper.mm_per_m
        turns = [2.0 * pi * step / _ROUND for step in range(_ROUND)]
        ring = [(at[0] + radius_mm * cos(t), at[1] + radius_mm * sin(t)) for t in turns]
        folio.sheet.outline(ring, thick_mm=0.2, shade=shade)
    dot = [(at[0] + 0.6 * cos(t), at[1] + 0.6 * sin(t)) for t in (0.0, pi / 2, pi, 3 * pi / 2)]
    folio.sheet.outline(dot, shade=None, fill=INK)
    ring_mm = place.spread_low_m / 2.0 * paper.mm_per_m
    is_narrow = ring_mm < _ROOM_FOR_NUMBER_MM
    folio.sheet.text(
        str(place.number),
        x_mm=at[0] + (ring_mm + 0.7 if is_narrow else 1.1),
        base_mm=at[1] + (1.0 if is_narrow else -0.8),
        face=Face.SANS_STRONG,
        size_pt=8.0,
    )


def _draw_north(folio: Folio) -> None:
    x_mm, top_mm = folio.right_mm - 6.0, folio.top_mm + 5.0
    folio.sheet.line((x_mm, top_mm + 16.0), (x_mm, top_mm), thick_mm=0.35)
    folio.sheet.line((x_mm, top_mm), (x_mm - 1.8, top_mm + 4.0), thick_mm=0.35)
    folio.sheet.line((x_mm, top_mm), (x_mm + 1.8, top_mm + 4.0), thick_mm=0.35)
    folio.sheet.text("north", x_mm=x_mm, base_mm=top_mm - 1.5, size_pt=8.0, align="centre")


def _draw_key(folio: Folio, paper: _OnPaper, plan: PlantingPlan) -> None:
    """Name the kinds beside the plot where there is room; the table has them in any case."""
    left_mm = paper.at(plan.plot.width_m, 0.0)[0] + 2.0 * _INSET_MM
    wide_mm = folio.right_mm - 16.0 - left_mm
    if wide_mm < _KEY_MM:
        return
    numbers: dict[tuple[str, str], list[int]] = {}
    for place in plan.places:
        numbers.setdefault((place.variety, place.stock), []).append(place.number)
    top_mm = folio.top_mm + 2.0
    for (variety, stock), found in numbers.items():
        if top_mm > folio.bottom_mm - 24.0:
            return
        words = told(
            "{number_span}  {variety} on {stock}",
            number_span=number_span(found),
            variety=variety,
            stock=stock,
        )
        top_mm = folio.sheet.paragraph(words, x_mm=left_mm, top_mm=top_mm, wide_mm=wide_mm) + 1.5


def _draw_bar(folio: Folio, paper: _OnPaper, scale: int) -> None:
    lengths = [m for m in _BAR_STEPS_M if m * paper.mm_per_m <= _LONGEST_BAR_MM]
    bar_m = lengths[-1] if lengths else _BAR_STEPS_M[0]
    y_mm = folio.bottom_mm - 5.0
    right_mm = folio.left_mm + bar_m * paper.mm_per_m
    folio.sheet.line((folio.left_mm, y_mm), (right_mm, y_mm), thick_mm=0.5)
    for x_mm in (folio.left_mm, right_mm):
        folio.sheet.line((x_mm, y_mm - 1.4), (x_mm, y_mm + 1.4), thick_mm=0.3)
    words = told(
        "{bar_m:g} m, scale 1 : {scale}. The inner ring is the smallest crown "
        "the sources give, the outer one the largest.",
        bar_m=bar_m,
        scale=scale,
    )
    fit = fitted(
        words,
        face=Face.SANS,
        box_width_mm=folio.right_mm - right_mm - 4.0,
        box_height_mm=8.0,
        largest_pt=8.5,
    )
    folio.sheet.lines(fit, x_mm=right_mm + 4.0, top_mm=y_mm - 1.6, shade=FADED)


_COLUMNS = (
    Column(head=marked("No."), share=0.6, is_right=True),
    Column(head=marked("Row"), share=0.6, is_right=True),
    Column(head=marked("Variety"), share=3.4, face=Face.SERIF),
    Column(head=marked("Stock"), share=1.8),
    Column(head=marked("East of the west side"), share=1.5, is_right=True),
    Column(head=marked("North of the south side"), share=1.5, is_right=True),
    Column(head=marked("Height when grown"), share=1.6, is_right=True),
    Column(head=marked("Spread when grown"), share=1.6, is_right=True),
)


def _write_table(folio: Folio, plan: PlantingPlan) -> None:
    for sentence in (*plan.sentences, *(f"{words}." for words in plan.left_out)):
        folio.paragraph(sentence)
    draw_table(folio, columns=_COLUMNS, rows=[_cells(place) for place in plan.places])


def _cells(place: TreePlace) -> tuple[str, ...]:
    return (
        str(place.number),
        str(place.row),
        place.variety,
        place.stock,
        f"{place.east_m:.2f} m",
        f"{place.north_m:.2f} m",
        f"{place.height_low_m:.1f}–{place.height_high_m:.1f} m",
        f"{place.spread_low_m:.1f}–{place.spread_high_m:.1f} m",
    )
