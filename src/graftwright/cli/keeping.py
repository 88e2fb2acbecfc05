"""Commands that look after the notebook itself. The notebook is open before this is loaded."""

import argparse
import sys
from collections import Counter

from graftwright.store.abouts import make_abouts_anew
from graftwright.store.checking import Finding, findings
from graftwright.store.models import WrittenEntry
from graftwright.store.photos import copy_photos_out, photos_missing, photos_named
from graftwright.store.read import all_written, rebuild_standings
from graftwright.store.way_out import bring_in as join_lines
from graftwright.store.way_out import photo_folder, text_lines, write_out
from graftwright.tongue import say, told

_MENDABLE, _LOST = 1, 3
_SHOWN_OF_A_SORT = 10


def check(_asked: argparse.Namespace) -> int:
    """Prove the notebook against its record; say how to mend what is wrong, and change nothing."""
    found = findings()
    if not found:
        count = WrittenEntry.objects.count()
        print(told("All that stands follows from the {count} entries of the record.", count=count))
        print(say("Every entry can be read, every code is given once, every photo is whole."))
        return 0
    _print_findings(found)
    return _LOST if any(one.harm.is_loss for one in found) else _MENDABLE


def _print_findings(found: tuple[Finding, ...]) -> None:
    shown: Counter[str] = Counter()
    for one in found:
        shown[one.harm] += 1
        if shown[one.harm] <= _SHOWN_OF_A_SORT:
            print(
                told(
                    "{harm}: {what}\n  to mend: {mend}", harm=one.harm, what=one.what, mend=one.mend
                )
            )
    for harm, count in shown.items():
        if count > _SHOWN_OF_A_SORT:
            print(
                told(
                    "{harm}: {count} more of the same sort",
                    harm=harm,
                    count=count - _SHOWN_OF_A_SORT,
                )
            )


def replay(_asked: argparse.Namespace) -> int:
    """Make everything that stands, and what each entry is about, anew from the record."""
    make_abouts_anew()
    print(
        told(
            "{rebuild_standings} things made anew from the record.",
            rebuild_standings=rebuild_standings(),
        )
    )
    return 0


def copy_out(asked: argparse.Namespace) -> int:
    """Write the whole notebook to one file."""
    written = all_written()
    count = write_out(asked.file, written)
    print(told("{count} entries written to {file}.", count=count, file=asked.file))
    folder = photo_folder(asked.file)
    if photo_count := copy_photos_out(photos_named(written), folder):
        print(
            told(
                "{photo_count} photos written to {folder}; keep the two together.",
                photo_count=photo_count,
                folder=folder,
            )
        )
    return 0


def bring_in(asked: argparse.Namespace) -> int:
    """Join another copy's file to this notebook."""
    try:
        with asked.file.open("rb") as file:
            found, new = join_lines(text_lines(file), photos_from=photo_folder(asked.file))
    except OSError as unreadable:
        print(
            told(
                "graftwright: {file} cannot be read: {unreadable}",
                file=asked.file,
                unreadable=unreadable,
            ),
            file=sys.stderr,
        )
        return 2
    print(told("{found} entries read, {new} of them new.", found=found, new=new))
    if missing := photos_missing(photos_named(all_written())):
        print(
            told(
                "{count} photos are named and not here; bring their folder in as well.",
                count=len(missing),
            )
        )
    return 0
