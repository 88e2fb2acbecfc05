"""A planting plan as a map file any map program opens (GeoJSON, RFC 7946)."""

import json
from math import cos, radians, sin, sqrt

from graftwright.errors import OutOfRange
from graftwright.paper.lettering import composed
from graftwright.season.planting_plan import PlantingPlan, TreePlace
from graftwright.tongue import told

# The ellipsoid that RFC 7946 lays down: WGS 84.
_EQUATOR_RADIUS_M = 6_378_137.0
_FLATTENING = 1.0 / 298.257_223_563
_MOST_LATITUDE_DEG = 85.0
_DECIMALS = 8  # about a millimetre
_Value = str | float | int | None
_Position = tuple[float, float]


def planting_geojson(
    plan: PlantingPlan, *, latitude_deg: float, longitude_deg: float, name: str = ""
) -> bytes:
    """Return the plan as a FeatureCollection: the plot as a polygon, every tree as a point.

    Parameters
    ----------
    latitude_deg, longitude_deg
        The plot's south-west corner, WGS 84; the plot's sides run due north and due east.

    Raises
    ------
    OutOfRange
        If the corner lies off the globe, or too near a pole for a plot.

    Source
    ------
    RFC7946: positions are longitude, latitude; the outer ring runs anticlockwise and is closed.
    """
    if not abs(latitude_deg) <= _MOST_LATITUDE_DEG or not abs(longitude_deg) <= 180.0:
        raise OutOfRange(
            told(
                "corner at {latitude_deg}, {longitude_deg}; expected a latitude of -85 "
                "to 85 and a longitude of -180 to 180 degrees; are the two swapped?",
                latitude_deg=latitude_deg,
                longitude_deg=longitude_deg,
            )
        )
    corner = (longitude_deg, latitude_deg)
    features = [_plot_feature(plan, corner, name)]
    features += [_tree_feature(place, corner) for place in plan.places]
    whole = {"type": "FeatureCollection", "features": features}
    return json.dumps(whole, ensure_ascii=False, indent=1).encode()


def degrees_per_metre(latitude_deg: float) -> tuple[float, float]:
    """Return the degrees of longitude and of latitude that one metre spans at a latitude.

    Source
    ------
    RFC7946 names WGS 84, whose two figures fix the radii of curvature.
    """
    squared = _FLATTENING * (2.0 - _FLATTENING)
    bend = 1.0 - squared * sin(radians(latitude_deg)) ** 2
    north_radius_m = _EQUATOR_RADIUS_M * (1.0 - squared) / bend**1.5
    east_radius_m = _EQUATOR_RADIUS_M / sqrt(bend) * cos(radians(latitude_deg))
    degree = radians(1.0)
    return 1.0 / (east_radius_m * degree), 1.0 / (north_radius_m * degree)


def _position(east_m: float, north_m: float, corner: _Position) -> list[float]:
    per_east, per_north = degrees_per_metre(corner[1])
    longitude = corner[0] + east_m * per_east
    longitude = (longitude + 180.0) % 360.0 - 180.0 if longitude > 180.0 else longitude
    return [round(longitude, _DECIMALS), round(corner[1] + north_m * per_north, _DECIMALS)]


def _plot_feature(plan: PlantingPlan, corner: _Position, name: str) -> dict[str, object]:
    wide_m, deep_m = plan.plot.width_m, plan.plot.depth_m
    corners = ((0.0, 0.0), (wide_m, 0.0), (wide_m, deep_m), (0.0, deep_m), (0.0, 0.0))
    ring = [_position(east_m, north_m, corner) for east_m, north_m in corners]
    about: dict[str, _Value] = {"name": composed(name) or "plot", "form": plan.form.value}
    return {
        "type": "Feature",
        "geometry": {"type": "Polygon", "coordinates": [ring]},
        "properties": about,
    }


def _tree_feature(place: TreePlace, corner: _Position) -> dict[str, object]:
    about: dict[str, _Value] = {
        "number": place.number,
        "row": place.row,
        "variety": composed(place.variety),
        "stock": composed(place.stock),
        "spread_low_m": round(place.spread_low_m, 1),
        "spread_high_m": round(place.spread_high_m, 1),
        "height_low_m": round(place.height_low_m, 1),
        "height_high_m": round(place.height_high_m, 1),
    }
    return {
        "type": "Feature",
        "id": place.number,
        "geometry": {
            "type": "Point",
            "coordinates": _position(place.east_m, place.north_m, corner),
        },
        "properties": about,
    }
