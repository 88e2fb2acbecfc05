"""A person's spreadsheet read into notebook entries, and the shipped tables of the trade."""

from typing import TYPE_CHECKING

from graftwright.faces import load_when_asked

if TYPE_CHECKING:
    from graftwright.intake.catalogue import shipped_catalogue
    from graftwright.intake.columns import SHEETS
    from graftwright.intake.entering import (
        Entered,
        codes_needed,
        enter,
        entries_from_reading,
        recognised,
        unresolved,
    )
    from graftwright.intake.reading import (
        Answer,
        Answers,
        Question,
        Reading,
        Recognised,
        Remark,
        RowProblem,
        SheetCount,
        Unknown,
    )
    from graftwright.intake.temperatures import read_temperatures
    from graftwright.intake.template import (
        CsvFile,
        FilledSheet,
        folder_of_csv,
        template_bytes,
        workbook_bytes,
    )
    from graftwright.intake.workbook import answered, read_workbook

__all__ = [
    "SHEETS",
    "Answer",
    "Answers",
    "CsvFile",
    "Entered",
    "FilledSheet",
    "Question",
    "Reading",
    "Recognised",
    "Remark",
    "RowProblem",
    "SheetCount",
    "Unknown",
    "answered",
    "codes_needed",
    "enter",
    "entries_from_reading",
    "folder_of_csv",
    "read_temperatures",
    "read_workbook",
    "recognised",
    "shipped_catalogue",
    "template_bytes",
    "unresolved",
    "workbook_bytes",
]

load_when_asked(
    __name__,
    {
        "catalogue": ("shipped_catalogue",),
        "columns": ("SHEETS",),
        "entering": (
            "Entered",
            "codes_needed",
            "enter",
            "entries_from_reading",
            "recognised",
            "unresolved",
        ),
        "reading": (
            "Answer",
            "Answers",
            "Question",
            "Reading",
            "Recognised",
            "Remark",
            "RowProblem",
            "SheetCount",
            "Unknown",
        ),
        "temperatures": ("read_temperatures",),
        "template": ("CsvFile", "FilledSheet", "folder_of_csv", "template_bytes", "workbook_bytes"),
        "workbook": ("answered", "read_workbook"),
    },
)
