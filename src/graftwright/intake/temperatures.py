"""A logger's or weather station's own file read into days or hours at a place."""

from pathlib import Path

from graftwright.errors import DamagedFile
from graftwright.intake.reading import NO_ANSWERS, Answers, Reading
from graftwright.intake.tables import tables_from
from graftwright.intake.workbook import reading_of_tables


def read_temperatures(
    source: Path | bytes, *, name: str, place: str, answers: Answers = NO_ANSWERS
) -> Reading:
    """Read a file of temperatures: daily lowest and highest, or hourly.

    Separator, decimal comma, order of columns and units are found out; what is open is asked. A
    row that names no place is of `place` (a place's code or name). Raises DamagedFile if the file
    cannot be opened or holds no such columns.
    """
    reading = reading_of_tables(
        tables_from(source, name=name), name=name, answers=answers, warm_at=place
    )
    if not reading.counts:
        raise DamagedFile(
            f"{name} holds no temperatures that were understood; expected columns such as date, "
            f"min °C, max °C, or time, temperature °C: name them so in the first row"
        )
    return reading
