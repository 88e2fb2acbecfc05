"""Scenes drawn by number: sticks, camera, light and faults spread over what a phone may meet."""

from math import cos, radians, sin, tan

import numpy as np

from graftwright.wood.marker_sheet import SheetSize, marker_sheet_of
from tests.photo.rendering import BudTruth, Scene, StickTruth

_BARKS = (
    (0.16, 0.09, 0.06), (0.10, 0.10, 0.05), (0.25, 0.20, 0.17), (0.13, 0.06, 0.05),
    (0.20, 0.15, 0.08), (0.09, 0.07, 0.06), (0.30, 0.27, 0.24), (0.07, 0.05, 0.04),
)  # fmt: skip
_SIZES = ((1400, 1050), (1400, 1050), (1800, 1350))


def scene_of(seed: int) -> Scene:
    """Return the scene of a number: the same one each time."""
    random = np.random.default_rng(seed)
    size = SheetSize.A4 if random.random() < 0.75 else SheetSize.LETTER
    wide_px, high_px = _SIZES[int(random.integers(len(_SIZES)))]
    focal_px = wide_px * float(random.uniform(0.65, 0.85))
    sheet = marker_sheet_of(size)
    middle = (sheet.width_mm / 2, sheet.height_mm / 2)
    return Scene(
        sticks=_sticks(random, size),
        size=size,
        wide_px=wide_px,
        high_px=high_px,
        focal_px=focal_px,
        look_at_mm=middle,
        camera_at_mm=_camera(random, middle, sheet.width_mm, focal_px / wide_px),
        roll_deg=float(random.uniform(-6, 6)) + (180.0 if random.random() < 0.15 else 0.0),
        centre_px=(float(random.uniform(-0.01, 0.01)) * wide_px, 0.0),
        bend=(float(random.uniform(-0.06, 0.06)), float(random.uniform(-0.02, 0.02))),
        blur_px=float(random.uniform(0.6, 1.8)),
        motion_px=float(random.choice([0.0, 0.0, 1.5, 2.5])),
        noise=float(random.uniform(0.003, 0.02)),
        jpeg_quality=int(random.integers(75, 96)),
        exposure=float(random.uniform(0.55, 1.0)),
        slope=(float(random.uniform(-0.3, 0.3)), float(random.uniform(-0.3, 0.3))),
        direct_fraction=float(random.uniform(0.0, 0.6)),
        light_deg=float(random.uniform(-55, 55)),
        light_half_deg=float(random.uniform(6, 25)),
        tint=(1.0, float(random.uniform(0.93, 1.0)), float(random.uniform(0.8, 1.0))),
        contrast=float(random.choice([0.0, 0.0, 0.3])),
        seed=seed,
    )


def _camera(
    random: np.random.Generator, middle: tuple[float, float], wide_mm: float, focal_share: float
) -> tuple[float, float, float]:
    """Stand so far off that the whole sheet is seen, tilted up to 25 degrees to any side."""
    tilt, way = radians(float(random.uniform(0, 25))), float(random.uniform(0, 6.2832))
    far_mm = wide_mm * focal_share * float(random.uniform(1.12, 1.3)) * (1.0 + 0.45 * tan(tilt))
    return (
        middle[0] + far_mm * sin(tilt) * cos(way),
        middle[1] + far_mm * sin(tilt) * sin(way),
        far_mm * cos(tilt),
    )


def _sticks(random: np.random.Generator, size: SheetSize) -> tuple[StickTruth, ...]:
    field = marker_sheet_of(size).field
    count = int(random.integers(2, 7))
    pitch_mm = field.high_mm / count
    return tuple(
        _stick(random, field.left_mm, field.right_mm, field.top_mm + (row + 0.5) * pitch_mm)
        for row in range(count)
    )


def _stick(
    random: np.random.Generator, left_mm: float, right_mm: float, middle_mm: float
) -> StickTruth:
    length_mm = float(random.uniform(110, right_mm - left_mm - 14))
    spare_mm = right_mm - left_mm - 10 - length_mm
    start_mm = left_mm + 5 + float(random.uniform(0, spare_mm))
    turn_deg = float(random.uniform(-1.5, 1.5)) if length_mm > 60 else 0.0
    base_mm = float(random.uniform(5.0, 12.0))
    drop_mm = length_mm / 2 * sin(radians(turn_deg))
    base_at_mm, turned_deg = (start_mm, middle_mm - drop_mm), turn_deg
    if random.random() < 0.5:  # the base to the right
        base_at_mm, turned_deg = (start_mm + length_mm, middle_mm + drop_mm), turn_deg + 180.0
    return StickTruth(
        base_at_mm=base_at_mm,
        turn_deg=turned_deg,
        length_mm=length_mm,
        base_mm=base_mm,
        tip_mm=base_mm * float(random.uniform(0.6, 0.9)),
        bow_mm=float(random.uniform(-3, 3)),
        lift_mm=float(random.choice([0.0, 0.0, 1.0, 2.0])),
        buds=_buds(random, length_mm),
        bark=_BARKS[int(random.integers(len(_BARKS)))],
        texture=float(random.uniform(0.1, 0.4)),
        gloss=float(random.uniform(0.0, 0.12)),
        seed=int(random.integers(1_000_000)),
    )


def _buds(random: np.random.Generator, length_mm: float) -> tuple[BudTruth, ...]:
    """Buds a hand's breadth of 25 to 40 mm apart, turning by about 2/5 round the shoot."""
    at_mm, side_deg, buds = float(random.uniform(8, 25)), float(random.uniform(0, 360)), []
    while at_mm < length_mm - 8:
        buds.append(
            BudTruth(
                at_mm=at_mm,
                side_deg=side_deg % 360.0,
                swelling_mm=float(random.uniform(1.2, 2.2)),
                half_length_mm=float(random.uniform(2.0, 3.5)),
            )
        )
        at_mm += float(random.uniform(25, 40))
        side_deg += 144.0 + float(random.uniform(-15, 15))
    return tuple(buds)
