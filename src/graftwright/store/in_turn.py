"""Writing in turn: whoever asks the rules and then writes does so while nobody else does.

SQLite begins such a transaction with the right to write. On PostgreSQL one lock for each nursery
is taken first and let go at the end; every statement after it sees all that was written before, and
the numbers of entries follow the order in which they come to stand.
"""

from collections.abc import Iterator
from contextlib import contextmanager

from django.db import connection, transaction

# two nurseries whose numbers gave the same key would only wait for one another
WAIT = "SELECT pg_advisory_xact_lock(hashtextextended(current_setting('graftwright.nursery'), 0))"


@contextmanager
def in_turn() -> Iterator[None]:
    """Hold the right to write, all or nothing, until the end of the block.

    Raises django.db.OperationalError where the turn does not come within 20 s.
    """
    with transaction.atomic():
        if connection.vendor == "postgresql":
            with connection.cursor() as cursor:
                cursor.execute(WAIT)
        yield
