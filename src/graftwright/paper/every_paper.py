"""All the papers of one winter at once."""

from collections.abc import Sequence

from graftwright.paper.almanac import almanac
from graftwright.paper.csv_table import csv_bytes
from graftwright.paper.cut_sheet import cut_sheet
from graftwright.paper.label_grid import OFFICE_GRID, LabelGrid
from graftwright.paper.label_words import Label
from graftwright.paper.labels import label_sheets
from graftwright.paper.order_list import order_list, order_list_csv
from graftwright.paper.paper_file import Paper
from graftwright.paper.plan_page import plan_page
from graftwright.paper.plan_text import plan_text
from graftwright.paper.run_sheet import run_sheets
from graftwright.season.planned import Plan

_PDF = "application/pdf"


def papers(
    plan: Plan, labels: Sequence[Label], *, grid: LabelGrid = OFFICE_GRID, edition: int = 0
) -> tuple[Paper, ...]:
    """Return every paper of the plan: sheets for the bench, labels, calendar, orders, the plan.

    `labels` are printed in the order given; `edition` is the calendar's (see `almanac`).
    """
    files = (
        ("cut-sheet.pdf", _PDF, cut_sheet(plan)),
        ("run-sheets.pdf", _PDF, run_sheets(plan)),
        ("labels.pdf", _PDF, label_sheets(labels, grid=grid)),
        ("calendar.ics", "text/calendar", almanac(plan, edition=edition)),
        ("order-list.pdf", _PDF, order_list(plan)),
        ("order-list.csv", "text/csv", csv_bytes(order_list_csv(plan))),
        ("plan.pdf", _PDF, plan_page(plan)),
        ("plan.txt", "text/plain", plan_text(plan).encode()),
    )
    return tuple(
        Paper(file_name=name, media_type=media_type, content=content)
        for name, media_type, content in files
    )
