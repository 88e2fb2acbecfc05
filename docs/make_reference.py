"""Make the documents that repeat what the program knows: sources, workbook, address for programs.

Run from the project's root after `make test` has set things up:
    .venv/bin/python docs/make_reference.py
They are sources.md, spreadsheet.md and openapi.json. A test fails when one is out of date.
"""

import json
import os
from collections.abc import Iterator
from pathlib import Path

import django

from graftwright.intake import SHEETS
from graftwright.intake.column import Column, Sheet
from graftwright.sources import SOURCES, Source, climate, losses, planting, trade, wood

# the address for programs is described by modules that ask for settings when they are loaded
os.environ.setdefault("DJANGO_SETTINGS_MODULE", "graftwright.web.settings")
django.setup()

from graftwright.web.api.document import api_document  # noqa: E402

_FOLDER = Path(__file__).parent
_ROOMS = (
    ("Climate: chill, heat, days, callus, frost", climate.SOURCES),
    ("Losses: take, sizing, intervals", losses.SOURCES),
    ("Planting: stocks, varieties, pollen, joins", planting.SOURCES),
    ("Wood: cuts, joins, dividing", wood.SOURCES),
    ("Trade: codes, calendar, practice", trade.SOURCES),
)
_SEEN = (
    ("read", "the text itself was read"),
    ("second-hand", "as quoted by another source"),
    ("data", "an open data set"),
    ("software", "figures made by a reference implementation or an exact computation"),
    ("memory", "not checked; no test rests on it"),
)


def sources_text() -> str:
    """Return the bibliography as a document."""
    return "\n".join(_sources_lines()) + "\n"


def spreadsheet_text() -> str:
    """Return every sheet and column of the workbook as a document."""
    return "\n".join(_spreadsheet_lines()) + "\n"


def openapi_text() -> str:
    """Return the description of the address for programs."""
    return json.dumps(api_document(), ensure_ascii=False, indent=1, sort_keys=True) + "\n"


def _sources_lines() -> Iterator[str]:
    yield "# Sources"
    yield ""
    yield (
        f"The {len(SOURCES)} sources that Graftwright's figures and tests name. This page is made "
        "from `src/graftwright/sources/` by `docs/make_reference.py`; change it there."
    )
    yield ""
    yield "How each was seen:"
    yield ""
    for word, meaning in _SEEN:
        count = sum(1 for source in SOURCES.values() if source.checked == word)
        yield f"- *{word}* ({count}): {meaning}."
    for heading, sources in _ROOMS:
        yield ""
        yield f"## {heading}"
        yield ""
        yield "| key | source | where | seen |"
        yield "|---|---|---|---|"
        for key in sorted(sources, key=str.casefold):
            yield _source_row(key, sources[key])


def _source_row(key: str, source: Source) -> str:
    year = f" ({source.year})" if source.year else ""
    cited = f"{source.author}{year}: {source.title}"
    return f"| {key} | {_cell(cited)} | {_cell(source.where)} | {source.checked} |"


def _spreadsheet_lines() -> Iterator[str]:
    yield "# The workbook: sheets and columns"
    yield ""
    yield from _INTRODUCTION
    for sheet in SHEETS:
        yield from _sheet_lines(sheet)


_INTRODUCTION = (
    "This page is made from `src/graftwright/intake/columns*.py` by `docs/make_reference.py`; "
    "change it there. `graftwright template winter.xlsx` writes an empty workbook with these "
    "sheets; its first sheet, *how to fill in*, explains each column in the same words.",
    "",
    "- Sheets and columns may stand in any order; what is not used may be left out. A folder of "
    "CSV files, one for each sheet, does as well as a workbook.",
    "- The names under *also read as* are understood too, whatever their capitals and spaces.",
    '- Units may stand at the head of a column, `base (in)`, or in a cell, `3/8"`. Lengths: mm, '
    "cm, inches, fractions of an inch; temperatures: °C or °F; decimal comma or point. Where no "
    "unit is written, one is taken only if it makes the whole column plausible, and the reading "
    "says so.",
    "- A date that can be read two ways is asked about, never guessed. `2027-01-20` is always "
    "clear.",
    "- A row that cannot be read is listed with its sheet, row, column and a reason; the other "
    "rows are kept aside until `graftwright enter`.",
    "- Things are told apart by *code* (the five characters on a tag) or, before they have one, "
    "by *mark* (any word of your own, the same in every sheet).",
)


def _sheet_lines(sheet: Sheet) -> Iterator[str]:
    yield ""
    yield f"## {sheet.name}"
    yield ""
    yield sheet.explanation
    if sheet.also:
        yield ""
        yield f"The sheet may also be called {', '.join(f'*{name}*' for name in sheet.also)}."
    yield ""
    yield "| column | what stands in it | example | kind | also read as |"
    yield "|---|---|---|---|---|"
    for column in sheet.columns:
        yield _column_row(column)


def _column_row(column: Column) -> str:
    needed = " **Needed.**" if column.required else ""
    also = ", ".join(column.also)
    return (
        f"| {_cell(column.head)} | {_cell(column.explanation)}{needed} | {_cell(column.example)} "
        f"| {_cell(_kind(column))} | {_cell(also)} |"
    )


def _kind(column: Column) -> str:
    words = [str(column.kind)]
    if column.choices:
        words = ["one of: " + ", ".join(choice.word for choice in column.choices)]
    if column.allowed:
        low, high = column.allowed
        words.append(f"{low:,.10g} to {high:,.10g}")
    return "; ".join(words)


def _cell(text: str) -> str:
    return text.replace("|", "\\|").replace("\n", " ").strip()


def main() -> None:
    """Write all of them."""
    (_FOLDER / "openapi.json").write_text(openapi_text(), encoding="utf-8")
    (_FOLDER / "sources.md").write_text(sources_text(), encoding="utf-8")
    (_FOLDER / "spreadsheet.md").write_text(spreadsheet_text(), encoding="utf-8")


if __name__ == "__main__":
    main()
