"""A planting plan on paper and as a map file: to scale, and by the standard."""

import json
from math import cos, radians

import numpy as np
import pypdfium2
import pytest
from shapely.geometry import Point, shape

from graftwright.errors import OutOfRange
from graftwright.intake.catalogue import shipped_catalogue
from graftwright.paper.geojson import degrees_per_metre, planting_geojson
from graftwright.paper.plot_plan import drawing_scale, plot_plan_pdf
from graftwright.season.planting_plan import PlantingPlan, Plot, TreeWanted, planting_plan
from tests.paper.reading import images


def plan(width_m: float = 20.0, depth_m: float = 24.0) -> PlantingPlan:
    wanted = (
        TreeWanted(variety="Discovery", stock="M26", tree_count=4),
        TreeWanted(variety="Ashmead’s Kernel", stock="M9", tree_count=5),
    )
    plot = Plot(width_m=width_m, depth_m=depth_m, latitude_deg=54.2)
    return planting_plan(wanted, plot=plot, catalogue=shipped_catalogue())


@pytest.mark.source("RFC7946", "3.1.6: closed ring, anticlockwise; positions longitude first")
def test_the_map_file_is_laid_out_as_the_standard_says() -> None:
    whole = json.loads(planting_geojson(plan(), latitude_deg=54.2, longitude_deg=-2.3))
    assert whole["type"] == "FeatureCollection"
    plot, *trees = whole["features"]
    (ring,) = plot["geometry"]["coordinates"]
    assert ring[0] == ring[-1]
    assert len(ring) >= 4
    assert shape(plot["geometry"]).exterior.is_ccw
    assert all(-2.31 < longitude < -2.29 and 54.1 < latitude < 54.3 for longitude, latitude in ring)
    assert len(trees) == 9
    assert all(shape(plot["geometry"]).contains(Point(t["geometry"]["coordinates"])) for t in trees)
    assert {"crs"}.isdisjoint(whole)


@pytest.mark.source("WGS84", "length of a degree of latitude as a series")
@pytest.mark.parametrize("latitude_deg", [0.0, -33.0, 45.0, 54.2, 70.0])
def test_a_metre_spans_the_degrees_of_the_published_series(latitude_deg: float) -> None:
    turn = radians(latitude_deg)
    published_m = 111132.92 - 559.82 * cos(2 * turn) + 1.175 * cos(4 * turn)
    _, per_north = degrees_per_metre(latitude_deg)
    assert 1.0 / per_north == pytest.approx(published_m, abs=0.5)


@pytest.mark.source("WGS84", "a degree of longitude: 111.3 km at the equator, 74.63 km at 48 N")
@pytest.mark.parametrize(("latitude_deg", "published_km"), [(0.0, 111.3), (48.0, 74.63)])
def test_a_metre_east_spans_the_published_degrees(latitude_deg: float, published_km: float) -> None:
    per_east, _ = degrees_per_metre(latitude_deg)
    assert 1.0 / per_east / 1000.0 == pytest.approx(published_km, abs=0.05)


def test_a_corner_off_the_globe_is_refused() -> None:
    with pytest.raises(OutOfRange, match="swapped"):
        planting_geojson(plan(), latitude_deg=-154.0, longitude_deg=2.0)


def test_the_drawing_is_to_the_scale_it_names() -> None:
    drawn = plan()
    scale = drawing_scale(drawn)
    (first, *_) = images(plot_plan_pdf(drawn), dots_per_inch=200)
    dark = np.asarray(first) < 90
    mm = 25.4 / 200
    columns = np.flatnonzero(dark.sum(axis=0) * mm > 0.9 * drawn.plot.depth_m * 1000.0 / scale)
    width_mm = (columns.max() - columns.min()) * mm
    assert width_mm == pytest.approx(drawn.plot.width_m * 1000.0 / scale, abs=0.6)


@pytest.mark.parametrize(("width_m", "depth_m"), [(1.0, 1.0), (4.0, 60.0), (400.0, 400.0)])
def test_any_plot_is_drawn_and_every_tree_is_listed(width_m: float, depth_m: float) -> None:
    drawn = plan(width_m, depth_m)
    document = pypdfium2.PdfDocument(plot_plan_pdf(drawn, nursery_name="Lantern Bank Growers"))
    text = "".join(page.get_textpage().get_text_range() for page in document)
    assert text.count("Discovery") >= sum(p.variety == "Discovery" for p in drawn.places)
    for words in drawn.left_out:
        assert words.split(" ", 2)[2].split(" on ")[0] in text
