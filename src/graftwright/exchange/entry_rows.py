"""Entries as rows of a table, and back without loss.

The columns before `line` are for the eye; what is read back is the line itself, which is the same
as in the JSON-lines file, checked against its sum. A line longer than a spreadsheet's cell can hold
goes on in `line_2`, `line_3` and so on.
"""

import hashlib
import json
from collections.abc import Iterable, Sequence

from graftwright.errors import DamagedFile, GraftwrightError
from graftwright.exchange.table import Cell, Table
from graftwright.notebook.entries import Written
from graftwright.notebook.written import written_from_plain, written_to_plain
from graftwright.tongue import say, told

ENTRIES = "entries"
_LONGEST_CELL = 30_000
_SUM_LENGTH = 16
_FIRST = ("entry_id", "kind", "happened_on", "written_at", "written_by", "device", "nursery")


def entry_table(written: Iterable[Written]) -> Table:
    """Return every entry as a row, in the order given."""
    lines = [(one, _line(one)) for one in written]
    parts = max((_part_count(line) for _, line in lines), default=1)
    names = ("line", *(f"line_{number}" for number in range(2, parts + 1)))
    return Table(
        name=ENTRIES,
        words=say(
            "Every entry as it was written, in order. These rows come back in "
            "without loss: what is read is the line, checked against its sum; do "
            "not change it by hand."
        ),
        header=(*_FIRST, "sum", *names),
        rows=tuple((*_shown(one), _sum(line), *_cut(line, parts)) for one, line in lines),
    )


def entries_of_rows(
    header: Sequence[str], rows: Iterable[tuple[int, Sequence[object]]]
) -> list[Written]:
    """Return the entries of numbered rows under this header.

    Raises DamagedFile naming the row (the header is row 1) when a line does not match its sum or
    holds no entry; nothing is kept then.
    """
    names = [str(name).strip() for name in header]
    places = [place for place, name in enumerate(names) if name == "line" or _is_part(name)]
    if "sum" not in names or not places:
        raise DamagedFile(
            told(
                "the columns are {listed}; expected 'sum' and 'line' among them: this "
                "is no table of entries",
                listed=", ".join(names[:12]),
            )
        )
    sum_place = names.index("sum")
    found = []
    for number, row in rows:
        cells = [str(cell) if cell is not None else "" for cell in row]
        line = "".join(cells[place] for place in places if place < len(cells))
        found.append(_entry(line, cells[sum_place] if sum_place < len(cells) else "", number))
    return found


def _line(one: Written) -> str:
    return json.dumps(written_to_plain(one), sort_keys=True)


def _sum(line: str) -> str:
    return hashlib.sha256(line.encode()).hexdigest()[:_SUM_LENGTH]


def _shown(one: Written) -> tuple[Cell, ...]:
    plain = written_to_plain(one)
    return (
        str(one.entry_id),
        str(plain["kind"]),
        one.entry.happened_on,
        one.written_at.isoformat(),
        one.written_by,
        one.device,
        one.nursery,
    )


def _part_count(line: str) -> int:
    return -(-len(line) // _LONGEST_CELL)


def _cut(line: str, parts: int) -> tuple[str, ...]:
    return tuple(
        line[start : start + _LONGEST_CELL]
        for start in range(0, parts * _LONGEST_CELL, _LONGEST_CELL)
    )


def _is_part(name: str) -> bool:
    return name.startswith("line_") and name[5:].isdecimal()


def _entry(line: str, kept_sum: str, number: int) -> Written:
    if _sum(line) != kept_sum.strip():
        raise DamagedFile(
            told(
                "row {number}: the line was changed or cut off (its sum does not "
                "agree); use another copy, or correct the entry in the notebook itself",
                number=number,
            )
        )
    try:
        return written_from_plain(json.loads(line))
    except (GraftwrightError, ValueError, AttributeError) as wrong:
        raise DamagedFile(told("row {number}: {wrong}", number=number, wrong=wrong)) from wrong
