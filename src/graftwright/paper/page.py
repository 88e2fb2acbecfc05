"""A sheet of paper measured in millimetres from its top left corner."""

from collections.abc import Sequence
from dataclasses import dataclass
from io import BytesIO

from reportlab.lib.pagesizes import A4
from reportlab.pdfgen.canvas import Canvas

from graftwright.paper.lettering import composed
from graftwright.paper.typeface import (
    POINT_MM,
    RISE_SHARE,
    Face,
    Fitted,
    line_height_mm,
    load_faces,
    width_mm,
    wrapped,
)
from graftwright.tongue import ENGLISH, language

INK = 0.08
FADED = 0.36
RULE = 0.45
HAIR = 0.72
Point = tuple[float, float]
_TAGS = {ENGLISH: "en-GB", "de": "de-DE"}
"""Language tags (BCP 47) of the languages that papers are in."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PaperSize:
    """Width and height of a sheet, and the margin that office printers leave blank. [mm]"""

    width_mm: float
    height_mm: float
    margin_mm: float = 14.0


UPRIGHT = PaperSize(width_mm=A4[0] * POINT_MM, height_mm=A4[1] * POINT_MM)
LYING = PaperSize(width_mm=A4[1] * POINT_MM, height_mm=A4[0] * POINT_MM)


class Sheet:
    """A pen over one or more pages of one size; every length is in mm, y runs down the page."""

    def __init__(self, *, size: PaperSize, title: str) -> None:
        load_faces()
        self.size = size
        self._buffer = BytesIO()
        self._canvas = Canvas(
            self._buffer,
            pagesize=(size.width_mm / POINT_MM, size.height_mm / POINT_MM),
            invariant=1,
            pageCompression=1,
            initialFontName=Face.SANS.value,
            lang=_TAGS.get(language(), language()),
        )
        self._parts: list[tuple[str, str]] = []
        self._canvas.setTitle(title)
        self._canvas.setCreator("Graftwright")
        self._canvas.setAuthor("")
        self._canvas.setViewerPreference("DisplayDocTitle", "true")

    def _at(self, x_mm: float, y_mm: float) -> Point:
        return x_mm / POINT_MM, (self.size.height_mm - y_mm) / POINT_MM

    def text(
        self,
        text: str,
        *,
        x_mm: float,
        base_mm: float,
        face: Face = Face.SANS,
        size_pt: float = 9.0,
        shade: float = INK,
        align: str = "left",
        spread_pt: float = 0.0,
    ) -> None:
        """Write one line with its base line at `base_mm`; align left, centre or right of x."""
        words = composed(text)
        x, y = self._at(x_mm, base_mm)
        wide = width_mm(words, face=face, size_pt=size_pt) / POINT_MM + spread_pt * len(words)
        x -= {"left": 0.0, "centre": wide / 2, "right": wide}[align]
        self._canvas.setFillGray(shade)
        self._canvas.setFont(face.value, size_pt)
        self._canvas.drawString(x, y, words, charSpace=spread_pt)

    def lines(
        self, fitted: Fitted, *, x_mm: float, top_mm: float, shade: float = INK, align: str = "left"
    ) -> float:
        """Write fitted lines from `top_mm` down; return the y of their foot. [mm]"""
        base_mm = top_mm + fitted.size_pt * RISE_SHARE * POINT_MM
        for line in fitted.lines:
            self.text(
                line,
                x_mm=x_mm,
                base_mm=base_mm,
                face=fitted.face,
                size_pt=fitted.size_pt,
                shade=shade,
                align=align,
            )
            base_mm += line_height_mm(fitted.size_pt)
        return top_mm + (fitted.height_mm if fitted.lines else 0.0)

    def paragraph(
        self,
        text: str,
        *,
        x_mm: float,
        top_mm: float,
        wide_mm: float,
        face: Face = Face.SANS,
        size_pt: float = 9.0,
        shade: float = INK,
    ) -> float:
        """Write wrapped text from `top_mm` down; return the y of its foot. [mm]"""
        lines = wrapped(text, face=face, size_pt=size_pt, box_width_mm=wide_mm)
        return self.lines(
            Fitted(lines=lines, size_pt=size_pt, face=face), x_mm=x_mm, top_mm=top_mm, shade=shade
        )

    def line(self, start: Point, end: Point, *, thick_mm: float = 0.2, shade: float = INK) -> None:
        """Draw a straight line between two points."""
        self._canvas.setStrokeGray(shade)
        self._canvas.setLineWidth(thick_mm / POINT_MM)
        self._canvas.line(*self._at(*start), *self._at(*end))

    def outline(
        self,
        points: Sequence[Point],
        *,
        thick_mm: float = 0.2,
        shade: float | None = INK,
        fill: float | None = None,
    ) -> None:
        """Draw a closed figure through the points, stroked, filled or both."""
        path = self._canvas.beginPath()
        path.moveTo(*self._at(*points[0]))
        for point in points[1:]:
            path.lineTo(*self._at(*point))
        path.close()
        self._canvas.setLineWidth(thick_mm / POINT_MM)
        self._canvas.setLineJoin(1)
        if shade is not None:
            self._canvas.setStrokeGray(shade)
        if fill is not None:
            self._canvas.setFillGray(fill)
        self._canvas.drawPath(path, stroke=int(shade is not None), fill=int(fill is not None))

    def box(
        self,
        *,
        x_mm: float,
        y_mm: float,
        wide_mm: float,
        high_mm: float,
        thick_mm: float = 0.2,
        shade: float | None = INK,
        fill: float | None = None,
    ) -> None:
        """Draw a box from its top left corner."""
        right_mm, foot_mm = x_mm + wide_mm, y_mm + high_mm
        corners = ((x_mm, y_mm), (right_mm, y_mm), (right_mm, foot_mm), (x_mm, foot_mm))
        self.outline(corners, thick_mm=thick_mm, shade=shade, fill=fill)

    def circle(
        self, middle: Point, *, radius_mm: float, thick_mm: float = 0.2, fill: float | None = None
    ) -> None:
        """Draw a circle, stroked, and filled if a shade is given."""
        self._canvas.setStrokeGray(INK)
        self._canvas.setLineWidth(thick_mm / POINT_MM)
        if fill is not None:
            self._canvas.setFillGray(fill)
        x, y = self._at(*middle)
        self._canvas.circle(x, y, radius_mm / POINT_MM, stroke=1, fill=int(fill is not None))

    def fill_modules(
        self, runs: str, *, left_mm: float, top_mm: float, module_mm: float, module_count: int
    ) -> None:
        """Fill a square of modules black as one figure, so that no seam shows between them.

        `runs` are rectangles in the page language, counted in modules from the lower left corner:
        written so, a thousand symbols take a third of the time of a thousand drawn paths.
        """
        x, y = self._at(left_mm, top_mm + module_mm * module_count)
        self._canvas.saveState()
        self._canvas.translate(x, y)
        self._canvas.scale(module_mm / POINT_MM, module_mm / POINT_MM)
        self._canvas.addLiteral(f"0 g {runs} f")
        self._canvas.restoreState()

    def part(self, title: str, *, top_mm: float) -> None:
        """Let a part of the paper begin here; several parts are listed beside the pages."""
        key = f"part-{len(self._parts) + 1}"
        self._canvas.bookmarkPage(key, fit="XYZ", left=0, top=self._at(0.0, top_mm)[1])
        self._parts.append((composed(title), key))

    def next_page(self) -> None:
        """End this page; what is drawn next stands on a new one."""
        self._canvas.showPage()

    def content(self) -> bytes:
        """Return the finished file."""
        if len(self._parts) > 1:
            for title, key in self._parts:
                self._canvas.addOutlineEntry(title, key)
            self._canvas.showOutline()
        self._canvas.save()
        return self._buffer.getvalue()
