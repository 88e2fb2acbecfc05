"""The notebook's folder opened: made on first use, its tables brought up to date."""

import os
import pkgutil
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from importlib import import_module
from pathlib import Path

import django
from django.apps import apps
from django.db import DatabaseError, OperationalError, connection

from graftwright.errors import DamagedFile, NotebookBusy
from graftwright.store.database import folder_from
from graftwright.tongue import told


def open_notebook() -> Path:
    """Make the notebook's folder and tables if they are not there yet; return the folder."""
    folder = folder_from(os.environ)
    folder.mkdir(parents=True, exist_ok=True)
    os.environ["DJANGO_SETTINGS_MODULE"] = "graftwright.web.settings"
    django.setup()
    with faults_in_words():
        if connection.vendor == "postgresql":
            # its tables are the owner's to make: graftwright database prepare
            import_module("graftwright.store.server_ready").check_ready()
        elif not _are_tables_up_to_date():
            management = import_module("django.core.management")
            management.call_command("migrate", verbosity=0, interactive=False)
    return folder


def _are_tables_up_to_date() -> bool:
    """Say whether every step that makes tables was taken; what takes them is slow to load."""
    steps = {
        (app.label, step.name)
        for app in apps.get_app_configs()
        for step in pkgutil.iter_modules([str(Path(app.path) / "migrations")])
    }
    try:
        with connection.cursor() as cursor:
            cursor.execute("SELECT app, name FROM django_migrations")  # not said
            return steps <= set(cursor.fetchall())
    except DatabaseError:
        return False  # new, or damaged: taking the steps says which


@contextmanager
def faults_in_words() -> Iterator[None]:
    """Say in our own words what the database refuses: busy or without room, or damaged."""
    try:
        yield
    except OperationalError as busy:
        raise NotebookBusy(
            told(
                "the notebook could not be read or written ({busy}); nothing is lost: "
                "free the disk or close the other program, then ask again",
                busy=busy,
            )
        ) from busy
    except DatabaseError as broken:
        if connection.vendor == "postgresql":
            raise NotebookBusy(
                told("the database refused ({broken}); nothing of this was entered", broken=broken)
            ) from broken
        raise DamagedFile(
            told(
                "the notebook's database cannot be read ({broken}); leave it as it is "
                "and restore the last good backup into a new folder: graftwright "
                "restore",
                broken=broken,
            )
        ) from broken


def today() -> date:
    """Return the day asked for, else the real one."""
    chosen = os.environ.get("GRAFTWRIGHT_DAY")
    return date.fromisoformat(chosen) if chosen else date.today()  # noqa: DTZ011 (the day here)
