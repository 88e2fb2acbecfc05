"""The geometry beneath the reading, checked by constructions of its own."""

from math import asin, atan2, cos, hypot, radians, sin, tan

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from graftwright.photo.camera import fit_camera
from graftwright.photo.edges import _fitting, _step_and_slope
from graftwright.photo.markers import find_corners
from graftwright.photo.picture import linear_table, open_picture
from graftwright.photo.thickness import _inner_circle_mm
from graftwright.wood.marker_sheet import SheetSize, marker_sheet_of
from tests.photo.rendering import Scene, picture_bytes


@given(
    radius_mm=st.floats(1.0, 15.0),
    aside_mm=st.floats(-200.0, 200.0),
    height_mm=st.floats(150.0, 900.0),
)
def test_tangents_from_the_camera_give_the_thickness_back(
    radius_mm: float, aside_mm: float, height_mm: float
) -> None:
    """Tangent lines by angles, as in any book of plane geometry; none of the triangle's formula."""
    down_mm = height_mm - radius_mm
    middle = atan2(aside_mm, down_mm)
    half = asin(radius_mm / hypot(aside_mm, down_mm))
    left, right = (height_mm * tan(middle + sign * half) for sign in (-1.0, 1.0))
    found = _inner_circle_mm(np.array([left]), np.array([right]), np.array([0.0]), height_mm)
    assert found[0] == pytest.approx(2.0 * radius_mm, rel=1e-9)


def _seen_px(turn_deg: float, height_mm: float, focal_px: float) -> tuple[np.ndarray, np.ndarray]:
    """Corners as a camera without lens faults sees them, leaning about the sheet's long side."""
    sheet = marker_sheet_of(SheetSize.A4)
    corners = np.array([corner for marker in sheet.markers for corner in marker.corners_mm])
    x, y = corners[:, 0] - 148.5, corners[:, 1] - 105.0
    lean = radians(turn_deg)
    depth = height_mm + y * sin(lean)
    seen = np.column_stack([focal_px * x / depth + 799.5, focal_px * y * cos(lean) / depth + 599.5])
    return corners, seen


@pytest.mark.parametrize("turn_deg", [15.0, 25.0, 35.0])
def test_the_camera_s_height_follows_from_the_corners_alone(turn_deg: float) -> None:
    corners, seen = _seen_px(turn_deg, 330.0, 1200.0)
    camera = fit_camera(corners, seen, wide_px=1600, high_px=1200)
    height_mm = 330.0 * cos(radians(turn_deg))
    assert camera.height_mm == pytest.approx(height_mm, rel=0.02)
    assert abs(camera.height_mm - height_mm) <= 2.5 * camera.height_spread_mm
    assert camera.error_px < 0.01


def test_from_straight_above_the_height_is_said_to_be_unsure() -> None:
    corners, seen = _seen_px(0.0, 330.0, 1200.0)
    camera = fit_camera(corners, seen, wide_px=1600, high_px=1200)
    assert abs(camera.height_mm - 330.0) <= 2.0 * camera.height_spread_mm
    assert camera.height_spread_mm > 15.0


def test_corners_are_found_to_a_fraction_of_a_pixel() -> None:
    scene = Scene(
        sticks=(), wide_px=1240, high_px=930, focal_px=930.0, camera_at_mm=(148.5, 105.0, 250.0),
        blur_px=1.0, noise=0.004, paper_dpi=1000, roll_deg=3.0,
    )  # fmt: skip
    corners = find_corners(open_picture(picture_bytes(scene, media="PNG")))
    flat = (corners.on_sheet_mm - np.array([148.5, 105.0])) * 930.0 / 250.0
    turn = radians(3.0)
    true = np.column_stack(
        [
            flat[:, 0] * cos(turn) + flat[:, 1] * sin(turn) + 619.5,
            flat[:, 1] * cos(turn) - flat[:, 0] * sin(turn) + 464.5,
        ]
    )
    off = corners.in_picture_px - true
    assert corners.marker_count == 20
    assert np.sqrt(np.mean(off**2)) < 0.1
    assert np.abs(off.mean(axis=0)).max() < 0.05
    assert corners.spread_px == pytest.approx(1.0, abs=0.3)


@pytest.mark.parametrize("place_mm", [-0.11, 0.0, 0.02])
def test_the_step_is_read_in_full_whatever_slopes_lie_beside_it(place_mm: float) -> None:
    fitting = _fitting(0.2)
    x = np.arange(-fitting.half_count, fitting.half_count + 1) * 0.05
    step, outer = _step_and_slope(x, 0.2)
    light = 0.1 + 0.5 * step + (0.2 + place_mm) * outer - 0.05 * (outer - x)
    assert fitting.step @ light == pytest.approx(0.5, abs=1e-9)
    assert np.abs(fitting.rest @ light).max() < 1e-9


def test_the_stored_steps_of_a_picture_stand_for_the_light_of_the_standard() -> None:
    """IEC 61966-2-1: 0.5 of the light is stored as 188 of 255; black and white stay."""
    table = linear_table()
    assert table[0] == 0.0
    assert table[255] == pytest.approx(1.0)
    assert table[188] == pytest.approx(0.5, abs=0.005)
    assert np.all(np.diff(table) > 0.0)
