"""Commands that look after the notebook itself. The notebook is open before this is loaded."""

import argparse
import sys

from graftwright.store.models import WrittenEntry
from graftwright.store.photos import copy_photos_out, photos_missing, photos_named
from graftwright.store.read import all_written, rebuild_standings, standings_that_differ
from graftwright.store.way_out import bring_in as join_lines
from graftwright.store.way_out import lines_out, photo_folder


def check(_asked: argparse.Namespace) -> int:
    """Say whether what stands follows from the record, and how to mend it if not."""
    differing = standings_that_differ()
    count = WrittenEntry.objects.count()
    if not differing:
        print(f"All that stands follows from the {count} entries of the record.")
        return 0
    print(f"{len(differing)} things do not stand as the {count} entries say, such as:")
    for key in differing[:10]:
        print(f"  {key}")
    print("The record itself is whole. Say: graftwright replay")
    return 1


def replay(_asked: argparse.Namespace) -> int:
    """Make everything that stands anew from the record."""
    print(f"{rebuild_standings()} things made anew from the record.")
    return 0


def copy_out(asked: argparse.Namespace) -> int:
    """Write the whole notebook to one file."""
    written = all_written()
    with asked.file.open("w", encoding="utf-8", newline="\n") as file:
        file.writelines(lines_out(written))
    print(f"{len(written)} entries written to {asked.file}.")
    folder = photo_folder(asked.file)
    if count := copy_photos_out(photos_named(written), folder):
        print(f"{count} photos written to {folder}; keep the two together.")
    return 0


def bring_in(asked: argparse.Namespace) -> int:
    """Join another copy's file to this notebook."""
    try:
        with asked.file.open(encoding="utf-8", newline="") as file:
            found, new = join_lines(file, photos_from=photo_folder(asked.file))
    except (OSError, UnicodeDecodeError) as unreadable:
        print(f"graftwright: {asked.file} cannot be read: {unreadable}", file=sys.stderr)
        return 2
    print(f"{found} entries read, {new} of them new.")
    if missing := photos_missing(photos_named(all_written())):
        print(f"{len(missing)} photos are named and not here; bring their folder in as well.")
    return 0
