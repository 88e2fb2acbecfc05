"""A picture file opened with care: kind and size are known before anything is unpacked."""

from dataclasses import dataclass
from struct import unpack

import cv2
import numpy as np
import numpy.typing as npt

from graftwright.photo.refusal import PictureRefused, Reason
from graftwright.tongue import say, told

Bytes = npt.NDArray[np.uint8]
Light = npt.NDArray[np.float32]

MOST_BYTES = 20 * 1024 * 1024
_MOST_PIXELS = 80_000_000
_FEWEST_PIXELS = 700_000
_KEPT_PIXELS = 13_000_000
_PNG_HEAD = b"\x89PNG\r\n\x1a\n"
_FRAME_MARKS = frozenset({0xC0, 0xC1, 0xC2, 0xC3, 0xC5, 0xC6, 0xC7, 0xC9, 0xCA, 0xCB})
_HEIC_KINDS = (b"heic", b"heix", b"hevc", b"mif1", b"msf1", b"avif", b"heif")
# Shares of blue, green and red in the brightness that edges are sought in: green is sharpest.
_SHARES = (0.1, 0.6, 0.3)


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """Colours as stored (blue, green, red) and brightness in proportion to the light."""

    colours: Bytes
    light: Light

    @property
    def wide_px(self) -> int:
        """Width in pixels."""
        return int(self.colours.shape[1])

    @property
    def high_px(self) -> int:
        """Height in pixels."""
        return int(self.colours.shape[0])


def open_picture(content: bytes) -> Picture:
    """Unpack a JPEG or PNG file. Raises PictureRefused for any other file, too large or damaged."""
    wide_px, high_px = size_in_file(content)
    if wide_px * high_px > _MOST_PIXELS:
        raise PictureRefused(
            Reason.FILE,
            told(
                "the picture has {wide_px} by {high_px} pixels; at most 80 million are "
                "read; send it smaller",
                wide_px=wide_px,
                high_px=high_px,
            ),
        )
    if wide_px * high_px < _FEWEST_PIXELS:
        raise PictureRefused(
            Reason.FILE,
            told(
                "the picture has {wide_px} by {high_px} pixels; at least about 1000 by "
                "700 are needed; send the picture as it was taken, not a preview of it",
                wide_px=wide_px,
                high_px=high_px,
            ),
        )
    colours = _unpacked(content)
    shrink = (_KEPT_PIXELS / (colours.shape[0] * colours.shape[1])) ** 0.5
    if shrink < 1.0:
        colours = np.asarray(
            cv2.resize(colours, None, fx=shrink, fy=shrink, interpolation=cv2.INTER_AREA), np.uint8
        )
    return Picture(colours=colours, light=_light(colours))


def size_in_file(content: bytes) -> tuple[int, int]:
    """Return width and height as the file's own head gives them, in pixels."""
    if len(content) > MOST_BYTES:
        raise PictureRefused(
            Reason.FILE,
            told(
                "the file has {count:.0f} MB; at most 20 MB are read; send it smaller",
                count=len(content) / 1000000.0,
            ),
        )
    if content.startswith(_PNG_HEAD) and len(content) >= 24:
        wide_px, high_px = unpack(">II", content[16:24])
        return int(wide_px), int(high_px)
    if content.startswith(b"\xff\xd8"):
        return _size_in_jpeg(content)
    if content[4:8] == b"ftyp" and content[8:12] in _HEIC_KINDS:
        raise PictureRefused(
            Reason.FILE,
            say(
                "this is a HEIC picture, which is not read here; set the phone’s "
                "camera to take JPEG (often called most compatible), or save the "
                "picture as JPEG and send that"
            ),
        )
    raise PictureRefused(
        Reason.FILE,
        say("this file is neither a JPEG nor a PNG picture; choose the photograph itself"),
    )


def _size_in_jpeg(content: bytes) -> tuple[int, int]:
    place = 2
    while place + 9 < len(content):
        if content[place] != 0xFF:
            break
        mark = content[place + 1]
        if mark == 0xFF:
            place += 1
        elif mark in _FRAME_MARKS:
            high_px, wide_px = unpack(">HH", content[place + 5 : place + 9])
            return int(wide_px), int(high_px)
        else:
            place += 2 + int(unpack(">H", content[place + 2 : place + 4])[0])
    raise _damaged()


def _damaged() -> PictureRefused:
    return PictureRefused(
        Reason.FILE, say("the picture file is damaged or cut short; send it again from the phone")
    )


def _unpacked(content: bytes) -> Bytes:
    try:
        colours = cv2.imdecode(np.frombuffer(content, np.uint8), cv2.IMREAD_COLOR)
    except cv2.error as wrong:
        raise _damaged() from wrong
    if colours is None:
        raise _damaged()
    return np.asarray(colours, np.uint8)


def linear_table() -> npt.NDArray[np.float64]:
    """Return the light, 0 to 1, that each of the 256 stored steps of sRGB stands for.

    The curve of IEC 61966-2-1; phones bend it further, by an amount no picture tells.
    """
    stored = np.arange(256) / 255.0
    bent = ((stored + 0.055) / 1.055) ** 2.4
    return np.where(stored <= 0.04045, stored / 12.92, bent)


def _light(colours: Bytes) -> Light:
    table = linear_table()
    light = np.zeros(colours.shape[:2], np.float32)
    for channel, share in enumerate(_SHARES):
        light += (table * share).astype(np.float32)[colours[..., channel]]
    return light
