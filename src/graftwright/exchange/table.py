"""A table for other programs: its name, what it holds, its columns and its rows."""

from dataclasses import dataclass
from datetime import date

from graftwright.errors import OutOfRange
from graftwright.tongue import told

Cell = None | bool | int | float | str | date


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """Rows under a header. Raises OutOfRange for a row longer or shorter than the header."""

    name: str
    words: str
    header: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]

    def __post_init__(self) -> None:
        for number, row in enumerate(self.rows, 1):
            if len(row) != len(self.header):
                raise OutOfRange(
                    told(
                        "row {number} of {name} has {count} cells, the header {count_2}; make "
                        "them equal",
                        number=number,
                        name=self.name,
                        count=len(row),
                        count_2=len(self.header),
                    )
                )
