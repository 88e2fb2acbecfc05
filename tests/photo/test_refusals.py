"""Pictures that must not be measured, each with its reason and the way out."""

from dataclasses import replace
from struct import pack

import pytest

from graftwright.errors import OutOfRange
from graftwright.photo import PictureRefused, PrintedRulers, Reason, measure_sticks
from tests.photo.rendering import Scene, StickTruth, picture_bytes

STICK = StickTruth(base_at_mm=(40.0, 80.0), turn_deg=1.0, length_mm=190.0, base_mm=9.0, tip_mm=7.0)
SMALL = Scene(
    sticks=(STICK,),
    wide_px=1120,
    high_px=840,
    focal_px=840.0,
    camera_at_mm=(148.0, 105.0, 256.0),
)


def _beside(**changes: object) -> StickTruth:
    return replace(STICK, **changes)  # type: ignore[arg-type]


SPOILT = {
    "squares covered": (
        replace(SMALL, sticks=(), cover=(0.0, 0.0, 297.0, 30.0)), Reason.MARKERS, "black squares",
    ),
    "out of focus": (
        replace(SMALL, sticks=(), camera_at_mm=(148.0, 105.0, 310.0), blur_px=1.6),
        Reason.BLURRED, "hold still",
    ),
    "far away": (
        replace(SMALL, camera_at_mm=(148.0, 105.0, 460.0)), Reason.SMALL, "go nearer",
    ),
    "from the side": (
        replace(SMALL, camera_at_mm=(148.0, 380.0, 250.0), focal_px=1000.0), Reason.TILTED, "level",
    ),
    "over-exposed": (replace(SMALL, exposure=1.4), Reason.BRIGHT, "without flash"),
    "no stick": (replace(SMALL, sticks=()), Reason.EMPTY, "no stick was found"),
    "a stick out of the field": (
        replace(SMALL, sticks=(_beside(base_at_mm=(8.0, 80.0)),)), Reason.OUTSIDE, "further in",
    ),
    "sticks crossing": (
        replace(SMALL, sticks=(STICK, _beside(base_at_mm=(45.0, 50.0), turn_deg=17.0))),
        Reason.CROSSING, "move them apart",
    ),
    "something short": (
        replace(SMALL, sticks=(_beside(length_mm=30.0),)), Reason.STRANGE, "take it away",
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", SPOILT)
def test_a_picture_that_cannot_be_trusted_is_refused_with_the_way_out(name: str) -> None:
    scene, reason, words = SPOILT[name]
    with pytest.raises(PictureRefused, match=words) as refused:
        measure_sticks(picture_bytes(scene))
    assert refused.value.reason is reason


def test_the_unspoilt_picture_is_measured() -> None:
    assert len(measure_sticks(picture_bytes(SMALL, media="PNG")).sticks) == 1


@pytest.mark.parametrize("length_mm", [96.9, 103.1, float("nan")])
def test_a_print_far_from_full_size_is_refused(length_mm: float) -> None:
    with pytest.raises(OutOfRange, match="print the sheet again at actual size"):
        PrintedRulers(along_mm=length_mm)
    with pytest.raises(OutOfRange, match="across"):
        PrintedRulers(across_mm=length_mm)


def _png_head(wide_px: int, high_px: int) -> bytes:
    return b"\x89PNG\r\n\x1a\n" + pack(">I", 13) + b"IHDR" + pack(">II", wide_px, high_px)


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "neither a JPEG nor a PNG"),
        (b"%PDF-1.7 and more", "neither a JPEG nor a PNG"),
        (b"\x00\x00\x00\x1cftypheic" + bytes(30), "HEIC"),
        (b"\x00\x00\x00\x1cftypavif" + bytes(30), "HEIC"),
        (_png_head(60_000, 60_000), "at most 80 million"),
        (_png_head(300, 200), "at least about 1000 by 700"),
        (_png_head(2000, 1500), "damaged or cut short"),
        (b"\xff\xd8\xff\xe0\x00\x02" + bytes(40), "damaged or cut short"),
        (b"\xff\xd8" + bytes(21 * 1024 * 1024), "at most 20 MB"),
    ],
)
def test_a_file_is_judged_before_it_is_unpacked(content: bytes, words: str) -> None:
    with pytest.raises(PictureRefused, match=words) as refused:
        measure_sticks(content)
    assert refused.value.reason is Reason.FILE


def test_a_picture_cut_short_on_its_way_is_refused() -> None:
    content = picture_bytes(SMALL)
    with pytest.raises(PictureRefused):
        measure_sticks(content[: len(content) // 3])
