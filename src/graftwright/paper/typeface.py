"""The two faces everything is printed in, and how words are made to fit a box.

The serif is for names of trees, the sans for everything else. Both are shipped, so that a sheet
looks the same on every machine and its text can be searched.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from functools import cache, lru_cache
from importlib.resources import files
from io import BytesIO

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

from graftwright.paper.lettering import composed

POINT_MM = 25.4 / 72.0
LINE_SPACING = 1.16
# Shares of the type size that stand above and below the base line, for both faces.
RISE_SHARE = 0.76
DROP_SHARE = 0.22
_FLOOR_PT = 1.5
# After a space, and after a hyphen, dash or stroke that stands between letters.
_BETWEEN_PARTS = re.compile(r"(?<=\s)|(?<=\w[-–/])(?=\w)")
_STEP = 0.96


class Face(StrEnum):
    """A face of the shipped type, by the name it carries inside a file."""

    SANS = "GraftwrightSans"
    SANS_STRONG = "GraftwrightSansStrong"
    SERIF = "GraftwrightSerif"
    SERIF_SLANTED = "GraftwrightSerifSlanted"


_FILES = {
    Face.SANS: "graftwright-sans-regular.ttf",
    Face.SANS_STRONG: "graftwright-sans-semibold.ttf",
    Face.SERIF: "graftwright-serif-regular.ttf",
    Face.SERIF_SLANTED: "graftwright-serif-italic.ttf",
}


@cache
def load_faces() -> None:
    """Make the shipped faces known to the drawing library; later calls do nothing."""
    for face, file_name in _FILES.items():
        content = files("graftwright.paper").joinpath("fonts", file_name).read_bytes()
        pdfmetrics.registerFont(TTFont(face.value, BytesIO(content)))


def width_mm(text: str, *, face: Face, size_pt: float) -> float:
    """Return how wide a line of text prints. [mm]"""
    load_faces()
    return float(pdfmetrics.stringWidth(str(text), face.value, size_pt)) * POINT_MM


def line_height_mm(size_pt: float) -> float:
    """Return the distance from one base line to the next. [mm]"""
    return size_pt * LINE_SPACING * POINT_MM


@dataclass(frozen=True, slots=True, kw_only=True)
class Fitted:
    """Words broken into lines, and the size at which they fit."""

    lines: tuple[str, ...]
    size_pt: float
    face: Face

    @property
    def height_mm(self) -> float:
        """Height of the lines, from the top of the first to the foot of the last."""
        within = (len(self.lines) - 1) * line_height_mm(self.size_pt)
        return within + self.size_pt * (RISE_SHARE + DROP_SHARE) * POINT_MM

    @property
    def width_mm(self) -> float:
        """Width of the longest line."""
        return max(
            (width_mm(line, face=self.face, size_pt=self.size_pt) for line in self.lines),
            default=0.0,
        )


def wrapped(text: str, *, face: Face, size_pt: float, box_width_mm: float) -> tuple[str, ...]:
    """Break text into lines no wider than the box: at spaces, after hyphens, else within a word."""
    lines: list[str] = []
    current = ""
    for part in _parts(composed(text), face=face, size_pt=size_pt, box_width_mm=box_width_mm):
        longer = f"{current}{part}"
        if current and width_mm(longer.rstrip(), face=face, size_pt=size_pt) > box_width_mm:
            lines.append(current.rstrip())
            current = part
        else:
            current = longer
    return (*lines, current.rstrip()) if current.strip() else tuple(lines)


def _parts(text: str, *, face: Face, size_pt: float, box_width_mm: float) -> Iterator[str]:
    """Yield what may not be broken, each with the space after it."""
    for part in _BETWEEN_PARTS.split(text):
        rest = part
        while len(rest.rstrip()) > 1 and (
            width_mm(rest.rstrip(), face=face, size_pt=size_pt) > box_width_mm
        ):
            kept = 1
            while width_mm(rest[: kept + 1], face=face, size_pt=size_pt) <= box_width_mm:
                kept += 1
            yield rest[:kept]
            rest = rest[kept:]
        yield rest


@lru_cache(maxsize=4_096)
def fitted(
    text: str,
    *,
    face: Face,
    box_width_mm: float,
    box_height_mm: float,
    largest_pt: float,
    shrunk_share: float = 0.8,
) -> Fitted:
    """Return the text as large as the box allows: shrunk on one line, then wrapped.

    Nothing is ever cut off: a line is first shrunk to `shrunk_share` of the largest size, then
    broken at spaces, and then made smaller until it fits. An empty text gives no lines.
    """
    whole = composed(text)
    if not whole:
        return Fitted(lines=(), size_pt=largest_pt, face=face)
    one_line_mm = width_mm(whole, face=face, size_pt=largest_pt)
    size_pt = min(largest_pt, largest_pt * box_width_mm / one_line_mm)
    single = Fitted(lines=(whole,), size_pt=size_pt, face=face)
    if size_pt >= shrunk_share * largest_pt and single.height_mm <= box_height_mm:
        return single
    return _fitted_on_lines(
        whole, face=face, width=box_width_mm, height=box_height_mm, largest_pt=largest_pt
    )


def _fitted_on_lines(
    whole: str, *, face: Face, width: float, height: float, largest_pt: float
) -> Fitted:
    size_pt = largest_pt
    while True:
        lines = wrapped(whole, face=face, size_pt=size_pt, box_width_mm=width)
        found = Fitted(lines=lines, size_pt=size_pt, face=face)
        breaks_word = max(map(len, lines)) < max(map(len, _BETWEEN_PARTS.split(whole))) - 1
        if (found.height_mm <= height and not breaks_word) or size_pt < _FLOOR_PT:
            return found
        size_pt *= _STEP
