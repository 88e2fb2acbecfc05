"""Pictures of sticks on the printed sheet with known truth, traced ray by ray.

Shares nothing with what is tested but the printed sheet itself, which is drawn from its PDF.
World: mm, x along the sheet, y down it, z up towards the camera; z = 0 is the paper.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from functools import cache
from io import BytesIO
from math import cos, pi, radians, sin

import numpy as np
import numpy.typing as npt
import pypdfium2
from PIL import Image
from scipy.ndimage import gaussian_filter

from graftwright.paper.marker_sheet import marker_sheet
from graftwright.wood.marker_sheet import SheetSize

Floats = npt.NDArray[np.float32]
_INK, _WHITE = 0.04, 0.86


@dataclass(frozen=True, slots=True, kw_only=True)
class BudTruth:
    """A bud: place along the stick, side in degrees (0 right, 90 up, 180 left), its swelling."""

    at_mm: float
    side_deg: float
    swelling_mm: float = 1.6
    half_length_mm: float = 2.6


@dataclass(frozen=True, slots=True, kw_only=True)
class StickTruth:
    """A stick on the paper: where its base lies, its turn, its sizes and its looks."""

    base_at_mm: tuple[float, float]
    turn_deg: float
    length_mm: float
    base_mm: float
    tip_mm: float
    bow_mm: float = 0.0
    lift_mm: float = 0.0
    buds: tuple[BudTruth, ...] = ()
    bark: tuple[float, float, float] = (0.16, 0.09, 0.06)
    texture: float = 0.25
    gloss: float = 0.05
    seed: int = 1

    def diameter_mm(self, at_mm: float) -> float:
        """The thickness at a distance from the base, buds left out."""
        return self.base_mm + (self.tip_mm - self.base_mm) * at_mm / self.length_mm

    @property
    def arc_mm(self) -> float:
        """The length along the bent stick."""
        return self.length_mm + 8.0 / 3.0 * self.bow_mm**2 / self.length_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class Scene:
    """Sticks, camera, light and what a camera spoils."""

    sticks: tuple[StickTruth, ...]
    size: SheetSize = SheetSize.A4
    wide_px: int = 2000
    high_px: int = 1500
    focal_px: float = 1500.0
    camera_at_mm: tuple[float, float, float] = (148.0, 105.0, 310.0)
    look_at_mm: tuple[float, float] = (148.5, 105.0)
    roll_deg: float = 0.0
    centre_px: tuple[float, float] = (0.0, 0.0)
    bend: tuple[float, float] = (0.0, 0.0)
    blur_px: float = 0.8
    motion_px: float = 0.0
    noise: float = 0.006
    jpeg_quality: int = 88
    exposure: float = 0.95
    slope: tuple[float, float] = (0.0, 0.0)
    direct_fraction: float = 0.35
    light_deg: float = 30.0
    light_half_deg: float = 14.0
    tint: tuple[float, float, float] = (1.0, 0.98, 0.93)
    contrast: float = 0.0
    print_scale: float = 1.0
    paper_dpi: int = 400
    seed: int = 1
    cover: tuple[float, float, float, float] | None = field(default=None)


def picture_bytes(scene: Scene, *, media: str = "JPEG") -> bytes:
    """Return the finished picture file."""
    buffer = BytesIO()
    options = {"quality": scene.jpeg_quality} if media == "JPEG" else {}
    Image.fromarray(picture(scene)).save(buffer, media, **options)
    return buffer.getvalue()


def picture(scene: Scene) -> npt.NDArray[np.uint8]:
    """Return the picture as eight-bit RGB."""
    bands = [_band(scene, rows) for rows in _row_bands(scene)]
    light = np.concatenate(bands)
    for channel in range(3):
        light[..., channel] = gaussian_filter(light[..., channel], scene.blur_px)
        if scene.motion_px:
            light[..., channel] = _smeared(light[..., channel], scene.motion_px)
    random = np.random.default_rng(scene.seed)
    spread = scene.noise * np.sqrt(0.15 + np.clip(light, 0.0, None))
    light += spread * random.standard_normal(light.shape, dtype=np.float32)
    return (_encoded(np.clip(light, 0.0, 1.0), scene.contrast) * 255.0 + 0.5).astype(np.uint8)


def _encoded(light: Floats, contrast: float) -> Floats:
    curve = np.where(light <= 0.0031308, 12.92 * light, 1.055 * light ** (1 / 2.4) - 0.055)
    return curve + contrast * (curve * curve * (3.0 - 2.0 * curve) - curve)


def _smeared(channel: Floats, length_px: float) -> Floats:
    count = max(2, round(length_px * 2))
    shifts = np.linspace(-length_px / 2, length_px / 2, count)
    rows = np.arange(channel.shape[1])
    smeared = np.zeros_like(channel)
    for shift in shifts:
        low = np.floor(shift)
        share = shift - low
        one = channel[:, np.clip(rows + int(low), 0, rows[-1])]
        two = channel[:, np.clip(rows + int(low) + 1, 0, rows[-1])]
        smeared += ((1 - share) * one + share * two) / count
    return smeared


def _row_bands(scene: Scene, rows_each: int = 50) -> Iterator[range]:
    for first in range(0, scene.high_px, rows_each):
        yield range(first, min(first + rows_each, scene.high_px))


def _band(scene: Scene, rows: range) -> Floats:
    """Trace some rows with two by two rays in each pixel and average them."""
    y = (np.arange(2 * rows.start, 2 * rows.stop, dtype=np.float32) + 0.5) / 2.0
    x = (np.arange(2 * scene.wide_px, dtype=np.float32) + 0.5) / 2.0
    rays = _rays(scene, x[None, :], y[:, None])
    origin = np.asarray(scene.camera_at_mm, dtype=np.float32)
    reach = -origin[2] / rays[..., 2]
    ground_x, ground_y = origin[0] + reach * rays[..., 0], origin[1] + reach * rays[..., 1]
    light = _paper(scene, ground_x, ground_y)
    for stick in scene.sticks:
        _lay(scene, stick, light, rays, ground_x, ground_y)
    light = light.reshape(len(rows), 2, scene.wide_px, 2, 3).mean(axis=(1, 3))
    return light * np.asarray(scene.tint, dtype=np.float32) * scene.exposure


def _rays(scene: Scene, x_px: Floats, y_px: Floats) -> Floats:
    """Directions in the world; the lens bends by a rule of its own, from picture to ray."""
    x = (x_px - scene.wide_px / 2.0 - scene.centre_px[0]) / scene.focal_px
    y = (y_px - scene.high_px / 2.0 - scene.centre_px[1]) / scene.focal_px
    square = x * x + y * y
    straight = 1.0 + scene.bend[0] * square + scene.bend[1] * square * square
    ahead = np.array([*scene.look_at_mm, 0.0]) - np.asarray(scene.camera_at_mm)
    ahead /= np.linalg.norm(ahead)
    turn = np.radians(scene.roll_deg)
    right = np.array([np.cos(turn), np.sin(turn), 0.0])
    right -= ahead * (right @ ahead)
    right /= np.linalg.norm(right)
    down = -np.cross(ahead, right)  # the world is left-handed: y runs down the sheet
    if down @ np.array([-np.sin(turn), np.cos(turn), 0.0]) < 0.0:
        down = -down
    axes = [one.astype(np.float32) for one in (right, down, ahead)]
    flat_x, flat_y = (x * straight)[..., None], (y * straight)[..., None]
    return (flat_x * axes[0] + flat_y * axes[1] + axes[2]).astype(np.float32)


@cache
def _print(size: SheetSize, dots_per_inch: int) -> npt.NDArray[np.uint8]:
    page = pypdfium2.PdfDocument(marker_sheet(size))[0]
    grey = page.render(scale=dots_per_inch / 72.0, grayscale=True).to_numpy()
    return np.ascontiguousarray(grey.reshape(grey.shape[:2]))


def _paper(scene: Scene, x_mm: Floats, y_mm: Floats) -> Floats:
    ink = _print(scene.size, scene.paper_dpi)
    fine = scene.paper_dpi / 25.4 / scene.print_scale
    column, row = (x_mm * fine).astype(np.int32), (y_mm * fine).astype(np.int32)
    on_page = (column >= 0) & (column < ink.shape[1]) & (row >= 0) & (row < ink.shape[0])
    column, row = np.clip(column, 0, ink.shape[1] - 1), np.clip(row, 0, ink.shape[0] - 1)
    grey = _INK + np.float32((_WHITE - _INK) / 255.0) * ink[row, column]
    if scene.cover is not None:
        left_mm, top_mm, right_mm, foot_mm = scene.cover
        grey[(x_mm > left_mm) & (x_mm < right_mm) & (y_mm > top_mm) & (y_mm < foot_mm)] = 0.3
    light = np.repeat((grey * _evenness(scene, x_mm, y_mm))[..., None], 3, axis=-1)
    light[~on_page] *= np.asarray([0.36, 0.26, 0.18], dtype=np.float32)
    return light


def _evenness(scene: Scene, x_mm: Floats, y_mm: Floats) -> Floats:
    return np.clip(
        1.0 + scene.slope[0] * (x_mm - 148.0) / 148.0 + scene.slope[1] * (y_mm - 105.0) / 105.0,
        0.15, 1.5,
    )  # fmt: skip


def _along_and_across(stick: StickTruth, x_mm: Floats, y_mm: Floats) -> tuple[Floats, Floats]:
    turn = radians(stick.turn_deg)
    x, y = x_mm - stick.base_at_mm[0], y_mm - stick.base_at_mm[1]
    return x * cos(turn) + y * sin(turn), y * cos(turn) - x * sin(turn)


def _radius_mm(stick: StickTruth, along: Floats) -> Floats:
    share = np.clip(along / stick.length_mm, 0.0, 1.0)
    return 0.5 * (stick.base_mm + (stick.tip_mm - stick.base_mm) * share)


def _arch(stick: StickTruth, along: Floats, high_mm: float) -> Floats:
    share = along / stick.length_mm
    return 4.0 * high_mm * share * (1.0 - share)


def _lay(
    scene: Scene, stick: StickTruth, light: Floats, rays: Floats, x_mm: Floats, y_mm: Floats
) -> None:
    """Darken the paper by the stick's shadow, then draw the stick where rays meet it."""
    along, across = _along_and_across(stick, x_mm, y_mm)
    aside = across - _arch(stick, along, stick.bow_mm)
    near = (along > -20.0) & (along < stick.length_mm + 20.0) & (np.abs(aside) < 45.0)
    if not near.any():
        return
    shadow = np.ones(along.shape, dtype=np.float32)
    shadow[near] = _shadow(scene, stick, along[near], aside[near])
    light *= shadow[..., None]
    wide_mm = stick.base_mm * 1.3 + 4.0
    traced = near & (np.abs(aside) < wide_mm)
    hit, place = _trace(scene, stick, rays[traced])
    colours = _bark(scene, stick, place[hit])
    where = np.flatnonzero(traced)[hit]
    light.reshape(-1, 3)[where] = colours


def _shadow(scene: Scene, stick: StickTruth, along: Floats, aside: Floats) -> Floats:
    """Light left on the paper beside an endless cylinder, of a flat sky and a wide lamp."""
    radius = _radius_mm(stick, along)
    high = radius + _arch(stick, np.clip(along, 0, stick.length_mm), stick.lift_mm)
    distance = np.maximum(np.hypot(aside, high), radius * 1.0001)
    middle = np.arctan2(-aside, high)
    half = np.arcsin(radius / distance)
    low = np.clip(middle - half, -pi / 2, pi / 2)
    top = np.clip(middle + half, -pi / 2, pi / 2)
    sky_lost = (np.sin(top) - np.sin(low)) / 2.0
    lamp, wide = radians(scene.light_deg), radians(scene.light_half_deg)
    overlap = np.minimum(top, lamp + wide) - np.maximum(low, lamp - wide)
    lamp_lost = np.clip(overlap / (2 * wide), 0.0, 1.0)
    ends = np.clip((along + radius) / (2 * radius), 0, 1) * np.clip(
        (stick.length_mm - along + radius) / (2 * radius), 0, 1
    )
    direct = scene.direct_fraction
    return 1.0 - ends * ((1.0 - direct) * sky_lost + direct * lamp_lost)


def _trace(scene: Scene, stick: StickTruth, rays: Floats) -> tuple[npt.NDArray[np.bool_], Floats]:
    """Walk each ray by the distance to the stick; return which arrive and where."""
    origin = np.asarray(scene.camera_at_mm, dtype=np.float32)
    top_mm = stick.base_mm + stick.lift_mm + 4.0
    reach = (top_mm - origin[2]) / rays[..., 2]
    length = np.linalg.norm(rays, axis=-1)
    place = origin + reach[:, None] * rays
    ways = rays / length[:, None]
    going = np.arange(len(rays))
    hit = np.zeros(len(rays), dtype=bool)
    for _ in range(48):
        here = place[going]
        gap = _gap_mm(stick, here)
        arrived = gap < 0.006
        hit[going[arrived]] = True
        on = ~arrived & (here[:, 2] > -0.5)
        going = going[on]
        if not len(going):
            break
        place[going] += ways[going] * (0.92 * gap[on])[:, None]
    return hit, place


def _gap_mm(stick: StickTruth, place: Floats) -> Floats:
    along, across = _along_and_across(stick, place[:, 0], place[:, 1])
    aside, rise = _aside_and_rise(stick, along, across, place[:, 2])
    swollen = _radius_mm(stick, along) + _swelling(stick, along, np.arctan2(rise, aside))
    shaft = np.hypot(aside, rise) - swollen
    return np.maximum(shaft, np.maximum(-along, along - stick.length_mm))


def _aside_and_rise(
    stick: StickTruth, along: Floats, across: Floats, z_mm: Floats
) -> tuple[Floats, Floats]:
    """Distances from the axis, square to it even where the stick bows."""
    lean = 4.0 * stick.bow_mm / stick.length_mm * (1.0 - 2.0 * along / stick.length_mm)
    aside = (across - _arch(stick, along, stick.bow_mm)) / np.sqrt(1.0 + lean * lean)
    inside = np.clip(along, 0.0, stick.length_mm)
    rise = z_mm - _radius_mm(stick, along) - _arch(stick, inside, stick.lift_mm)
    return aside, rise


def _swelling(stick: StickTruth, along: Floats, angle: Floats) -> Floats:
    swelling = np.zeros_like(along)
    for bud in stick.buds:
        near = np.abs(along - bud.at_mm) < 2.0 * bud.half_length_mm
        off = _turned(angle[near] - radians(bud.side_deg))
        length = (along[near] - bud.at_mm) / bud.half_length_mm
        bump = np.clip(1.0 - length * length - (off / 0.7) ** 2, 0.0, None)
        swelling[near] += bud.swelling_mm * np.sqrt(bump)
    return swelling


def _bark(scene: Scene, stick: StickTruth, place: Floats) -> Floats:
    """Bark colour at points of the surface: mottled, lit by sky, lamp and the white paper."""
    along, across = _along_and_across(stick, place[:, 0], place[:, 1])
    aside, rise = _aside_and_rise(stick, along, across, place[:, 2])
    size = np.maximum(np.hypot(aside, rise), 1e-3)
    side, up = aside / size, rise / size
    lamp = radians(scene.light_deg)
    facing = np.clip(side * sin(lamp) + up * cos(lamp), 0.0, None)
    lit = (1 - scene.direct_fraction) * 0.5 * (1 + up) + scene.direct_fraction * facing
    lit += 0.25 * _WHITE * 0.5 * (1 - up)
    angle = np.arctan2(rise, aside)
    mottle = 1.0 + stick.texture * _mottling(stick, along, angle)
    for bud in stick.buds:
        near = np.hypot(
            (along - bud.at_mm) / bud.half_length_mm,
            _turned(angle - radians(bud.side_deg)) / 0.7,
        )
        mottle *= np.where(near < 1.0, 0.55 + 0.3 * near, 1.0)
    cut = (along < 0.05) | (along > stick.length_mm - 0.05)
    bark = np.asarray(stick.bark, dtype=np.float32) * np.clip(mottle, 0.2, 3.0)[:, None]
    bark = np.where(cut[:, None], np.asarray([0.62, 0.58, 0.36], dtype=np.float32), bark)
    shine = stick.gloss * np.clip(side * sin(lamp / 2) + up * cos(lamp / 2), 0, 1) ** 24
    even = _evenness(scene, place[:, 0], place[:, 1])
    return ((bark * lit[:, None] + shine[:, None]) * even[:, None]).astype(np.float32)


def _turned(angle: Floats) -> Floats:
    """The same angle between minus and plus half a turn."""
    return (angle + pi) % (2 * pi) - pi


def _mottling(stick: StickTruth, along: Floats, angle: Floats) -> Floats:
    """Streaks, patches and pale specks that do not repeat."""
    random = np.random.default_rng(stick.seed)
    total = np.zeros_like(along)
    for per_mm, turns in ((0.05, 1), (0.12, 2), (0.35, 3), (0.9, 5), (1.7, 4)):
        for _ in range(3):
            phase, lean = random.uniform(0, 2 * pi), float(random.integers(-turns, turns + 1))
            pace = 2 * pi * per_mm * random.uniform(0.7, 1.3)
            total += np.sin(pace * along + lean * angle + phase)
    specks_at = random.uniform(0, stick.length_mm, int(stick.length_mm / 4))
    for at, turn in zip(specks_at, random.uniform(0, 2 * pi, len(specks_at)), strict=True):
        near = np.abs(along - at) < 0.5
        off = _turned(angle[near] - float(turn))
        total[near] += 5.0 * (np.abs(off) < 0.15)
    return total / 3.0


def spoilt(scene: Scene, **changes: object) -> Scene:
    """Return the scene with something changed."""
    return replace(scene, **changes)  # type: ignore[arg-type]
