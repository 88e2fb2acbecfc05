"""The straightened picture with what was read drawn over it, in mm of the sheet."""

from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString

from graftwright.tongue import told
from graftwright.web.wood.photo_reader import SeenPicture, SeenStick

_BUD_MM = 2.2


def picture_svg(seen: SeenPicture) -> SafeString:
    """Return an SVG of the field: the picture, both edges of each stick, numbers and buds."""
    sticks = format_html_join("", "{}", ((_stick(one),) for one in seen.sticks))
    return format_html(
        '<svg class="photo-drawing" viewBox="{} {} {} {}" role="img" aria-label="{}">'
        '<image href="data:image/jpeg;base64,{}" x="{}" y="{}" width="{}" height="{}" '
        'preserveAspectRatio="none"/>{}</svg>',
        *(round(one, 2) for one in (seen.left_mm, seen.top_mm, seen.wide_mm, seen.high_mm)),
        told(
            "The picture seen from straight above with {count} sticks outlined; "
            "the figures stand in the table",
            count=len(seen.sticks),
        ),
        seen.jpeg,
        *(round(one, 2) for one in (seen.left_mm, seen.top_mm, seen.wide_mm, seen.high_mm)),
        sticks,
    )


def _stick(stick: SeenStick) -> SafeString:
    first, last = stick.left_edge[0], stick.left_edge[-1]
    to_right = last[0] >= first[0]
    x = first[0] + (-1.5 if to_right else 1.5)
    return format_html(
        '<polyline class="photo-edge" points="{}"/><polyline class="photo-edge" points="{}"/>{}'
        '<text class="photo-number" x="{}" y="{}" text-anchor="{}">{}</text>',
        _points(stick.left_edge),
        _points(stick.right_edge),
        format_html_join(
            "",
            '<circle class="photo-bud" cx="{}" cy="{}" r="{}"/>',
            ((at[0], at[1], _BUD_MM) for at in stick.buds_at),
        ),
        round(x, 2),
        round((first[1] + stick.right_edge[0][1]) / 2.0 + 1.8, 2),
        "end" if to_right else "start",
        stick.number,
    )


def _points(edge: tuple[tuple[float, float], ...]) -> str:
    return " ".join(f"{x:g},{y:g}" for x, y in edge)
