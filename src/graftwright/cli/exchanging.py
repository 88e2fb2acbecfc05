"""Commands for other programs: tables out and back, tokens. The notebook is open already."""

import argparse
import sys
from pathlib import Path
from uuid import UUID

from graftwright.cli.folder import today
from graftwright.errors import NotUnderstood
from graftwright.exchange import (
    csv_archive,
    notebook_tables,
    read_back,
    workbook_bytes,
)
from graftwright.store.read import all_written, read_notebook
from graftwright.store.tables_in import join_entries
from graftwright.store.tokens import Purpose, make_token, revoke_token
from graftwright.store.tokens import tokens as all_tokens
from graftwright.tongue import say, told


def tables(asked: argparse.Namespace) -> int:
    """Write every table to one file, or join the entries of such a file to this notebook."""
    ending = asked.file.suffix.casefold()
    if ending not in (".xlsx", ".zip") and not (asked.back and ending == ".csv"):
        raise NotUnderstood(
            told(
                "{file} ends in {ending!r}; expected .xlsx or .zip", file=asked.file, ending=ending
            )
        )
    try:
        return _take_back(asked.file) if asked.back else _write(asked.file, ending)
    except OSError as unreadable:
        print(f"graftwright: {unreadable}", file=sys.stderr)  # not said
        return 2


def token(asked: argparse.Namespace) -> int:
    """Make a token, list them, or take one back."""
    if asked.revoke:
        return _revoke(asked.revoke)
    if not asked.name:
        for one in all_tokens():
            state = (
                say("taken back")
                if one.is_revoked
                else say("writes")
                if one.may_write
                else say("reads")
            )
            print(f"{one.token_id}  {one.purpose:<8}  {state:<10}  {one.name}")
        return 0
    purpose = Purpose.PROGRAM
    if asked.calendar or asked.copy:
        purpose = Purpose.CALENDAR if asked.calendar else Purpose.COPY
    secret = make_token(purpose, name=asked.name, may_write=asked.write)
    print(f"/feed/{secret}/calendar.ics" if asked.calendar else secret)
    print(say("Keep it now: it is shown this once."), file=sys.stderr)
    return 0


def _write(file: Path, ending: str) -> int:
    found = notebook_tables(read_notebook(), all_written())
    file.write_bytes(workbook_bytes(found) if ending == ".xlsx" else csv_archive(found))
    print(told("{count} tables written to {file}.", count=len(found), file=file))
    return 0


def _take_back(file: Path) -> int:
    found = read_back(file.read_bytes(), file_name=file.name, written=all_written(), today=today())
    if found.refusals:
        print("\n".join(found.refusals), file=sys.stderr)
        print(say("graftwright: nothing of this file was entered"), file=sys.stderr)
        return 2
    new_count = join_entries(found.entries, corrections=found.corrections)
    print(
        told(
            "{count} entries read, {new_count} of them new.",
            count=len(found.entries),
            new_count=new_count,
        )
    )
    if found.corrections:
        print(
            told(
                "Changed cells: {changed_count}; correcting entries written: {count}.",
                changed_count=found.changed_count,
                count=len(found.corrections),
            )
        )
    return 0


def _revoke(text: str) -> int:
    try:
        token_id = UUID(text)
    except ValueError as wrong:
        raise NotUnderstood(
            told("{text!r} is no token's number; graftwright token lists them", text=text)
        ) from wrong
    if not revoke_token(token_id):
        print(say("graftwright: no such token, or taken back already"), file=sys.stderr)
        return 2
    print(say("Taken back: it opens nothing from now on."))
    return 0
