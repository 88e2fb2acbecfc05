"""One command, its parts in the trade's own words; each is loaded only when it is asked for."""

import argparse
import os
import sys
from collections.abc import Callable, Sequence
from datetime import date
from importlib import import_module
from importlib.metadata import version
from pathlib import Path
from typing import cast

from graftwright.cli.joint_options import joint_options
from graftwright.errors import GraftwrightError
from graftwright.locale import LANGUAGES, catalogue_of
from graftwright.tongue import ENGLISH, speaking

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
        print(f"graftwright: {refused}", file=sys.stderr)
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
    if hasattr(asked, "network"):
        import_module("graftwright.cli.network").set_up(asked)
    if asked.day:
        os.environ["GRAFTWRIGHT_DAY"] = asked.day.isoformat()


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError as wrong:
        raise argparse.ArgumentTypeError(
            f"{text!r} is no day; write it year first, such as 2009-02-17"
        ) from wrong


def _sureness(text: str) -> float:
    try:
        value = float(text.replace(",", ".").rstrip("%"))
    except ValueError as wrong:
        raise argparse.ArgumentTypeError(f"{text!r} is no sureness; write 0.9 or 90%") from wrong
    value = value / 100 if value > 1 else value
    if not 0 < value < 1:
        raise argparse.ArgumentTypeError(f"sureness {text}; it lies between 0 and 1, such as 0.9")
    return value


def _count(text: str) -> int:
    if not text.isdecimal() or not 1 <= int(text) <= 10_000:
        raise argparse.ArgumentTypeError(f"{text!r}; write a whole number from 1, such as 7")
    return int(text)


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="graftwright",
        description="The notebook and the arithmetic of a fruit-tree grafter's year.",
    )
    parser.add_argument("--version", action="version", version=version("graftwright"))
    common = argparse.ArgumentParser(add_help=False)
    common.add_argument(
        "--notebook",
        metavar="FOLDER",
        help="where the notebook is kept (else ~/graftwright-notebook)",
    )
    common.add_argument("--day", type=_day, metavar="YYYY-MM-DD", help="the day to stand on")
    chosen = os.environ.get("GRAFTWRIGHT_LANGUAGE", ENGLISH)
    common.add_argument(
        "--language",
        choices=tuple(LANGUAGES),
        default=chosen if chosen in LANGUAGES else ENGLISH,
        help="the language spoken (else GRAFTWRIGHT_LANGUAGE, else en)",
    )
    parts = parser.add_subparsers(title="what it can do", metavar="COMMAND", required=True)
    for add in (
        _spreadsheet_parts,
        _winter_parts,
        _scheme_parts,
        _keeping_parts,
        _page_parts,
        _people_parts,
        _authority_parts,
        _database_parts,
    ):
        add(parts, common)
    return parser


def _part(
    parts: "argparse._SubParsersAction[argparse.ArgumentParser]",
    common: argparse.ArgumentParser,
    name: str,
    runs: str,
    words: str,
) -> argparse.ArgumentParser:
    part = parts.add_parser(name, help=words, description=words, parents=[common])
    part.set_defaults(runs=f"graftwright.cli.{runs}", needs_notebook=True, is_demo=False)
    return part


def _spreadsheet_parts(
    parts: "argparse._SubParsersAction[argparse.ArgumentParser]", common: argparse.ArgumentParser
) -> None:
    template = _part(
        parts, common, "template", "empty_workbook:template", "Write an empty workbook."
    )
    template.set_defaults(needs_notebook=False)
    template.add_argument("file", type=Path, help="where to write it, such as winter.xlsx")
    read = _part(
        parts,
        common,
        "read",
        "spreadsheet:read",
        "Read a workbook or a folder of CSV, list every bad row, keep the good ones aside.",
    )
    read.add_argument("file", type=Path, nargs="?", help="an XLSX file or a folder of CSV files")
    read.add_argument(
        "--temperatures", type=Path, metavar="CSV", help="daily or hourly temperatures beside it"
    )
    read.add_argument("--place", default="", help="the place the temperatures belong to")
    read.add_argument(
        "--answer",
        action="append",
        default=[],
        metavar="QUESTION=CHOICE",
        help="answer a question that an earlier reading asked",
    )
    enter = _part(parts, common, "enter", "spreadsheet:enter", "Enter the rows kept aside.")
    enter.add_argument(
        "--leave-out", action="store_true", help="enter without the rows that wait for an answer"
    )
    enter.add_argument("--by", default="", metavar="INITIALS", help="who enters them")


def _winter_parts(
    parts: "argparse._SubParsersAction[argparse.ArgumentParser]", common: argparse.ArgumentParser
) -> None:
    plan = _part(parts, common, "plan", "winter:plan", "Plan the winter and print it as tables.")
    papers = _part(
        parts,
        common,
        "papers",
        "winter:papers",
        "Write cut sheet, run sheets, labels, calendar and order list into a folder.",
    )
    papers.add_argument("folder", type=Path, help="the folder to write into")
    for part in (plan, papers):
        part.add_argument("--season", type=int, help="the year in which the buds break")
        part.add_argument("--sureness", type=_sureness, help="one sureness for all, such as 0.9")
    _part(parts, common, "today", "winter:today_jobs", "Print the day's jobs in walking order.")
    _years_part(parts, common)
    _lessons_part(parts, common)


def _years_part(
    parts: "argparse._SubParsersAction[argparse.ArgumentParser]", common: argparse.ArgumentParser
) -> None:
    part = _part(
        parts,
        common,
        "years",
        "years:years",
        "Print what each weather year would make of the winter's plan, here or in several "
        "nurseries.",
    )
    part.add_argument(
        "files", type=Path, nargs="*", metavar="COPY", help="copies of several notebooks"
    )
    part.add_argument(
        "--workers", type=_count, default=1, metavar="N", help="processes that work at once (1)"
    )
    part.add_argument(
        "--cluster", default="", metavar="ADDRESS", help="work on a Dask cluster instead"
    )


def _lessons_part(
    parts: "argparse._SubParsersAction[argparse.ArgumentParser]", common: argparse.ArgumentParser
) -> None:
    part = _part(
        parts,
        common,
        "lessons",
        "learning:lessons",
        "Print what the counts so far teach, compare two ways, or keep what the plan foretells.",
    )
    part.add_argument("--season", type=int, help="the season whose losses are searched for causes")
    part.add_argument(
        "--reader", default="", metavar="INITIALS", help="who reads: their own rates are shown"
    )
    part.add_argument(
        "--compare",
        nargs=3,
        metavar=("FACTOR", "ONE", "OTHER"),
        help="compare two ways, such as: method cleft 'whip and tongue'",
    )
    part.add_argument(
        "--keep-forecast",
        action="store_true",
        help="keep what the plan foretells today, to hold results against it",
    )


def _scheme_parts(
    parts: "argparse._SubParsersAction[argparse.ArgumentParser]", common: argparse.ArgumentParser
) -> None:
    offer = _part(
        parts,
        common,
        "offer",
        "offering:offer",
        "Write what this nursery wants and has for others, without names of people.",
    )
    offer.add_argument("file", type=Path, help="where to write it, such as lantern-bank.json")
    for option, words in (
        ("--send-wood", "clean wood whose owner said yes may be posted to others"),
        ("--send-stocks", "stocks may be posted to others"),
        ("--graft-for-others", "others' promises may be grafted at this bench"),
        ("--share-counts", "takes of several people together go with it, of no one person"),
    ):
        offer.add_argument(option, action="store_true", help=words)
    joint = _part(
        parts,
        common,
        "joint",
        "joining:joint",
        "Plan the offers of several nurseries together: who grafts what, what is posted.",
    )
    joint.set_defaults(needs_notebook=False)
    joint.add_argument("files", type=Path, nargs="+", metavar="OFFER", help="offers of nurseries")
    joint_options(joint, count=_count)


def _keeping_parts(
    parts: "argparse._SubParsersAction[argparse.ArgumentParser]", common: argparse.ArgumentParser
) -> None:
    _part(
        parts, common, "check", "keeping:check", "Check that what stands follows from the record."
    )
    _part(
        parts,
        common,
        "replay",
        "keeping:replay",
        "Make everything that stands anew from the record.",
    )
    settle = _part(
        parts, common, "clashes", "clashes:clashes", "List what contradicts itself, or settle one."
    )
    settle.add_argument("--settle", default="", metavar="CLASH", help="settle this one")
    settle.add_argument(
        "--choose", default="all", metavar="SIDE", help="the side that counts, or all of them (all)"
    )
    settle.add_argument("--words", default="", help="why")
    settle.add_argument("--by", default="", metavar="INITIALS", help="who settles it")
    out = _part(
        parts, common, "copy-out", "keeping:copy_out", "Write the whole notebook to one file."
    )
    out.add_argument("file", type=Path)
    bring = _part(
        parts, common, "bring-in", "keeping:bring_in", "Join another copy's file to this one."
    )
    bring.add_argument("file", type=Path)
    merge = _part(
        parts, common, "merge", "merging:merge", "Merge with the copy that another server serves."
    )
    merge.add_argument("address", metavar="ADDRESS", help="such as https://mill.example.org:8017")
    merge.add_argument("--take-only", action="store_true", help="take what is new, give nothing")
    merge.add_argument(
        "--trust", type=Path, metavar="PEM", help="the other server's own certificate"
    )
    merge.add_argument(
        "--unencrypted", action="store_true", help="let the token cross the network readable"
    )
    _backup_parts(parts, common)
    _exchange_parts(parts, common)


def _backup_parts(
    parts: "argparse._SubParsersAction[argparse.ArgumentParser]", common: argparse.ArgumentParser
) -> None:
    backup = _part(
        parts,
        common,
        "backup",
        "backing_up:backup",
        "Write a dated copy into a folder, read it back, and keep it once it is proved.",
    )
    backup.add_argument("folder", type=Path, help="the folder of the copies, on another disk")
    backup.add_argument(
        "--keep", type=_count, default=7, metavar="N", help="how many daily copies stay (7)"
    )
    restore = _part(
        parts, common, "restore", "new_folder:restore", "Restore a copy into a new folder."
    )
    restore.set_defaults(needs_notebook=False)
    restore.add_argument("file", type=Path, help="the copy, such as notebook-….jsonl")
    restore.add_argument(
        "--up-to",
        default="",
        metavar="ENTRY-OR-MOMENT",
        help="stop with this entry's id, or with the last entry written until this moment",
    )


def _exchange_parts(
    parts: "argparse._SubParsersAction[argparse.ArgumentParser]", common: argparse.ArgumentParser
) -> None:
    tables = _part(
        parts, common, "tables", "exchanging:tables", "Write every table to a workbook or archive."
    )
    tables.add_argument("file", type=Path, help="ends in .xlsx or .zip")
    tables.add_argument(
        "--back",
        action="store_true",
        help="join such a file or one of its tables to this notebook",
    )
    token = _part(
        parts, common, "token", "exchanging:token", "Make, list or take back tokens for programs."
    )
    token.add_argument("name", nargs="?", default="", help="what it is for; without it: list them")
    token.add_argument("--write", action="store_true", help="it may write entries as well")
    token.add_argument("--calendar", action="store_true", help="an address for a calendar")
    token.add_argument(
        "--copy", action="store_true", help="for another copy of this notebook, to merge with"
    )
    token.add_argument("--revoke", default="", metavar="ID", help="take one back")


def _page_parts(
    parts: "argparse._SubParsersAction[argparse.ArgumentParser]", common: argparse.ArgumentParser
) -> None:
    serve = _part(parts, common, "serve", "pages:serve", "Serve the pages on this machine.")
    _network_options(serve)
    demo = _part(
        parts,
        common,
        "demo",
        "showing:demo",
        "Enter the invented nursery, plan its winter, write the papers, serve the pages.",
    )
    demo.add_argument("--papers", type=Path, default=Path("demo-papers"), help="folder for papers")
    demo.set_defaults(is_demo=True)
    demo.add_argument("--no-serve", action="store_true", help="stop before serving the pages")
    for part in (serve, demo):
        part.add_argument(
            "--backups", type=Path, metavar="FOLDER", help="make a backup there once a day"
        )
        part.add_argument("--port", type=int, default=8017, help="port on this machine (8017)")


def _network_options(serve: argparse.ArgumentParser) -> None:
    serve.add_argument(
        "--network",
        nargs="?",
        const="",
        metavar="ADDRESS",
        help="serve others on the network too, at one address of this machine or at all",
    )
    serve.add_argument(
        "--name", action="append", help="a name by which others reach it; may be repeated"
    )
    serve.add_argument("--certificate", type=Path, metavar="PEM", help="the certificate for https")
    serve.add_argument("--key", type=Path, metavar="PEM", help="the key of the certificate")
    serve.add_argument(
        "--own-certificate", action="store_true", help="https by the nursery's own authority"
    )
    serve.add_argument(
        "--unencrypted", action="store_true", help="let passwords cross the network readable"
    )


def _people_parts(
    parts: "argparse._SubParsersAction[argparse.ArgumentParser]", common: argparse.ArgumentParser
) -> None:
    people = parts.add_parser(
        "people",
        help="Say who may come in when the pages are served on a network.",
        description="Say who may come in when the pages are served on a network.",
    )
    deeds = people.add_subparsers(title="what to do", metavar="DEED", required=True)
    roles = ("helper", "grafter", "organiser")
    add = _part(deeds, common, "add", "people:add", "Open an account; its password is asked for.")
    add.add_argument("name", help="the name to sign in with")
    add.add_argument("--initials", required=True, help="the initials that entries bear")
    add.add_argument("--role", choices=roles, default="helper", help="what they may do (helper)")
    _part(deeds, common, "list", "people:show", "List the accounts.")
    role = _part(deeds, common, "role", "people:role", "Give an account another role.")
    role.add_argument("name")
    role.add_argument("role", choices=roles)
    for deed, words in (
        ("password", "Set a password anew; it is asked for. Every sign-in ends."),
        ("close", "Close an account. Every sign-in ends; what it wrote stays."),
    ):
        _part(deeds, common, deed, f"people:{deed}", words).add_argument("name")


def _authority_parts(
    parts: "argparse._SubParsersAction[argparse.ArgumentParser]", common: argparse.ArgumentParser
) -> None:
    words = "Make a certificate authority for this machine's private names, for https on phones."
    authority = parts.add_parser("authority", help=words, description=words)
    deeds = authority.add_subparsers(title="what to do", metavar="DEED", required=True)
    made = _part(deeds, common, "make", "certifying:make", "Make it, and say what phones need.")
    made.add_argument("--name", action="append", help="a private name, such as nursery.local")
    made.add_argument(
        "--address", action="append", help="a private address or network, such as 192.168.1.0/24"
    )
    shown = _part(deeds, common, "show", "certifying:show", "Say what it vouches for, until when.")
    for part in (made, shown):
        part.set_defaults(needs_notebook=False)


def _database_parts(
    parts: "argparse._SubParsersAction[argparse.ArgumentParser]", common: argparse.ArgumentParser
) -> None:
    words = "Make the tables and nurseries of a PostgreSQL database, as its owner."
    database = parts.add_parser("database", help=words, description=words)
    deeds = database.add_subparsers(title="what to do", metavar="DEED", required=True)
    role = "the role the program connects as"
    words = "Make the tables or bring them up to date."
    ready = _part(deeds, common, "prepare", "database:prepare", words)
    made = _part(
        deeds,
        common,
        "nursery",
        "database:nursery",
        "Make a nursery, let a role in, print its number.",
    )
    made.add_argument("name", help="what it is called")
    made.add_argument("--role", required=True, help=role)
    let_in = _part(deeds, common, "admit", "database:admit", "Let another role into a nursery.")
    let_in.add_argument("number", help="the nursery's number")
    let_in.add_argument("--role", required=True, help=role)
    listed = _part(deeds, common, "list", "database:show", "List the nurseries.")
    for deed in (ready, made, let_in, listed):
        deed.set_defaults(needs_notebook=False)


if __name__ == "__main__":
    sys.exit(main())
