"""Commands for whoever owns a PostgreSQL database: its tables, its roles, its nurseries."""

import argparse
import os
from collections.abc import Iterator
from contextlib import contextmanager

import django
from django.core.management import call_command
from django.db import DatabaseError, connection

from graftwright.errors import CannotFollow
from graftwright.store.rows_apart import let_in, make_nursery, nurseries, put_rows_apart
from graftwright.store.server_ready import check_reached


def prepare(asked: argparse.Namespace) -> int:
    """Make the tables or bring them up to date, keep rows apart, and let the role in."""
    with _owner():
        call_command("migrate", verbosity=0, interactive=False)
        put_rows_apart(connection)
        let_in(connection, asked.role)
    print(f"The tables are up to date; {asked.role} may read and write one nursery at a time.")
    return 0


def nursery(asked: argparse.Namespace) -> int:
    """Make a nursery and print its number."""
    with _owner():
        number = make_nursery(connection, asked.name)
    print(number)
    return 0


def show(_asked: argparse.Namespace) -> int:
    """Print every nursery."""
    with _owner():
        for number, name in nurseries(connection):
            print(f"{number}  {name}")
    return 0


@contextmanager
def _owner() -> Iterator[None]:
    os.environ["DJANGO_SETTINGS_MODULE"] = "graftwright.web.settings"
    django.setup()
    check_reached()
    try:
        yield
    except DatabaseError as refused:
        raise CannotFollow(
            f"the database refused ({' '.join(str(refused).split())}); the owner of the tables "
            f"must ask for this, and graftwright database prepare comes first"
        ) from refused
