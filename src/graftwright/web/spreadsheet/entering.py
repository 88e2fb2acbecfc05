"""Good rows into the notebook: all or none."""

from datetime import date

from graftwright.intake.entering import Entered, codes_needed, enter
from graftwright.intake.reading import Reading
from graftwright.notebook.entries.entry import Entry
from graftwright.notebook.notebook import Notebook
from graftwright.store.append import write_many
from graftwright.store.codes import next_codes
from graftwright.store.read import all_written, read_notebook

_ROUNDS = 4


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
    """Return the entries with enough codes at hand.

    A free code that the workbook itself names for something is passed over, so that more codes may
    be wanted than are used; then more are asked for.
    """
    needed_count = codes_needed(reading, notebook, today=today, already=already)
    for more in range(_ROUNDS):
        codes = next_codes(needed_count * 2**more, today=today) if needed_count else ()
        entered = enter(reading, notebook, iter(codes), today=today, already=already)
        if entered.codes_used_count >= needed_count:
            break
    return entered
