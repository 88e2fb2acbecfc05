"""A table for other programs: its name, what it holds, its columns and its rows."""

from dataclasses import dataclass
from datetime import date

from graftwright.errors import OutOfRange

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
                    f"row {number} of {self.name} has {len(row)} cells, the header "
                    f"{len(self.header)}; make them equal"
                )
