"""The way to the measuring of photographs, which needs a library that not everyone installs."""

from base64 import b64decode, b64encode
from dataclasses import dataclass

from django.core import signing

from graftwright.tongue import say

try:
    from graftwright.photo import PhotoReading, PictureRefused, PrintedRulers, measure_sticks
except ModuleNotFoundError as missing:
    if missing.name != "cv2":
        raise
    IS_READY = False
else:
    IS_READY = True

_SALT = "sticks read from a photograph"
_KEPT_S = 12 * 3600
_TENTHS = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class SeenStick:
    """One stick as it was read, ready to be shown: words beside each figure, outlines in mm."""

    number: int
    length_mm: float
    length_within_mm: float
    base_mm: float
    base_within_mm: float
    middle_mm: float
    middle_within_mm: float
    tip_mm: float
    tip_within_mm: float
    buds_mm: tuple[float, ...]
    is_base_sure: bool
    left_edge: tuple[tuple[float, float], ...]
    right_edge: tuple[tuple[float, float], ...]
    buds_at: tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SeenPicture:
    """The straightened picture in base64, its place on the sheet, and the sticks on it."""

    jpeg: str
    left_mm: float
    top_mm: float
    wide_mm: float
    high_mm: float
    sticks: tuple[SeenStick, ...]


class PictureUnread(ValueError):
    """A picture that was not measured, in words for the person who sent it."""


def read_sticks(content: bytes, *, along_mm: float, across_mm: float) -> SeenPicture:
    """Measure a picture; nothing of it is kept. Raises PictureUnread with what to do."""
    try:
        rulers = PrintedRulers(along_mm=along_mm, across_mm=across_mm)
        reading = measure_sticks(content, rulers=rulers)
    except PictureRefused as refused:
        raise PictureUnread(str(refused)) from refused
    return _seen(reading)


def sealed(seen: SeenPicture) -> str:
    """Return the reading as text that the page carries to the next step and nobody can change."""
    sticks = [[getattr(stick, name) for name in SeenStick.__slots__] for stick in seen.sticks]
    box = [seen.left_mm, seen.top_mm, seen.wide_mm, seen.high_mm]
    return signing.dumps([seen.jpeg, box, sticks], salt=_SALT, compress=True)


def unsealed(text: str) -> SeenPicture:
    """Return what was sealed. Raises PictureUnread if it was changed or is too old."""
    try:
        jpeg, (left_mm, top_mm, wide_mm, high_mm), sticks = signing.loads(
            text, salt=_SALT, max_age=_KEPT_S
        )
        b64decode(jpeg, validate=True)
    except (signing.BadSignature, ValueError) as wrong:
        raise PictureUnread(
            say("what was read from the picture is no longer at hand; send the picture again")
        ) from wrong
    names: tuple[str, ...] = SeenStick.__slots__
    return SeenPicture(
        jpeg=jpeg,
        left_mm=left_mm,
        top_mm=top_mm,
        wide_mm=wide_mm,
        high_mm=high_mm,
        sticks=tuple(SeenStick(**dict(zip(names, values, strict=True))) for values in sticks),
    )


def _seen(reading: "PhotoReading") -> SeenPicture:
    flat = reading.flat
    return SeenPicture(
        jpeg=b64encode(flat.content).decode("ascii"),
        left_mm=flat.left_mm,
        top_mm=flat.top_mm,
        wide_mm=flat.wide_mm,
        high_mm=flat.high_mm,
        sticks=tuple(
            SeenStick(
                number=stick.number,
                length_mm=round(stick.length_mm),
                length_within_mm=stick.length_within_mm,
                base_mm=round(stick.base.diameter_mm, _TENTHS),
                base_within_mm=stick.base.within_mm,
                middle_mm=round(stick.middle.diameter_mm, _TENTHS),
                middle_within_mm=stick.middle.within_mm,
                tip_mm=round(stick.tip.diameter_mm, _TENTHS),
                tip_within_mm=stick.tip.within_mm,
                buds_mm=tuple(float(round(bud.at_mm)) for bud in stick.buds),
                is_base_sure=stick.is_base_sure,
                left_edge=_rounded(stick.left_edge),
                right_edge=_rounded(stick.right_edge),
                buds_at=_rounded(
                    tuple(_on_axis(stick.axis, bud.at_mm / stick.length_mm) for bud in stick.buds)
                ),
            )
            for stick in reading.sticks
        ),
    )


def _rounded(points: tuple[tuple[float, float], ...]) -> tuple[tuple[float, float], ...]:
    return tuple((round(x, 2), round(y, 2)) for x, y in points)


def _on_axis(axis: tuple[tuple[float, float], ...], share: float) -> tuple[float, float]:
    return axis[min(len(axis) - 1, max(0, round(share * (len(axis) - 1))))]
