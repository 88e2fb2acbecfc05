"""Mother trees on a map, and people as address cards."""

import json
from datetime import date
from xml.etree import ElementTree

import pytest
import vobject

from graftwright.errors import NotUnderstood
from graftwright.exchange import (
    gpx_of_geojson,
    mother_trees_geojson,
    mother_trees_gpx,
    people_vcards,
)
from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import MotherTree, Promise
from tests.exchange.record import demo_notebook

GPX = {"g": "http://www.topografix.com/GPX/1/1"}
HERE = MotherTree(
    code="K4T76",
    names=("Afal Ŵyn & co",),
    site="by the <gate>",
    latitude_deg=54.1234567,
    longitude_deg=-2.5,
)
NOWHERE = MotherTree(code="22223", names=("unknown",))


@pytest.mark.source("RFC7946", "3.1.1: longitude first, then latitude")
def test_a_mother_tree_is_a_point_with_longitude_first() -> None:
    whole = json.loads(mother_trees_geojson([HERE, NOWHERE]))
    assert whole["type"] == "FeatureCollection"
    (feature,) = whole["features"]
    assert feature["geometry"] == {"type": "Point", "coordinates": [-2.5, 54.1234567]}
    assert feature["properties"]["name"] == "Afal Ŵyn & co"


@pytest.mark.source("GPX11", "wpt: lat and lon, then name before desc")
def test_a_mother_tree_is_a_waypoint_with_its_name_before_its_description() -> None:
    root = ElementTree.fromstring(mother_trees_gpx([HERE, NOWHERE]))
    assert root.attrib["version"] == "1.1"
    assert root.attrib["creator"]
    (point,) = root.findall("g:wpt", GPX)
    assert (float(point.attrib["lat"]), float(point.attrib["lon"])) == (54.1234567, -2.5)
    assert [part.tag.split("}")[1] for part in point] == ["name", "desc"]
    assert point.findtext("g:name", namespaces=GPX) == "Afal Ŵyn & co K4T76"


def test_signs_that_xml_cannot_hold_are_left_out_of_a_waypoint() -> None:
    tree = MotherTree(code="K4T76", names=("a\x00b\ud800c",), latitude_deg=1.0, longitude_deg=2.0)
    root = ElementTree.fromstring(mother_trees_gpx([tree]))
    assert root.findtext("g:wpt/g:name", namespaces=GPX) == "abc K4T76"


def test_the_points_of_a_planting_become_waypoints_and_its_outline_does_not() -> None:
    point = {"type": "Point", "coordinates": [-2.5, 54.0]}
    outline = {"type": "Polygon", "coordinates": [[[0, 0], [1, 0], [1, 1], [0, 0]]]}
    features = [
        {"type": "Feature", "geometry": outline, "properties": {}},
        {"type": "Feature", "id": 3, "geometry": point, "properties": {"variety": "Discovery"}},
    ]
    content = json.dumps({"type": "FeatureCollection", "features": features}).encode()
    root = ElementTree.fromstring(gpx_of_geojson(content))
    assert [p.findtext("g:name", namespaces=GPX) for p in root] == ["Discovery 3"]
    with pytest.raises(NotUnderstood):
        gpx_of_geojson(b"[]")


@pytest.mark.source("RFC6350", "3.1 to 3.4: line ends, folding, escaping")
def test_each_person_has_one_card_that_another_library_reads() -> None:
    content = people_vcards(demo_notebook())
    lines = content.split(b"\r\n")
    assert max(map(len, lines)) <= 75
    assert b"\n" not in content.replace(b"\r\n", b"")
    cards = list(vobject.readComponents(content.decode()))
    notebook = demo_notebook()
    wanted = {one.who for one in notebook.promises.values()}
    wanted |= {one.owner for one in notebook.mother_trees.values() if one.owner}
    assert sorted(card.fn.value for card in cards) == sorted(wanted)
    assert len({card.uid.value for card in cards}) == len(cards)


def test_awkward_names_survive_and_only_those_asked_for_are_given() -> None:
    who = "Łódź; Sons, and Ŵ\\co " + "é" * 60
    promise = Promise(
        code="K4T76", who=who, variety="a\nb", stock="M9", wanted_count=1, made_on=date(2009, 1, 1)
    )
    other = Promise(
        code="22223", who="Other", variety="x", stock="M9", wanted_count=1, made_on=date(2009, 1, 1)
    )
    notebook = Notebook(promises={"K4T76": promise, "22223": other})
    (card,) = vobject.readComponents(people_vcards(notebook, only=[who]).decode())
    assert card.fn.value == who
    assert "a b" in card.note.value
