"""Reading a printed page back: pixels, text, shapes and symbols."""

import re
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import pypdfium2
import zxingcpp
from PIL import Image, ImageFilter
from pypdfium2 import raw

Grey = npt.NDArray[np.uint8]
_POINT_MM = 25.4 / 72.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """A symbol read from a page: its text and its middle. [mm]"""

    text: str
    x_mm: float
    y_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Bounds:
    """A box on a page, y running down. [mm]"""

    left_mm: float
    top_mm: float
    right_mm: float
    foot_mm: float


def images(content: bytes, *, dots_per_inch: int) -> Iterator[Image.Image]:
    """Yield every page of a PDF in grey."""
    for page in pypdfium2.PdfDocument(content):
        yield page.render(scale=dots_per_inch / 72.0, grayscale=True).to_pil()


def symbols(image: Image.Image, *, dots_per_inch: int) -> list[Found]:
    """Return the QR symbols of a page in reading order."""
    mm = 25.4 / dots_per_inch
    found = []
    for read in zxingcpp.read_barcodes(image, formats=zxingcpp.BarcodeFormat.QRCode):
        corners = (
            read.position.top_left,
            read.position.top_right,
            read.position.bottom_left,
            read.position.bottom_right,
        )
        found.append(
            Found(
                text=read.text,
                x_mm=sum(corner.x for corner in corners) / 4 * mm,
                y_mm=sum(corner.y for corner in corners) / 4 * mm,
            )
        )
    return sorted(found, key=lambda one: (round(one.y_mm / 5.0), one.x_mm))


def spoilt(image: Image.Image, *, blur_px: float = 1.5, tilt_degrees: float = 15.0) -> Image.Image:
    """Return a page as a hasty photograph sees it: out of focus and askew."""
    soft = image.filter(ImageFilter.GaussianBlur(blur_px))
    return soft.rotate(tilt_degrees, expand=True, fillcolor=255, resample=Image.Resampling.BICUBIC)


def page_texts(content: bytes) -> list[str]:
    """Return the text of each page, as copying from it gives."""
    return [page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(content)]


def words_of(content: bytes) -> str:
    """Return all text of a PDF with single spaces."""
    return " ".join(" ".join(page_texts(content)).split())


def letters(content: bytes, *, page_index: int = 0) -> list[tuple[str, Bounds]]:
    """Return every visible letter of a page with its box."""
    page = pypdfium2.PdfDocument(content)[page_index]
    high = page.get_height()
    text = page.get_textpage()
    found = []
    for place in range(text.count_chars()):
        letter = text.get_text_range(place, 1)
        if letter.strip():
            left, foot, right, top = text.get_charbox(place)
            found.append((letter, _bounds(left, foot, right, top, high)))
    return found


def shapes(content: bytes, *, page_index: int = 0) -> list[Bounds]:
    """Return the box of every drawn line and figure of a page."""
    page = pypdfium2.PdfDocument(content)[page_index]
    high = page.get_height()
    return [
        _bounds(*drawn.get_bounds(), high)
        for drawn in page.get_objects(filter=[raw.FPDF_PAGEOBJ_PATH])
    ]


def _bounds(left: float, foot: float, right: float, top: float, high: float) -> Bounds:
    return Bounds(
        left_mm=left * _POINT_MM,
        top_mm=(high - top) * _POINT_MM,
        right_mm=right * _POINT_MM,
        foot_mm=(high - foot) * _POINT_MM,
    )


def font_names(content: bytes) -> set[str]:
    """Return the names of all faces a PDF mentions, used or not."""
    return {name.decode() for name in re.findall(rb"/BaseFont\s*/([^\s/>]+)", content)}


def are_faces_embedded(content: bytes) -> bool:
    """Say whether every letter is drawn with a face carried by the file itself."""
    document = pypdfium2.PdfDocument(content)
    texts = [
        drawn for page in document for drawn in page.get_objects(filter=[raw.FPDF_PAGEOBJ_TEXT])
    ]
    embedded = [raw.FPDFFont_GetIsEmbedded(raw.FPDFTextObj_GetFont(drawn.raw)) for drawn in texts]
    return bool(embedded) and all(flag == 1 for flag in embedded)


@dataclass(frozen=True, slots=True, kw_only=True)
class Described:
    """What a PDF says of itself: its language, its title, and its parts with their pages."""

    language: str
    title: str
    parts: tuple[tuple[str, int], ...]


def described(content: bytes) -> Described:
    """Return what a PDF says of itself, as another library reads it."""
    document = pypdfium2.PdfDocument(content)
    size = raw.FPDFCatalog_GetLanguage(document, None, 0)
    signs = (raw.FPDF_WCHAR * (size // 2))()
    raw.FPDFCatalog_GetLanguage(document, signs, size)
    marks = [(mark.get_title(), mark.get_dest()) for mark in document.get_toc()]
    return Described(
        language="".join(chr(sign) for sign in signs).rstrip("\0"),
        title=document.get_metadata_value("Title"),
        parts=tuple((title, to.get_index() if to else -1) for title, to in marks),
    )
