"""A photo's own bytes: known by how they begin, and freed of where and by whom it was taken.

A phone writes its position into a photo. What is kept here is the picture and which way up it is.
"""

import re
import struct
import zlib
from collections.abc import Iterator
from dataclasses import dataclass

from graftwright.errors import NotUnderstood
from graftwright.tongue import say, told

MOST_BYTES = 10 * 1024 * 1024

_JPEG, _PNG = b"\xff\xd8\xff", b"\x89PNG\r\n\x1a\n"
# Markers of ITU-T T.81: start of scan, and those that stand alone without a length.
_SCAN, _END = 0xDA, 0xD9
_END_OF_PICTURE = b"\xff\xd9"
# Within coded data FF is followed by 00 or a restart mark; anything else ends it.
_NEXT_MARKER = re.compile(rb"\xff[^\x00\xd0-\xd7\xff]", re.DOTALL)
_ALONE = {0x01, *range(0xD0, 0xD9)}
_KEPT = {*range(0xC0, 0xD0), *range(0xD9, 0xE0)}
_COLOUR_MARKS = (b"JFIF\x00", b"ICC_PROFILE\x00", b"Adobe")
_ORIENTATION_TAG = 0x0112
# Chunks of ISO/IEC 15948 that make up the picture; text, dates and camera data are left out.
_PNG_KEPT = {b"IHDR", b"PLTE", b"IDAT", b"IEND", b"tRNS", b"gAMA", b"cHRM", b"sRGB", b"iCCP"}


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoBytes:
    """A photo as it is kept, and what it is."""

    media_type: str
    content: bytes


def photo_from_bytes(raw: bytes) -> PhotoBytes:
    """Return the photo to keep. Raises NotUnderstood where it is none, not whole, or too large."""
    if len(raw) > MOST_BYTES:
        raise NotUnderstood(
            told(
                "the photo has {count:.1f} MB; at most 10 are kept: take it smaller",
                count=len(raw) / 1000000.0,
            )
        )
    try:
        if raw.startswith(_JPEG):
            return PhotoBytes(media_type="image/jpeg", content=b"".join(_jpeg_parts(raw)))
        if raw.startswith(_PNG):
            return PhotoBytes(media_type="image/png", content=b"".join(_png_parts(raw)))
    except (IndexError, struct.error) as cut:
        raise NotUnderstood(say("the photo is cut off; take or choose it again")) from cut
    raise NotUnderstood(say("that file is no photo of a kind kept here; choose a JPEG or a PNG"))


def _jpeg_parts(raw: bytes) -> Iterator[bytes]:
    yield raw[:2]
    turned = _orientation(raw)
    if turned > 1:
        yield _orientation_segment(turned)
    for marker, segment in _jpeg_segments(raw):
        if marker in _KEPT or segment[4:].startswith(_COLOUR_MARKS):
            yield segment


def _jpeg_segments(raw: bytes) -> Iterator[tuple[int, bytes]]:
    """Yield each segment with its marker, a scan with its coded data, up to the end of picture.

    What some phones hang behind the picture is left out.
    """
    place = 2
    while raw[place : place + 2] != _END_OF_PICTURE:
        marker = raw[place + 1]
        if raw[place] != 0xFF:
            raise NotUnderstood(say("the photo is damaged inside; take or choose it again"))
        if marker == 0xFF or marker in _ALONE:
            place += 1 if marker == 0xFF else 2
            continue
        (length,) = struct.unpack_from(">H", raw, place + 2)
        end = place + 2 + length
        if marker == _SCAN:
            after = _NEXT_MARKER.search(raw, end)
            end = after.start() if after else len(raw) + 1
        if length < 2 or end > len(raw):
            raise IndexError
        yield marker, raw[place:end]
        place = end
    yield _END, _END_OF_PICTURE


def _orientation(raw: bytes) -> int:
    """Return which way up a JPEG says it is (1 to 8); 1 where it does not say."""
    for marker, segment in _jpeg_segments(raw):
        if marker == 0xE1 and segment[4:10] == b"Exif\x00\x00":
            try:
                return _orientation_of_exif(segment[10:])
            except (IndexError, struct.error):
                return 1
    return 1


def _orientation_of_exif(exif: bytes) -> int:
    order = "<" if exif[:2] == b"II" else ">"
    (first,) = struct.unpack_from(order + "L", exif, 4)
    (count,) = struct.unpack_from(order + "H", exif, first)
    for number in range(min(count, 200)):
        tag, _kind, _n, value = struct.unpack_from(order + "HHLH", exif, first + 2 + 12 * number)
        if tag == _ORIENTATION_TAG:
            return value if 1 <= value <= 8 else 1
    return 1


def _orientation_segment(turned: int) -> bytes:
    table = struct.pack(">HHHLHHL", 1, _ORIENTATION_TAG, 3, 1, turned, 0, 0)
    body = b"Exif\x00\x00MM\x00\x2a" + struct.pack(">L", 8) + table
    return b"\xff\xe1" + struct.pack(">H", len(body) + 2) + body


def _png_parts(raw: bytes) -> Iterator[bytes]:
    yield _PNG
    place = len(_PNG)
    while True:
        length, kind = struct.unpack_from(">L4s", raw, place)
        chunk = raw[place : place + 12 + length]
        (check,) = struct.unpack_from(">L", chunk, 8 + length)
        if check != zlib.crc32(chunk[4:-4]):
            raise NotUnderstood(say("the photo is damaged inside; take or choose it again"))
        if kind in _PNG_KEPT:
            yield chunk
        if kind == b"IEND":
            return
        place += 12 + length
