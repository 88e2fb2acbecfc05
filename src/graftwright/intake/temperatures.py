"""A logger's or weather station's own file read into days or hours at a place."""

from collections.abc import Sequence
from pathlib import Path

from graftwright.errors import DamagedFile
from graftwright.intake.reading import NO_ANSWERS, USUAL_LATITUDE_DEG, Answers, Reading
from graftwright.intake.tables import Table, shown, tables_from
from graftwright.intake.workbook import reading_of_tables
from graftwright.tongue import told


def read_temperatures(
    source: Path | bytes,
    *,
    name: str,
    place: str,
    answers: Answers = NO_ANSWERS,
    latitude_deg: float | None = None,
    longitude_deg: float | None = None,
) -> Reading:
    """Read a file of temperatures: daily lowest and highest, or hourly.

    Separator, decimal comma, order of columns and units are found out; what is open is asked. A
    row that names no place is of `place` (a place's code or name). Hours and days are mended, and
    what was mended stands in the remarks; latitude and longitude [degrees] give the shape of days
    for long gaps. Raises DamagedFile if the file cannot be opened or holds no such columns.
    """
    tables = tables_from(source, name=name)
    reading = reading_of_tables(
        tables,
        name=name,
        answers=answers,
        warm_at=place,
        latitude_deg=USUAL_LATITUDE_DEG if latitude_deg is None else latitude_deg,
        longitude_deg=longitude_deg or 0.0,
    )
    if not reading.counts:
        raise DamagedFile(
            told(
                "{name} holds no temperatures that were understood ({first_row}); "
                "expected columns such as date, min °C, max °C, or time, temperature "
                "°C: name them so in the first row",
                name=name,
                first_row=_first_row(tables),
            )
        )
    return reading


def _first_row(tables: Sequence[Table]) -> str:
    rows = [table.rows[0] for table in tables if table.rows]
    cells = [shown(cell) for row in rows[:1] for cell in row.cells if cell is not None]
    return told("found {listed}", listed=", ".join(cells)[:120])
