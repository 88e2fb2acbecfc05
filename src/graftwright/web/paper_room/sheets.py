"""The sheets and rolls of labels to choose from: those everybody has, and those kept by name."""

import json
from collections.abc import Mapping

from graftwright.errors import GraftwrightError, OutOfRange
from graftwright.notebook.entries import PracticeSet
from graftwright.notebook.standing import Nursery
from graftwright.notebook.written import from_plain, plain
from graftwright.paper.label_grid import OFFICE_GRID, ROLL_GRID, SMALL_GRID, STRIP_GRID, LabelGrid
from graftwright.store.append import write
from graftwright.tongue import marked, told
from graftwright.web.standing_on import today

# A sheet is kept as a practice of the nursery, so that it travels with the notebook.
_PRACTICE = "label sheet: "
_LONGEST_NAME = 40
_USUAL = {"office": OFFICE_GRID, "small": SMALL_GRID, "strip": STRIP_GRID, "roll": ROLL_GRID}
_KINDS = {
    "strip": marked("Tie-on strips to cut from a plain sheet"),
    "roll": marked("A roll of labels"),
}


def grids(nursery: Nursery) -> Mapping[str, LabelGrid]:
    """Return every sheet by the word it is chosen with; one that reads as no sheet is left out."""
    found = dict(_USUAL)
    for practice in nursery.practices:
        if practice.practice.startswith(_PRACTICE) and practice.value:
            try:
                found[practice.practice] = from_plain(LabelGrid, json.loads(practice.value))
            except (GraftwrightError, ValueError):
                continue
    return found


def choices(nursery: Nursery) -> list[tuple[str, str]]:
    """Return the sheets as a form offers them: the word, and what is read beside it."""
    return [(key, _words(key, grid)) for key, grid in grids(nursery).items()]


def keep_grid(name: str, grid: LabelGrid) -> str:
    """Keep a sheet under a name and return the word it is chosen with; of two alike the last stays.

    Raises OutOfRange for a name that is none.
    """
    words = " ".join(name.split())
    if not 1 <= len(words) <= _LONGEST_NAME:
        raise OutOfRange(
            told(
                "a sheet named {words!r}; expected 1 to {LONGEST_NAME} signs",
                words=words[:50],
                LONGEST_NAME=_LONGEST_NAME,
            )
        )
    value = json.dumps(plain(grid), sort_keys=True)
    write(PracticeSet(happened_on=today(), practice=_PRACTICE + words, value=value))
    return _PRACTICE + words


def forget_grid(key: str, nursery: Nursery) -> bool:
    """Write down that a kept sheet is no longer used; say whether there was one."""
    known = key in grids(nursery) and key not in _USUAL
    if known:
        write(PracticeSet(happened_on=today(), practice=key, value=""))
    return known


def _words(key: str, grid: LabelGrid) -> str:
    size = told(
        "{label_width_mm:g} × {label_height_mm:g} mm",
        label_width_mm=grid.label_width_mm,
        label_height_mm=grid.label_height_mm,
    )
    if grid.position_count == 1:
        measures = size
    else:
        measures = told(
            "{column_count} across, {row_count} down, each {size}",
            column_count=grid.column_count,
            row_count=grid.row_count,
            size=size,
        )
    name = key.removeprefix(_PRACTICE) if key not in _USUAL else _KINDS.get(key, "")
    return f"{name}: {measures}" if name else told("{measures}, on A4", measures=measures)
