"""A table in plain letters for a terminal: columns by content, long words wrapped, sober rules."""

import textwrap
from collections.abc import Sequence

from graftwright.errors import OutOfRange
from graftwright.paper.lettering import composed
from graftwright.tongue import told

_GAP = "  "


def text_table(
    header: Sequence[str],
    rows: Sequence[Sequence[str]],
    *,
    widest: Sequence[int],
    right: Sequence[int] = (),
) -> str:
    """Return a table with a rule under its head, no column wider than its `widest`. [characters]

    `right` names the columns (0 is the first) that stand at the right. Raises OutOfRange for a row
    whose length is not the header's.
    """
    table = [[composed(cell) for cell in row] for row in (header, *rows)]
    for number, row in enumerate(table):
        if len(row) != len(widest):
            raise OutOfRange(
                told(
                    "row {number} has {count} cells for {count_2} columns",
                    number=number,
                    count=len(row),
                    count_2=len(widest),
                )
            )
    widths = [
        min(limit, max(len(row[place]) for row in table)) for place, limit in enumerate(widest)
    ]
    lines = _row_lines(table[0], widths, right)
    lines.append(_GAP.join("─" * width for width in widths))
    for row in table[1:]:
        lines.extend(_row_lines(row, widths, right))
    return "\n".join(lines)


def _row_lines(row: Sequence[str], widths: Sequence[int], right: Sequence[int]) -> list[str]:
    cells = [textwrap.wrap(cell, width) or [""] for cell, width in zip(row, widths, strict=True)]
    lines = []
    for level in range(max(map(len, cells))):
        parts = (cell[level] if level < len(cell) else "" for cell in cells)
        line = _GAP.join(
            part.rjust(width) if place in right else part.ljust(width)
            for place, (part, width) in enumerate(zip(parts, widths, strict=True))
        )
        lines.append(line.rstrip())
    return lines
