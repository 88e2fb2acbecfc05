"""Checks that hold for every test: a named source must stand in the bibliography."""

import os

import pytest
from django.db import connection

from graftwright.sources import SOURCES


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    dangling = sorted(
        {
            f"{item.nodeid}: {mark.args[0]}"
            for item in items
            for mark in item.iter_markers("source")
            if mark.args[0] not in SOURCES
        }
    )
    if dangling:
        raise pytest.UsageError("tests name sources that are not listed:\n" + "\n".join(dangling))


@pytest.fixture(scope="session", autouse=True)
def _commands_use_the_folder() -> None:
    """Let commands that tests start keep their notebook in its folder, wherever ours is."""
    for name in ("GRAFTWRIGHT_DATABASE", "GRAFTWRIGHT_NURSERY"):
        os.environ.pop(name, None)


@pytest.fixture(scope="session")
def django_db_setup(django_db_setup: None, django_db_blocker: object) -> None:
    """On PostgreSQL (python -m tests.postgresql): make the nursery that the tests write for."""
    if connection.vendor == "postgresql":
        with django_db_blocker.unblock(), connection.cursor() as cursor:  # type: ignore[attr-defined]
            cursor.execute(
                "INSERT INTO graftwright_nursery (id, name) "
                "VALUES (current_setting('graftwright.nursery')::uuid, 'Tests')"
            )
            cursor.execute(
                "INSERT INTO graftwright_admitted (role, nursery) "
                "VALUES (current_user, current_setting('graftwright.nursery')::uuid)"
            )
