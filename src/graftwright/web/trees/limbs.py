"""Several varieties on one tree: a list and a drawing of where each stands."""

from dataclasses import dataclass
from math import cos, radians, sin

from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString

from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import Part, Tree
from graftwright.tongue import say

COMPASS = (
    "north",
    "north-east",
    "east",
    "south-east",
    "south",
    "south-west",
    "west",
    "north-west",
)
_SIZE, _MIDDLE, _REACH = 340, 170, 118


@dataclass(frozen=True, slots=True, kw_only=True)
class PartShown:
    """One graft on the tree in words."""

    part: Part
    variety: str
    direction: str
    state: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LimbsShown:
    """The grafts of a tree, and the tree seen from above with each in its direction."""

    parts: tuple[PartShown, ...]
    drawing: SafeString


def limbs_shown(tree: Tree, notebook: Notebook) -> LimbsShown | None:
    """Return the tree's further varieties; None where it has none."""
    if not tree.parts:
        return None
    parts = tuple(
        PartShown(
            part=part,
            variety=notebook.variety_of_bundle(part.bundle_code),
            direction=direction_words(part.bearing_deg),
            state=say("cut off with its limb") if part.removed_on else str(part.scion),
        )
        for part in tree.parts
    )
    return LimbsShown(parts=parts, drawing=_drawing([one for one in parts if one.part.is_there]))


def direction_words(bearing_deg: float) -> str:
    """Return a bearing as one of eight directions."""
    return COMPASS[round(bearing_deg / 45.0) % 8]


def _drawing(parts: list[PartShown]) -> SafeString:
    """The tree from above: the higher a graft, the farther out; its number stands beside it."""
    top_mm = max((one.part.height_mm for one in parts), default=1.0)
    marks = [_mark(one, top_mm) for one in parts]
    lines = format_html_join(
        "",
        '<line class="ink" x1="{}" y1="{}" x2="{}" y2="{}"/>'
        '<circle class="leaf-fill" cx="{}" cy="{}" r="5"/>'
        '<text x="{}" y="{}" text-anchor="middle">{}</text>',
        marks,
    )
    return format_html(
        '<svg viewBox="0 0 {} {}" role="img" aria-label="The tree from above with its grafts by '
        'number; the table beneath says each">'
        '<circle class="hair" cx="{}" cy="{}" r="{}"/><circle class="ink-fill" cx="{}" cy="{}" '
        'r="4"/><text class="faded-text" x="{}" y="20" text-anchor="middle">north</text>{}</svg>',
        *(_SIZE, _SIZE, _MIDDLE, _MIDDLE, _REACH, _MIDDLE, _MIDDLE, _MIDDLE, lines),
    )


def _mark(one: PartShown, top_mm: float) -> tuple[object, ...]:
    out = 30.0 + (_REACH - 30.0) * one.part.height_mm / top_mm
    turn = radians(one.part.bearing_deg)
    x, y = _MIDDLE + out * sin(turn), _MIDDLE - out * cos(turn)
    text_x, text_y = _MIDDLE + (out + 20) * sin(turn), _MIDDLE - (out + 20) * cos(turn) + 5
    at, words_at = (round(x, 1), round(y, 1)), (round(text_x, 1), round(text_y, 1))
    return (_MIDDLE, _MIDDLE, *at, *at, *words_at, one.part.number)
