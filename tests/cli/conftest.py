"""The command run as a person runs it: its own process, an empty home."""

import os
import subprocess
import sys
from pathlib import Path

import pytest


class Terminal:
    """Runs the command in a home of its own."""

    def __init__(self, home: Path) -> None:
        self.home = home
        self._environment = {
            name: value for name, value in os.environ.items() if not name.startswith("GRAFTWRIGHT")
        } | {"HOME": str(home)}

    def __call__(self, *words: object, code: int = 0) -> str:
        """Run the command; return what it printed, errors included."""
        return self._run(["-m", "graftwright.cli.main", *map(str, words)], code)

    def python(self, text: str) -> str:
        """Run a line of Python in the same home; return what it printed."""
        return self._run(["-c", text], 0)

    def _run(self, words: list[str], code: int) -> str:
        done = subprocess.run(
            [sys.executable, *words],
            env=self._environment,
            cwd=self.home,
            capture_output=True,
            text=True,
            timeout=240,
        )
        printed = done.stdout + done.stderr
        assert "Traceback" not in printed, printed
        assert done.returncode == code, printed
        return printed


@pytest.fixture(scope="module")
def terminal(tmp_path_factory) -> Terminal:
    return Terminal(tmp_path_factory.mktemp("home"))
