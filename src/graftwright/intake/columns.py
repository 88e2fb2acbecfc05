"""Every sheet and column of the workbook, in the order in which the template shows them."""

from typing import Final

from graftwright.errors import NotUnderstood
from graftwright.intake.column import Sheet
from graftwright.intake.columns_nursery import (
    BENCH_DAYS,
    FACTS_SHEET,
    LOTS,
    MATERIALS,
    PLACES,
    PRACTICES,
)
from graftwright.intake.columns_results import DAYS, HOURS, RESULTS, RUNS, TREE_CHECKS
from graftwright.intake.columns_wood import MOTHER_TREES, PROMISES, STICKS

SHEETS: Final[tuple[Sheet, ...]] = (
    FACTS_SHEET,
    PRACTICES,
    PLACES,
    PROMISES,
    MOTHER_TREES,
    STICKS,
    LOTS,
    BENCH_DAYS,
    MATERIALS,
    RESULTS,
    RUNS,
    TREE_CHECKS,
    DAYS,
    HOURS,
)
EXPLAINED_SHEET: Final = "how to fill in"


def sheet_called(name: str) -> Sheet:
    """Return the sheet of this name. Raises NotUnderstood, listing the names there are."""
    for sheet in SHEETS:
        if sheet.name == name:
            return sheet
    raise NotUnderstood(
        f"no sheet is called {name!r}; expected one of: {', '.join(s.name for s in SHEETS)}"
    )
