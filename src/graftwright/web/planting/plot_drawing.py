"""A planting plan as a drawing to scale on the page."""

from dataclasses import dataclass

from graftwright.season.planting_plan import PlantingPlan, TreePlace

_WIDTH, _MOST_HEIGHT = 360.0, 520.0
_MARGIN = 14.0
_ROOM_FOR_NUMBER = 18.0


@dataclass(frozen=True, slots=True, kw_only=True)
class CrownDrawn:
    """One tree: its number, its place, its smallest and largest crown."""

    number: int
    x: str
    y: str
    text_x: str
    text_y: str
    anchor: str
    small: str
    large: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PlotDrawn:
    """The plot in the units of its view box, north at the top."""

    width: str
    height: str
    plot_width: str
    plot_height: str
    crowns: tuple[CrownDrawn, ...]
    bar_m: int
    bar_end: str
    bar_y: str


def plot_drawn(plan: PlantingPlan) -> PlotDrawn:
    """Return the drawing of a plan; crowns may reach over the boundary."""
    plot = plan.plot
    units = min(
        (_WIDTH - 2.0 * _MARGIN) / plot.width_m, (_MOST_HEIGHT - 2.0 * _MARGIN) / plot.depth_m
    )
    crowns = tuple(_crown(place, plan, units) for place in plan.places)
    bar_m = max((m for m in (1, 2, 5, 10, 20, 50, 100) if m * units <= 120.0), default=1)
    foot = 2.0 * _MARGIN + plot.depth_m * units
    return PlotDrawn(
        width=f"{_WIDTH:.0f}",
        height=f"{foot + 26.0:.0f}",
        plot_width=f"{plot.width_m * units:.1f}",
        plot_height=f"{plot.depth_m * units:.1f}",
        crowns=crowns,
        bar_m=bar_m,
        bar_end=f"{_MARGIN + bar_m * units:.1f}",
        bar_y=f"{foot + 4.0:.1f}",
    )


def _crown(place: TreePlace, plan: PlantingPlan, units: float) -> CrownDrawn:
    """One tree; its number stands within a wide inner ring, else beside a narrow one."""
    x = _MARGIN + place.east_m * units
    y = _MARGIN + (plan.plot.depth_m - place.north_m) * units
    ring = place.spread_low_m / 2.0 * units
    is_wide = ring > _ROOM_FOR_NUMBER
    return CrownDrawn(
        number=place.number,
        x=f"{x:.1f}",
        y=f"{y:.1f}",
        text_x=f"{x if is_wide else x + ring + 2.5:.1f}",
        text_y=f"{y - 5.0 if is_wide else y + 4.0:.1f}",
        anchor="middle" if is_wide else "start",
        small=f"{ring:.1f}",
        large=f"{place.spread_high_m / 2.0 * units:.1f}",
    )
