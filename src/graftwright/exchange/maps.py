"""Mother trees on a map: GeoJSON (RFC 7946) and GPX 1.1; and the points of any GeoJSON as GPX."""

import json
from collections.abc import Iterable
from xml.etree import ElementTree

from graftwright.errors import NotUnderstood
from graftwright.notebook.standing import MotherTree
from graftwright.tongue import told

_GPX = "http://www.topografix.com/GPX/1/1"
_SCHEMA = "http://www.w3.org/2001/XMLSchema-instance"
_DECIMALS = 7  # about a centimetre


def mother_trees_geojson(trees: Iterable[MotherTree]) -> bytes:
    """Return the mother trees whose coordinates are known as a FeatureCollection.

    Source
    ------
    RFC7946: positions are longitude, latitude, in WGS 84.
    """
    features = [
        {
            "type": "Feature",
            "id": tree.code,
            "geometry": {
                "type": "Point",
                "coordinates": [
                    round(tree.longitude_deg, _DECIMALS),
                    round(tree.latitude_deg, _DECIMALS),
                ],
            },
            "properties": {
                "code": tree.code,
                "name": tree.variety,
                "certainty": tree.certainty.value,
                "site": tree.site,
                "may_be_cut": tree.permission,
                "health": None if tree.health is None else tree.health.value,
            },
        }
        for tree in trees
        if tree.longitude_deg is not None and tree.latitude_deg is not None
    ]
    whole = {"type": "FeatureCollection", "features": features}
    return json.dumps(whole, ensure_ascii=False, indent=1).encode()


def mother_trees_gpx(trees: Iterable[MotherTree]) -> bytes:
    """Return the mother trees whose coordinates are known as waypoints of a GPX 1.1 file."""
    root = _root()
    for tree in trees:
        if tree.longitude_deg is not None and tree.latitude_deg is not None:
            words = ", ".join(part for part in (tree.certainty.value, tree.site) if part)
            _add_point(
                root,
                longitude_deg=tree.longitude_deg,
                latitude_deg=tree.latitude_deg,
                name=f"{tree.variety} {tree.code}",
                words=words,
            )
    return _written(root)


def gpx_of_geojson(content: bytes) -> bytes:
    """Return the points of a GeoJSON file as waypoints of a GPX 1.1 file, without its other shapes.

    A point is named by the `variety` or `name` among its properties and its number or id. Raises
    NotUnderstood if the content is no FeatureCollection.
    """
    try:
        features = json.loads(content)["features"]
    except (ValueError, KeyError, TypeError) as wrong:
        raise NotUnderstood(
            told("no FeatureCollection: {wrong}; expected GeoJSON", wrong=wrong)
        ) from wrong
    root = _root()
    for feature in features:
        geometry, about = feature["geometry"], feature.get("properties") or {}
        if geometry["type"] != "Point":
            continue
        longitude_deg, latitude_deg = geometry["coordinates"][:2]
        name = str(about.get("variety") or about.get("name") or "tree")
        _add_point(
            root,
            longitude_deg=float(longitude_deg),
            latitude_deg=float(latitude_deg),
            name=f"{name} {feature.get('id', '')}".strip(),
            words=str(about.get("stock", "")),
        )
    return _written(root)


def _root() -> ElementTree.Element:
    ElementTree.register_namespace("", _GPX)
    ElementTree.register_namespace("xsi", _SCHEMA)
    place = f"{_GPX} {_GPX}/gpx.xsd"
    return ElementTree.Element(
        f"{{{_GPX}}}gpx",
        {"version": "1.1", "creator": "Graftwright", f"{{{_SCHEMA}}}schemaLocation": place},
    )


def _add_point(
    root: ElementTree.Element,
    *,
    longitude_deg: float,
    latitude_deg: float,
    name: str,
    words: str,
) -> None:
    # the order of the parts is fixed by the schema: name before desc
    at = {"lat": f"{latitude_deg:.{_DECIMALS}f}", "lon": f"{longitude_deg:.{_DECIMALS}f}"}
    point = ElementTree.SubElement(root, f"{{{_GPX}}}wpt", at)
    ElementTree.SubElement(point, f"{{{_GPX}}}name").text = _printable(name)
    if words:
        ElementTree.SubElement(point, f"{{{_GPX}}}desc").text = _printable(words)


def _written(root: ElementTree.Element) -> bytes:
    ElementTree.indent(root, " ")
    content: bytes = ElementTree.tostring(root, encoding="utf-8", xml_declaration=True)
    return content


def _printable(text: str) -> str:
    """Leave out the control signs and half letters that XML 1.0 cannot hold."""
    return "".join(sign for sign in text if _is_xml(ord(sign)))


def _is_xml(point: int) -> bool:
    return (
        point in (9, 10, 13)
        or 32 <= point <= 0xD7FF
        or 0xE000 <= point <= 0xFFFD
        or (point >= 0x10000)
    )
