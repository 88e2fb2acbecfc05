"""Cambial contact measured against published vectors.

    python -m benchmarks.geometry FOLDER

FOLDER holds perimeter.csv, whip_at_position.csv, whip_named.csv, tongue.csv, cleft_one_side.csv,
veneer.csv and chip.csv, any of which may be missing. Prints one JSON object per file: rows, rows
within the allowed error, the worst error as a part of the allowed one, and seconds.
"""

import argparse
import csv
import json
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path

from graftwright.wood import (
    CutFace,
    Placement,
    bark_flush_lateral_mm,
    best_contact,
    best_lateral_contact,
    cambium_flush_lateral_mm,
    chip_contact,
    cleft_contact,
    contact_at,
    tongue_contact,
    veneer_contact,
)

Row = dict[str, str]
_LOWER_BOUND_SLACK = 0.005
_FAR_TOO_MUCH = 1e9


def main(arguments: list[str]) -> int:
    """Measure every file of the folder; 0 if every row is within its allowed error."""
    parser = argparse.ArgumentParser(prog="benchmarks.geometry", description=__doc__)
    parser.add_argument("folder", type=Path)
    folder = parser.parse_args(arguments).folder
    is_good = True
    for name, errors_of in _FILES.items():
        path = folder / name
        if path.exists():
            is_good &= _measure(path, errors_of)
    return 0 if is_good else 1


def _measure(path: Path, errors_of: Callable[[Row], Iterator[float]]) -> bool:
    with path.open(encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    began = time.perf_counter()
    worst = [max(errors_of(row)) for row in rows]
    seconds = time.perf_counter() - began
    within = sum(error <= 1.0 for error in worst)
    print(
        json.dumps(
            {
                "file": path.name,
                "rows": len(rows),
                "within": within,
                "worst_error_of_allowed": round(max(worst), 5),
                "seconds": round(seconds, 3),
            }
        ),
        flush=True,
    )
    return within == len(rows)


def _number(row: Row, column: str) -> float:
    return float(row[column])


def _face(row: Row, who: str, cut_length_mm: float | None = None) -> CutFace:
    return CutFace(
        diameter_mm=_number(row, f"{who}_diameter_mm"),
        bark_mm=_number(row, f"{who}_bark_mm"),
        cut_length_mm=cut_length_mm or _number(row, f"{who}_cut_mm"),
    )


def _off(found: float | None, row: Row, column: str, allowed: float) -> float:
    """Return the error as a part of the allowed one; an empty cell expects nothing."""
    if found is None or not row[column]:
        return 0.0 if found is None and not row[column] else _FAR_TOO_MUCH
    return abs(found - float(row[column])) / allowed


def _perimeter(row: Row) -> Iterator[float]:
    face = CutFace(
        diameter_mm=_number(row, "diameter_mm"),
        bark_mm=_number(row, "bark_mm"),
        cut_length_mm=_number(row, "cut_length_mm"),
    )
    yield _off(face.half_major_mm, row, "half_major_mm", 1e-6)
    yield _off(face.cambium_radius_mm, row, "half_minor_mm", 1e-6)
    yield _off(face.cambium_line_mm, row, "cambium_line_mm", 1e-6)


def _at_position(row: Row) -> Iterator[float]:
    contact = contact_at(
        _face(row, "scion"),
        _face(row, "stock"),
        placement=Placement(
            lateral_mm=_number(row, "lateral_mm"),
            lengthwise_mm=_number(row, "lengthwise_mm"),
            turn_deg=_number(row, "turn_deg"),
        ),
        tolerance_mm=_number(row, "tolerance_mm"),
    )
    yield _off(contact.contact_mm, row, "contact_mm", _number(row, "allowed_error_mm"))


def _named(row: Row) -> Iterator[float]:
    scion, stock = _face(row, "scion"), _face(row, "stock")
    tolerance_mm = _number(row, "tolerance_mm")
    for column, lateral_mm in (
        ("centred_mm", 0.0),
        ("cambium_flush_mm", cambium_flush_lateral_mm(scion, stock)),
        ("bark_flush_mm", bark_flush_lateral_mm(scion, stock)),
    ):
        place = Placement(lateral_mm=lateral_mm)
        found = contact_at(scion, stock, placement=place, tolerance_mm=tolerance_mm)
        yield _off(found.contact_mm, row, column, max(0.1, 0.01 * _number(row, column)))
    for column, best in (
        ("best_lateral_mm", best_lateral_contact(scion, stock, tolerance_mm=tolerance_mm)),
        ("best_any_mm", best_contact(scion, stock, tolerance_mm=tolerance_mm)),
    ):
        missing = 1.0 - best.contact_mm / _number(row, column)
        yield max(0.0, missing) / _LOWER_BOUND_SLACK


def _tongue(row: Row) -> Iterator[float]:
    found = tongue_contact(
        _face(row, "scion", 40.0),
        _face(row, "stock", 40.0),
        engaged_mm=_number(row, "engaged_mm"),
        lateral_mm=_number(row, "lateral_mm"),
        tolerance_mm=_number(row, "tolerance_mm"),
    )
    yield _off(found.scion_half_width_mm, row, "scion_half_width_mm", 1e-6)
    yield _off(found.stock_half_width_mm, row, "stock_half_width_mm", 1e-6)
    yield _off(found.added_contact_mm, row, "added_contact_mm", 1e-6)
    yield _off(found.added_line_mm, row, "added_line_mm", 1e-6)


def _cleft(row: Row) -> Iterator[float]:
    for column, is_set_inside in (("flush_contact_mm", False), ("best_contact_mm", True)):
        found = cleft_contact(
            scion_diameter_mm=_number(row, "scion_diameter_mm"),
            scion_bark_mm=_number(row, "scion_bark_mm"),
            wedge_mm=_number(row, "wedge_mm"),
            tolerance_mm=_number(row, "tolerance_mm"),
            is_set_inside=is_set_inside,
        )
        yield _off(found.contact_mm, row, column, 0.005)
        yield _off(found.line_mm, row, "outer_edge_line_mm", 0.005)


def _veneer(row: Row) -> Iterator[float]:
    found = veneer_contact(
        _face(row, "scion"),
        stock_diameter_mm=_number(row, "stock_diameter_mm"),
        stock_bark_mm=_number(row, "stock_bark_mm"),
        tolerance_mm=_number(row, "tolerance_mm"),
    )
    yield _off(found.stock_half_width_mm, row, "stock_half_width_mm", 0.005)
    yield _off(found.stock_cut_depth_mm, row, "stock_cut_depth_mm", 0.005)
    yield _off(found.contact.contact_mm, row, "contact_mm", 0.005)
    yield _off(found.contact.line_mm, row, "scion_line_mm", 0.005)
    yield _off(found.contact.share_fraction, row, "share", 0.005)


def _chip(row: Row) -> Iterator[float]:
    found = chip_contact(
        scion_diameter_mm=_number(row, "scion_diameter_mm"),
        scion_bark_mm=_number(row, "scion_bark_mm"),
        chip_depth_mm=_number(row, "chip_depth_mm"),
        chip_length_mm=_number(row, "chip_length_mm"),
        stock_diameter_mm=_number(row, "stock_diameter_mm"),
        stock_bark_mm=_number(row, "stock_bark_mm"),
        tolerance_mm=_number(row, "tolerance_mm"),
    )
    yield _off(found.chip_half_width_mm, row, "chip_half_width_mm", 1e-6)
    yield _off(found.stock_depth_for_two_sides_mm, row, "stock_depth_for_two_sides_mm", 1e-6)
    yield _off(found.two_sides_contact_mm, row, "contact_two_sides_mm", 1e-6)
    yield _off(found.stock_half_width_same_depth_mm, row, "stock_half_width_same_depth_mm", 1e-6)
    yield _off(found.same_depth_contact_mm, row, "contact_same_depth_mm", 1e-6)


_FILES: dict[str, Callable[[Row], Iterator[float]]] = {
    "perimeter.csv": _perimeter,
    "whip_at_position.csv": _at_position,
    "whip_named.csv": _named,
    "tongue.csv": _tongue,
    "cleft_one_side.csv": _cleft,
    "veneer.csv": _veneer,
    "chip.csv": _chip,
}

if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
