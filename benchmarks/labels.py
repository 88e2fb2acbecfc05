"""Labels measured: a thousand of them, how fast, how true to the sheet, and how well they read.

    python -m benchmarks.labels [--count 1000]

Prints a table with a plain baseline beside it (the same library, a symbol of 29 modules with every
mask tried, its dark runs drawn as one path), then one JSON object with the same figures.
"""

import argparse
import json
import sys
import time
from collections.abc import Callable, Iterator
from datetime import date
from io import BytesIO
from itertools import groupby

import numpy as np
import pypdfium2
import segno
import zxingcpp
from PIL import Image, ImageFilter
from reportlab.pdfgen.canvas import Canvas

from graftwright.paper import OFFICE_GRID, SMALL_GRID, Label, LabelGrid, label_sheets
from graftwright.paper.labels import square_corner_mm
from graftwright.paper.typeface import POINT_MM, Face, load_faces
from graftwright.tagcode import code_from_number

_NAMES = (
    ("Ashmead’s Kernel", "M26"),
    ("Bramley’s Seedling", "M25"),
    ("Gellyg Ŵy Łódź Kőszegi", "St Julien A"),
    ("Conference", "Quince C"),
    ("the unknown farmhouse tree behind the chapel at Upper Skelbeck", "M116"),
)
_BLUR_PX, _TILT_DEGREES = 1.5, 15.0


def main(arguments: list[str]) -> int:
    """Measure and print."""
    parser = argparse.ArgumentParser(prog="benchmarks.labels", description=__doc__)
    parser.add_argument("--count", type=int, default=1_000)
    count = parser.parse_args(arguments).count
    labels = made_up_labels(count)
    sheet, seconds = _timed(lambda: label_sheets(labels))
    plain, plain_seconds = _timed(lambda: plain_label_sheets(labels))
    small = label_sheets(labels, grid=SMALL_GRID)
    figures: dict[str, float] = {
        "labels": count,
        "seconds": round(seconds, 2),
        "baseline_seconds": round(plain_seconds, 2),
        "kilobytes": round(len(sheet) / 1e3),
        "baseline_kilobytes": round(len(plain) / 1e3),
        "read_at_300_dpi": _read_count(sheet, labels, dots=300, is_spoilt=False),
        "read_at_200_dpi_blurred_and_tilted": _read_count(sheet, labels, dots=200, is_spoilt=True),
        "small_read_at_300_dpi": _read_count(small, labels, dots=300, is_spoilt=False),
        "small_read_at_200_dpi_blurred_and_tilted": _read_count(
            small, labels, dots=200, is_spoilt=True
        ),
        "worst_corner_error_mm": round(_worst_corner_mm(sheet, OFFICE_GRID, count), 3),
        "small_worst_corner_error_mm": round(_worst_corner_mm(small, SMALL_GRID, count), 3),
    }
    for name, value in figures.items():
        print(f"{name.replace('_', ' '):45s} {value:>10g}")
    print(json.dumps(figures))
    return 0


def made_up_labels(count: int) -> list[Label]:
    """Return labels spread over the whole series of codes."""
    step = 279_841 // count
    return [
        Label(
            code=code_from_number(number * step),
            variety=_NAMES[number % len(_NAMES)][0],
            stock=_NAMES[number % len(_NAMES)][1],
            line=f"graft {number + 1}, bundle {code_from_number(number // 10)}",
            certainty="name likely, not yet fruited here",
            day=date(2027, 3, 11),
        )
        for number in range(count)
    ]


def plain_label_sheets(labels: list[Label]) -> bytes:
    """Return the same labels drawn the obvious way."""
    load_faces()
    sink = BytesIO()
    canvas = Canvas(sink, pagesize=(210 / POINT_MM, 297 / POINT_MM), invariant=1, pageCompression=1)
    for number, label in enumerate(labels):
        position = number % OFFICE_GRID.position_count + 1
        if number and position == 1:
            canvas.showPage()
        left_mm, top_mm = OFFICE_GRID.corner_mm(position)
        canvas.setFont(Face.SERIF.value, 14.0)
        canvas.drawString((left_mm + 3) / POINT_MM, (287 - top_mm) / POINT_MM, label.variety)
        canvas.setFont(Face.SANS.value, 9.0)
        for row, words in enumerate((label.stock, label.code, label.small_words, label.certainty)):
            y = (280 - top_mm - 4 * row) / POINT_MM
            canvas.drawString((left_mm + 3) / POINT_MM, y, words)
        path = canvas.beginPath()
        for row, modules in enumerate(segno.make(label.code, version=3, error="q").matrix):
            column = 0
            for is_dark, run in groupby(modules):
                length = len(list(run))
                if is_dark:
                    x = (left_mm + 39 + column * 0.76) / POINT_MM
                    y = (280 - top_mm - row * 0.76) / POINT_MM
                    path.rect(x, y, length * 0.76 / POINT_MM, 0.76 / POINT_MM)
                column += length
        canvas.drawPath(path, stroke=0, fill=1)
    canvas.save()
    return sink.getvalue()


def _timed(work: Callable[[], bytes]) -> tuple[bytes, float]:
    started = time.perf_counter()
    content = work()
    return content, time.perf_counter() - started


def _pages(content: bytes, *, dots: int) -> Iterator[Image.Image]:
    for page in pypdfium2.PdfDocument(content):
        yield page.render(scale=dots / 72.0, grayscale=True).to_pil()


def _read_count(content: bytes, labels: list[Label], *, dots: int, is_spoilt: bool) -> int:
    """Codes read that are the label's own; a code read wrongly counts as none."""
    wanted = {label.code for label in labels}
    read: set[str] = set()
    for page in _pages(content, dots=dots):
        image = page
        if is_spoilt:
            image = page.filter(ImageFilter.GaussianBlur(_BLUR_PX)).rotate(
                _TILT_DEGREES, expand=True, fillcolor=255, resample=Image.Resampling.BICUBIC
            )
        symbols = zxingcpp.read_barcodes(image, formats=zxingcpp.BarcodeFormat.QRCode)
        read |= {symbol.text for symbol in symbols}
    return len(read & wanted) - len(read - wanted)


def _worst_corner_mm(content: bytes, grid: LabelGrid, count: int) -> float:
    """The largest distance of a symbol's edge from where it should be, at 300 dots an inch."""
    mm = 25.4 / 300
    worst = 0.0
    for page_number, page in enumerate(_pages(content, dots=300)):
        pixels = np.asarray(page)
        on_page = min(grid.position_count, count - page_number * grid.position_count)
        for position in range(1, on_page + 1):
            left_mm, top_mm, side_mm = square_corner_mm(grid, position)
            quiet_mm = 1.5 * side_mm / 21.0
            x, y = round((left_mm - quiet_mm) / mm), round((top_mm - quiet_mm) / mm)
            size = round((side_mm + 2 * quiet_mm) / mm)
            dark = pixels[y : y + size, x : x + size] < 128
            across, down = np.flatnonzero(dark.any(axis=0)), np.flatnonzero(dark.any(axis=1))
            errors = (
                (x + across[0]) * mm - left_mm,
                (x + across[-1] + 1) * mm - left_mm - side_mm,
                (y + down[0]) * mm - top_mm,
                (y + down[-1] + 1) * mm - top_mm - side_mm,
            )
            worst = max(worst, *(abs(float(error)) for error in errors))
    return worst


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
