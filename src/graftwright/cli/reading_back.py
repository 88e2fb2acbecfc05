"""A copy read back into a scratch notebook and proved there, in a process of its own.

    python -m graftwright.cli.reading_back FILE FOLDER

Photos are not copied again: their sums were read when they were put beside the copy.
"""

import os
import sys
from importlib import import_module
from pathlib import Path

from graftwright.cli.folder import open_notebook
from graftwright.errors import GraftwrightError


def main() -> int:
    """Restore FILE into FOLDER and print how many entries it holds; 2 where it cannot be."""
    os.environ["GRAFTWRIGHT_NOTEBOOK"] = sys.argv[2]
    open_notebook()
    try:
        count: int = import_module("graftwright.cli.restoring").read_back(Path(sys.argv[1]))
    except GraftwrightError as refused:
        print(refused, file=sys.stderr)
        return 2
    print(count)
    return 0


if __name__ == "__main__":
    sys.exit(main())
