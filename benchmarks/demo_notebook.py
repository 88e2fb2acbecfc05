"""The demo's notebook, entered into a folder of its own, for the benchmarks that need one."""

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager, redirect_stdout
from pathlib import Path
from tempfile import TemporaryDirectory

from graftwright.cli.folder import open_notebook

DEMO_DAY = "2009-02-17"


@contextmanager
def demo_notebook() -> Iterator[Path]:
    """Enter the invented nursery as the demo does, workbook and all; take the folder away after."""
    with TemporaryDirectory(prefix="graftwright-") as name:
        os.environ["GRAFTWRIGHT_NOTEBOOK"] = name
        os.environ["GRAFTWRIGHT_DAY"] = DEMO_DAY
        open_notebook()
        with redirect_stdout(sys.stderr):
            _enter()
        yield Path(name)


def _enter() -> None:
    # The store may be loaded only after Django is set up on the folder.
    from graftwright.cli.spreadsheet import enter_reading  # noqa: PLC0415
    from graftwright.demo import DEFAULT_DAY, demo_workbook, entries_until  # noqa: PLC0415
    from graftwright.intake.workbook import read_workbook  # noqa: PLC0415
    from graftwright.store.append import write_many  # noqa: PLC0415

    write_many(entries_until(DEFAULT_DAY), written_by="demo")
    enter_reading(read_workbook(demo_workbook(), name="winter-2009.xlsx"), by="demo")
