"""One command, its parts in the trade's own words; each is loaded only when it is asked for."""

import argparse
import os
import sys
from collections.abc import Callable, Sequence
from datetime import date
from importlib import import_module
from pathlib import Path
from typing import cast

from graftwright.cli.joint_options import joint_options
from graftwright.cli.part import part_of_program
from graftwright.cli.serving_parts import (
    authority_parts,
    database_parts,
    page_parts,
    people_parts,
)
from graftwright.errors import GraftwrightError
from graftwright.locale import LANGUAGES, catalogue_of
from graftwright.tongue import ENGLISH, say, speaking, told

Command = Callable[[argparse.Namespace], int]
DEMO_DAY = date(2009, 2, 17)  # in the middle of the invented nursery's second winter


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; return 0 when it did what was asked."""
    asked = _parser().parse_args(arguments)
    with speaking(catalogue_of(asked.language), language=asked.language):
        return _run(asked)


def _run(asked: argparse.Namespace) -> int:
    module, name = asked.runs.split(":")
    try:
        _set_up(asked)
        if asked.needs_notebook:
            folder = import_module("graftwright.cli.folder")
            folder.open_notebook()
            with folder.faults_in_words():
                return cast("Command", getattr(import_module(module), name))(asked)
        return cast("Command", getattr(import_module(module), name))(asked)
    except GraftwrightError as refused:
        print(f"graftwright: {refused}", file=sys.stderr)  # not said
        return 2
    except BrokenPipeError:
        return 1


def _set_up(asked: argparse.Namespace) -> None:
    """Pass folder and day on to the settings; the demo has its own of both."""
    # small matrices: more threads only wait for one another
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    if asked.is_demo:
        asked.day = asked.day or DEMO_DAY
        asked.notebook = asked.notebook or Path("demo-notebook") / asked.day.isoformat()
    if asked.notebook:
        os.environ["GRAFTWRIGHT_NOTEBOOK"] = str(Path(asked.notebook).expanduser().resolve())
    if backups := getattr(asked, "backups", None):
        os.environ["GRAFTWRIGHT_BACKUPS"] = str(Path(backups).expanduser().resolve())
    if hasattr(asked, "port"):
        import_module("graftwright.cli.workers").set_up(asked)
    if hasattr(asked, "network"):
        import_module("graftwright.cli.network").set_up(asked)
    if asked.day:
        os.environ["GRAFTWRIGHT_DAY"] = asked.day.isoformat()


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError as wrong:
        raise argparse.ArgumentTypeError(
            told("{text!r} is no day; write it year first, such as 2009-02-17", text=text)
        ) from wrong


def _sureness(text: str) -> float:
    try:
        value = float(text.replace(",", ".").rstrip("%"))
    except ValueError as wrong:
        raise argparse.ArgumentTypeError(
            told("{text!r} is no sureness; write 0.9 or 90%", text=text)
        ) from wrong
    value = value / 100 if value > 1 else value
    if not 0 < value < 1:
        raise argparse.ArgumentTypeError(
            told("sureness {text}; it lies between 0 and 1, such as 0.9", text=text)
        )
    return value


def _count(text: str) -> int:
    if not text.isdecimal() or not 1 <= int(text) <= 10_000:
        raise argparse.ArgumentTypeError(
            told("{text!r}; write a whole number from 1, such as 7", text=text)
        )
    return int(text)


class _ShownVersion(argparse.Action):
    """The version, looked up only when it is asked for."""

    def __init__(self, option_strings: Sequence[str], dest: str) -> None:
        super().__init__(
            option_strings,
            dest,
            nargs=0,
            default=argparse.SUPPRESS,
            help=say("show the version and end"),
        )

    def __call__(self, parser: argparse.ArgumentParser, *_: object) -> None:
        """Print it and end."""
        print(import_module("importlib.metadata").version("graftwright"))
        parser.exit()


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="graftwright",
        description=say("The notebook and the arithmetic of a fruit-tree grafter's year."),
    )
    parser.add_argument("--version", action=_ShownVersion)
    common = argparse.ArgumentParser(add_help=False)
    common.add_argument(
        "--notebook",
        metavar="FOLDER",
        help=say("where the notebook is kept (else ~/graftwright-notebook)"),
    )
    common.add_argument("--day", type=_day, metavar="YYYY-MM-DD", help=say("the day to stand on"))
    chosen = os.environ.get("GRAFTWRIGHT_LANGUAGE", ENGLISH)
    common.add_argument(
        "--language",
        choices=tuple(LANGUAGES),
        default=chosen if chosen in LANGUAGES else ENGLISH,
        help=say("the language spoken (else GRAFTWRIGHT_LANGUAGE, else en)"),
    )
    parts = parser.add_subparsers(title=say("what it can do"), metavar="COMMAND", required=True)
    for add in (
        _spreadsheet_parts,
        _winter_parts,
        _scheme_parts,
        _keeping_parts,
        page_parts,
        authority_parts,
        people_parts,
        database_parts,
    ):
        add(parts, common)
    return parser


def _spreadsheet_parts(
    parts: "argparse._SubParsersAction[argparse.ArgumentParser]", common: argparse.ArgumentParser
) -> None:
    template = part_of_program(
        parts, common, "template", "empty_workbook:template", say("Write an empty workbook.")
    )
    template.set_defaults(needs_notebook=False)
    template.add_argument("file", type=Path, help=say("where to write it, such as winter.xlsx"))
    read = part_of_program(
        parts,
        common,
        "read",
        "spreadsheet:read",
        say("Read a workbook or a folder of CSV, list every bad row, keep the good ones aside."),
    )
    read.add_argument(
        "file", type=Path, nargs="?", help=say("an XLSX file or a folder of CSV files")
    )
    read.add_argument(
        "--temperatures",
        type=Path,
        metavar="CSV",
        help=say("daily or hourly temperatures beside it"),
    )
    read.add_argument("--place", default="", help=say("the place the temperatures belong to"))
    read.add_argument(
        "--answer",
        action="append",
        default=[],
        metavar="QUESTION=CHOICE",
        help=say("answer a question that an earlier reading asked"),
    )
    enter = part_of_program(
        parts, common, "enter", "spreadsheet:enter", say("Enter the rows kept aside.")
    )
    enter.add_argument(
        "--leave-out",
        action="store_true",
        help=say("enter without the rows that wait for an answer"),
    )
    enter.add_argument("--by", default="", metavar="INITIALS", help=say("who enters them"))


def _winter_parts(
    parts: "argparse._SubParsersAction[argparse.ArgumentParser]", common: argparse.ArgumentParser
) -> None:
    plan = part_of_program(
        parts, common, "plan", "winter:plan", say("Plan the winter and print it as tables.")
    )
    papers = part_of_program(
        parts,
        common,
        "papers",
        "papers:papers",
        say("Write cut sheet, run sheets, labels, calendar and order list into a folder."),
    )
    papers.add_argument("folder", type=Path, help=say("the folder to write into"))
    for part in (plan, papers):
        part.add_argument("--season", type=int, help=say("the year in which the buds break"))
        part.add_argument(
            "--sureness", type=_sureness, help=say("one sureness for all, such as 0.9")
        )
    part_of_program(
        parts, common, "today", "jobs:today_jobs", say("Print the day's jobs in walking order.")
    )
    _years_part(parts, common)
    _lessons_part(parts, common)


def _years_part(
    parts: "argparse._SubParsersAction[argparse.ArgumentParser]", common: argparse.ArgumentParser
) -> None:
    part = part_of_program(
        parts,
        common,
        "years",
        "years:years",
        say(
            "Print what each weather year would make of the winter's plan, here or "
            "in several nurseries."
        ),
    )
    part.add_argument(
        "files", type=Path, nargs="*", metavar="COPY", help=say("copies of several notebooks")
    )
    part.add_argument(
        "--workers",
        type=_count,
        default=1,
        metavar="N",
        help=say("processes that work at once (1)"),
    )
    part.add_argument(
        "--cluster", default="", metavar="ADDRESS", help=say("work on a Dask cluster instead")
    )


def _lessons_part(
    parts: "argparse._SubParsersAction[argparse.ArgumentParser]", common: argparse.ArgumentParser
) -> None:
    part = part_of_program(
        parts,
        common,
        "lessons",
        "learning:lessons",
        say(
            "Print what the counts so far teach, compare two ways, or keep what the plan foretells."
        ),
    )
    part.add_argument(
        "--season", type=int, help=say("the season whose losses are searched for causes")
    )
    part.add_argument(
        "--reader", default="", metavar="INITIALS", help=say("who reads: their own rates are shown")
    )
    part.add_argument(
        "--compare",
        nargs=3,
        metavar=("FACTOR", "ONE", "OTHER"),
        help=say("compare two ways, such as: method cleft 'whip and tongue'"),
    )
    part.add_argument(
        "--keep-forecast",
        action="store_true",
        help=say("keep what the plan foretells today, to hold results against it"),
    )


def _scheme_parts(
    parts: "argparse._SubParsersAction[argparse.ArgumentParser]", common: argparse.ArgumentParser
) -> None:
    offer = part_of_program(
        parts,
        common,
        "offer",
        "offering:offer",
        say("Write what this nursery wants and has for others, without names of people."),
    )
    offer.add_argument("file", type=Path, help=say("where to write it, such as lantern-bank.json"))
    for option, words in (
        ("--send-wood", say("clean wood whose owner said yes may be posted to others")),
        ("--send-stocks", say("stocks may be posted to others")),
        ("--graft-for-others", say("others' promises may be grafted at this bench")),
        ("--share-counts", say("takes of several people together go with it, of no one person")),
    ):
        offer.add_argument(option, action="store_true", help=words)
    joint = part_of_program(
        parts,
        common,
        "joint",
        "joining:joint",
        say("Plan the offers of several nurseries together: who grafts what, what is posted."),
    )
    joint.set_defaults(needs_notebook=False)
    joint.add_argument(
        "files", type=Path, nargs="+", metavar="OFFER", help=say("offers of nurseries")
    )
    joint_options(joint, count=_count)


def _keeping_parts(
    parts: "argparse._SubParsersAction[argparse.ArgumentParser]", common: argparse.ArgumentParser
) -> None:
    part_of_program(
        parts,
        common,
        "check",
        "keeping:check",
        say("Check that what stands follows from the record."),
    )
    part_of_program(
        parts,
        common,
        "replay",
        "keeping:replay",
        say("Make everything that stands anew from the record."),
    )
    settle = part_of_program(
        parts,
        common,
        "clashes",
        "clashes:clashes",
        say("List what contradicts itself, or settle one."),
    )
    settle.add_argument("--settle", default="", metavar="CLASH", help=say("settle this one"))
    settle.add_argument(
        "--choose",
        default="all",
        metavar="SIDE",
        help=say("the side that counts, or all of them (all)"),
    )
    settle.add_argument("--words", default="", help=say("why"))
    settle.add_argument("--by", default="", metavar="INITIALS", help=say("who settles it"))
    out = part_of_program(
        parts, common, "copy-out", "keeping:copy_out", say("Write the whole notebook to one file.")
    )
    out.add_argument("file", type=Path)
    bring = part_of_program(
        parts, common, "bring-in", "keeping:bring_in", say("Join another copy's file to this one.")
    )
    bring.add_argument("file", type=Path)
    _merge_part(parts, common)
    _backup_parts(parts, common)
    _exchange_parts(parts, common)


def _merge_part(
    parts: "argparse._SubParsersAction[argparse.ArgumentParser]", common: argparse.ArgumentParser
) -> None:
    merge = part_of_program(
        parts,
        common,
        "merge",
        "merging:merge",
        say("Merge with the copy that another server serves."),
    )
    merge.add_argument(
        "address", metavar="ADDRESS", help=say("such as https://mill.example.org:8017")
    )
    merge.add_argument(
        "--take-only", action="store_true", help=say("take what is new, give nothing")
    )
    merge.add_argument(
        "--trust", type=Path, metavar="PEM", help=say("the other server's own certificate")
    )
    merge.add_argument(
        "--unencrypted", action="store_true", help=say("let the token cross the network readable")
    )


def _backup_parts(
    parts: "argparse._SubParsersAction[argparse.ArgumentParser]", common: argparse.ArgumentParser
) -> None:
    backup = part_of_program(
        parts,
        common,
        "backup",
        "backing_up:backup",
        say("Write a dated copy into a folder, read it back, and keep it once it is proved."),
    )
    backup.add_argument("folder", type=Path, help=say("the folder of the copies, on another disk"))
    backup.add_argument(
        "--keep", type=_count, default=7, metavar="N", help=say("how many daily copies stay (7)")
    )
    restore = part_of_program(
        parts, common, "restore", "new_folder:restore", say("Restore a copy into a new folder.")
    )
    restore.set_defaults(needs_notebook=False)
    restore.add_argument("file", type=Path, help=say("the copy, such as notebook-….jsonl"))
    restore.add_argument(
        "--up-to",
        default="",
        metavar="ENTRY-OR-MOMENT",
        help=say("stop with this entry's id, or with the last entry written until this moment"),
    )


def _exchange_parts(
    parts: "argparse._SubParsersAction[argparse.ArgumentParser]", common: argparse.ArgumentParser
) -> None:
    tables = part_of_program(
        parts,
        common,
        "tables",
        "exchanging:tables",
        say("Write every table to a workbook or archive."),
    )
    tables.add_argument("file", type=Path, help=say("ends in .xlsx or .zip"))
    tables.add_argument(
        "--back",
        action="store_true",
        help=say("join such a file or one of its tables to this notebook"),
    )
    token = part_of_program(
        parts,
        common,
        "token",
        "exchanging:token",
        say("Make, list or take back tokens for programs."),
    )
    token.add_argument(
        "name", nargs="?", default="", help=say("what it is for; without it: list them")
    )
    token.add_argument("--write", action="store_true", help=say("it may write entries as well"))
    token.add_argument("--calendar", action="store_true", help=say("an address for a calendar"))
    token.add_argument(
        "--copy", action="store_true", help=say("for another copy of this notebook, to merge with")
    )
    token.add_argument("--revoke", default="", metavar="ID", help=say("take one back"))


if __name__ == "__main__":
    sys.exit(main())
