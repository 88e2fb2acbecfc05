"""Line drawings of grown trees to scale, beside a person and a door."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import cos, hypot, pi, sin

from graftwright.planting import TreeForm
from graftwright.season.spot import StockChoice
from graftwright.tongue import told

PERSON_M, DOOR_M, DOOR_WIDTH_M = 1.7, 2.0, 0.9
_WIDTH = 360.0
_GAP_M = 0.5
_FOOT = 26.0
_HEAD = 12.0
_RULER = 22.0
_LOBES = 11
_TIER_M = 0.45
_STEM_M = {
    TreeForm.STANDARD: 1.8,
    TreeForm.HALF_STANDARD: 1.3,
    TreeForm.BUSH: 0.6,
    TreeForm.PYRAMID: 0.4,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Stroke:
    """One line of the drawing: its path and its class."""

    path: str
    kind: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Caption:
    """A word of the drawing and where it stands."""

    x: str
    y: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TreesDrawn:
    """The whole drawing, in the units of its view box."""

    width: str
    height: str
    strokes: tuple[Stroke, ...]
    captions: tuple[Caption, ...]
    ruler: tuple[Caption, ...]
    words: str


class _Ground:
    """Metres above and along the ground as units of the drawing."""

    def __init__(self, *, units_per_m: float, ground_y: float) -> None:
        self.units_per_m = units_per_m
        self.ground_y = ground_y

    def at(self, east_m: float, up_m: float) -> str:
        x = _RULER + east_m * self.units_per_m
        return f"{x:.1f} {self.ground_y - up_m * self.units_per_m:.1f}"

    def line(self, *points: tuple[float, float]) -> str:
        return "M" + "L".join(self.at(*point) for point in points)


def trees_drawn(choices: Sequence[StockChoice], *, form: TreeForm) -> TreesDrawn:
    """Return the drawing: a person, a door, and each tree at its smallest and its largest."""
    slots_m = [max(1.2, choice.size.spread_high_m) for choice in choices]
    first_m = 0.8 + DOOR_WIDTH_M + 2.0 * _GAP_M
    whole_m = first_m + sum(slot_m + _GAP_M for slot_m in slots_m)
    units_per_m = (_WIDTH - _RULER) / whole_m
    top_m = max(2.2, *(choice.size.height_high_m for choice in choices))
    ground = _Ground(units_per_m=units_per_m, ground_y=_HEAD + top_m * units_per_m)
    strokes = [*_person(ground), *_door(ground), _soil(ground, whole_m)]
    captions = []
    east_m = first_m
    for choice, slot_m in zip(choices, slots_m, strict=True):
        middle_m = east_m + slot_m / 2.0
        strokes += _tree(ground, choice, middle_m, form)
        x = _RULER + middle_m * units_per_m
        captions.append(
            Caption(x=f"{x:.1f}", y=f"{ground.ground_y + 18.0:.1f}", words=choice.rootstock[:16])
        )
        east_m += slot_m + _GAP_M
    return TreesDrawn(
        width=f"{_WIDTH:.0f}",
        height=f"{ground.ground_y + _FOOT:.0f}",
        strokes=tuple(strokes),
        captions=tuple(captions),
        ruler=tuple(_ruler(ground, top_m)),
        words=_words(choices),
    )


def _words(choices: Sequence[StockChoice]) -> str:
    trees = "; ".join(
        told(
            "on {rootstock} {height_low_m:.1f} to {height_high_m:.1f} m high "
            "and {spread_low_m:.1f} to {spread_high_m:.1f} m wide",
            rootstock=one.rootstock,
            height_low_m=one.size.height_low_m,
            height_high_m=one.size.height_high_m,
            spread_low_m=one.size.spread_low_m,
            spread_high_m=one.size.spread_high_m,
        )
        for one in choices
    )
    return told(
        "Drawn to scale beside a person of {person_m} m and a door of {door_m:g} m: {trees}.",
        person_m=PERSON_M,
        door_m=DOOR_M,
        trees=trees,
    )


def _soil(ground: _Ground, whole_m: float) -> Stroke:
    return Stroke(path=ground.line((0.0, 0.0), (whole_m, 0.0)), kind="ink")


def _ruler(ground: _Ground, top_m: float) -> Iterator[Caption]:
    step_m = next(step for step in (1, 2, 5) if step * ground.units_per_m >= 16.0 or step == 5)
    for up_m in range(step_m, int(top_m) + 1, step_m):
        y = ground.ground_y - up_m * ground.units_per_m
        yield Caption(x=f"{_RULER - 6.0:.1f}", y=f"{y:.1f}", words=str(up_m))


def _person(ground: _Ground) -> Iterator[Stroke]:
    middle_m, head_m = 0.4, 0.11
    neck_m = PERSON_M - 2.0 * head_m
    yield Stroke(path=_ring(ground, middle_m, PERSON_M - head_m, head_m, head_m), kind="ink")
    hip = (middle_m, 0.85)
    yield Stroke(path=ground.line((middle_m, neck_m), hip), kind="ink")
    yield Stroke(path=ground.line((0.25, 0.0), hip, (0.55, 0.0)), kind="ink")
    hands = ((0.18, 0.95), (middle_m, neck_m - 0.1), (0.62, 0.95))
    yield Stroke(path=ground.line(*hands), kind="ink")


def _door(ground: _Ground) -> Iterator[Stroke]:
    left_m = 0.8 + _GAP_M
    right_m = left_m + DOOR_WIDTH_M
    frame = ((left_m, 0.0), (left_m, DOOR_M), (right_m, DOOR_M), (right_m, 0.0))
    yield Stroke(path=ground.line(*frame), kind="ink")
    yield Stroke(path=_ring(ground, right_m - 0.12, 1.0, 0.04, 0.04), kind="ink")


def _ring(ground: _Ground, east_m: float, up_m: float, wide_m: float, high_m: float) -> str:
    turns = [2.0 * pi * step / 16.0 for step in range(16)]
    points = [(east_m + wide_m * cos(turn), up_m + high_m * sin(turn)) for turn in turns]
    return ground.line(*points) + "Z"


def _tree(
    ground: _Ground, choice: StockChoice, middle_m: float, form: TreeForm
) -> Iterator[Stroke]:
    size = choice.size
    for high_m, wide_m, more in (
        (size.height_high_m, size.spread_high_m, " dashed"),
        (size.height_low_m, size.spread_low_m, ""),
    ):
        if form.is_trained:
            for path in _trained(ground, middle_m, high_m, wide_m, form):
                yield Stroke(path=path, kind=f"leaf{more}")
        else:
            stem_m = min(_STEM_M.get(form, 0.6), 0.35 * high_m)
            yield Stroke(path=_crown(ground, middle_m, stem_m, high_m, wide_m), kind=f"leaf{more}")
    if not form.is_trained:
        yield from _stem(ground, middle_m, size.height_low_m, size.spread_low_m)


def _crown(ground: _Ground, middle_m: float, stem_m: float, high_m: float, wide_m: float) -> str:
    """A crown in lobes around an ellipse from the stem to the top."""
    up_m, half_m = (stem_m + high_m) / 2.0, (high_m - stem_m) / 2.0
    turns = [2.0 * pi * step / _LOBES + 0.3 for step in range(_LOBES + 1)]
    inset = 0.94
    points = [
        (middle_m + inset * wide_m / 2.0 * cos(t), up_m + inset * half_m * sin(t)) for t in turns
    ]
    path = f"M{ground.at(*points[0])}"
    for before, after in pairwise(points):
        chord = hypot(after[0] - before[0], after[1] - before[1]) * ground.units_per_m
        radius = f"{0.62 * chord:.1f}"
        path += f"A{radius} {radius} 0 0 0 {ground.at(*after)}"
    return f"{path}Z"


def _stem(ground: _Ground, middle_m: float, high_m: float, wide_m: float) -> Iterator[Stroke]:
    yield Stroke(path=ground.line((middle_m, 0.0), (middle_m, 0.72 * high_m)), kind="ink")
    for share, side in ((0.42, -1.0), (0.5, 1.0), (0.6, -0.7)):
        start = (middle_m, share * high_m)
        end = (middle_m + side * 0.28 * wide_m, min(0.82, share + 0.22) * high_m)
        yield Stroke(path=ground.line(start, end), kind="ink")


def _trained(
    ground: _Ground, middle_m: float, high_m: float, wide_m: float, form: TreeForm
) -> Iterator[str]:
    left_m, right_m = middle_m - wide_m / 2.0, middle_m + wide_m / 2.0
    if form is TreeForm.CORDON:
        reach_m = min(high_m, wide_m)
        foot_m = middle_m - reach_m / 2.0
        yield ground.line((foot_m, 0.0), (foot_m + reach_m, high_m))
        return
    if form is TreeForm.FAN:
        for turn in (0.15, 0.28, 0.41, 0.59, 0.72, 0.85):
            end = (middle_m + cos(pi * turn) * wide_m / 2.0, 0.3 + sin(pi * turn) * (high_m - 0.3))
            yield ground.line((middle_m, 0.3), end)
        yield ground.line((middle_m, 0.0), (middle_m, 0.3))
        return
    yield ground.line((middle_m, 0.0), (middle_m, high_m))
    if form is TreeForm.STEPOVER:
        yield ground.line((left_m, high_m), (right_m, high_m))
    elif form is TreeForm.ESPALIER:
        for tier in range(1, int(high_m / _TIER_M) + 1):
            yield ground.line((left_m, tier * _TIER_M), (right_m, tier * _TIER_M))
