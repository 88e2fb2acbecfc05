"""Commands for whoever owns a PostgreSQL database: its tables, its roles, its nurseries."""

import argparse
import os
from collections.abc import Iterator
from contextlib import contextmanager

import django
from django.core.management import call_command
from django.db import DatabaseError, connection, transaction

from graftwright.errors import CannotFollow, NotUnderstood
from graftwright.store.database import NURSERY, nursery_from
from graftwright.store.rows_apart import (
    let_in,
    let_in_again,
    make_nursery,
    nurseries,
    put_rows_apart,
    roles_of,
)
from graftwright.store.server_ready import check_reached
from graftwright.tongue import say, told


def prepare(_asked: argparse.Namespace) -> int:
    """Make the tables or bring them up to date, and keep rows apart."""
    with _owner():
        call_command("migrate", verbosity=0, interactive=False)
        put_rows_apart(connection)
        let_in_again(connection)
    print(say("The tables are up to date, and the rows of each nursery are kept apart."))
    return 0


def nursery(asked: argparse.Namespace) -> int:
    """Make a nursery, let a role into it and print its number."""
    with _owner(), transaction.atomic():
        number = make_nursery(connection, asked.name)
        let_in(connection, asked.role, number)
    print(number)
    return 0


def admit(asked: argparse.Namespace) -> int:
    """Let another role into a nursery."""
    number = nursery_from({NURSERY: asked.number})
    if number is None:
        raise NotUnderstood(say("no number was given; graftwright database list shows them"))
    with _owner(), transaction.atomic():
        let_in(connection, asked.role, number)
    print(told("{role} may read and write nursery {number}.", role=asked.role, number=number))
    return 0


def show(_asked: argparse.Namespace) -> int:
    """Print every nursery and who was let in."""
    with _owner():
        for number, name in nurseries(connection):
            print(f"{number}  {name}  ({', '.join(roles_of(connection, number))})")
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
            told(
                "the database refused ({listed}); the owner of the tables must ask for "
                "this, and graftwright database prepare comes first",
                listed=" ".join(str(refused).split()),
            )
        ) from refused
