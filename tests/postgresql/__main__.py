"""Run tests with their notebook on PostgreSQL: python -m tests.postgresql [what pytest takes].

The server is started once; each process of the run has a database of its own. The role owns the
tables, so that tests may empty them, and the policies hold it all the same.
"""

import subprocess
import sys
from uuid import uuid4

from tests.postgresql.server import OWNER, environment, started


def main() -> int:
    """Return what pytest returned."""
    with started() as server:
        said = {
            "GRAFTWRIGHT_DATABASE": server.address(OWNER),
            "GRAFTWRIGHT_NURSERY": str(uuid4()),
        }
        command = [sys.executable, "-m", "pytest", *sys.argv[1:]]
        return subprocess.run(command, env=environment(**said), check=False).returncode


if __name__ == "__main__":
    sys.exit(main())
