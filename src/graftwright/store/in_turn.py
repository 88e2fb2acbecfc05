"""Writing in turn: whoever asks the rules and then writes does so while nobody else does.

SQLite begins such a transaction with the right to write. On PostgreSQL one lock for each nursery
is taken first and let go at the end; every statement after it sees all that was written before, and
the numbers of entries follow the order in which they come to stand.

Threads of one process wait for one another before they ask the database: SQLite looks only every
now and then whether the right is free.
"""

import threading
from collections.abc import Iterator
from contextlib import contextmanager, nullcontext

from django.db import OperationalError, connection, transaction

from graftwright.store.database import WAIT_S
from graftwright.tongue import told

# two nurseries whose numbers gave the same key would only wait for one another
WAIT = "SELECT pg_advisory_xact_lock(hashtextextended(current_setting('graftwright.nursery'), 0))"

_of_this_process = threading.RLock()


@contextmanager
def in_turn() -> Iterator[None]:
    """Hold the right to write, all or nothing, until the end of the block.

    Raises django.db.OperationalError where the turn does not come within 20 s.
    """
    # whoever has the right already asks no more, or two could wait for one another
    with nullcontext() if connection.in_atomic_block else _turn_here(), transaction.atomic():
        if connection.vendor == "postgresql":
            with connection.cursor() as cursor:
                cursor.execute(WAIT)
        yield


@contextmanager
def _turn_here() -> Iterator[None]:
    if not _of_this_process.acquire(timeout=WAIT_S):
        raise OperationalError(told("another writes for more than {wait_s:.0f} s", wait_s=WAIT_S))
    try:
        yield
    finally:
        _of_this_process.release()
