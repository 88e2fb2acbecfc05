"""Good rows into the notebook: all or none."""

from datetime import date

from graftwright.intake.entering import Entered, enter
from graftwright.intake.reading import Reading
from graftwright.notebook.entries.entry import Entry
from graftwright.notebook.notebook import Notebook
from graftwright.store.append import write_many
from graftwright.store.codes import code_stream
from graftwright.store.labels import printed_labels
from graftwright.store.read import all_written, read_notebook


def enter_reading(reading: Reading, *, today: date) -> Entered:
    """Write a reading's good rows down and return what became of each row.

    Raises as store.append.write_many does; then nothing is written.
    """
    already = [one.entry for one in all_written()]
    entered = _with_codes(reading, read_notebook(), already, today=today)
    write_many(entered.entries, device="desk")
    return entered


def _with_codes(
    reading: Reading, notebook: Notebook, already: list[Entry], *, today: date
) -> Entered:
    """Return the entries, with new codes as far as they are wanted and printed ones for runs."""
    seasons = sorted({row.grafted_on.year for row in reading.runs})
    labels = [label for season in seasons for label in printed_labels(season)]
    codes = code_stream(today=today)
    return enter(reading, notebook, codes, today=today, already=already, labels=labels)
