"""A PostgreSQL server asked, before anything else, whether it keeps nurseries apart for us."""

from django.db import DatabaseError, connection
from django.db.migrations.executor import MigrationExecutor

from graftwright.errors import CannotFollow, NotebookBusy, NotUnderstood, UnknownCode
from graftwright.store.database import ADDRESS, NURSERY
from graftwright.store.rows_apart import nurseries
from graftwright.tongue import say, told

_WHO = """
SELECT current_user, r.rolsuper OR r.rolbypassrls OR EXISTS (
  SELECT 1 FROM pg_class c WHERE c.relname = 'store_writtenentry' AND c.relkind = 'r'
  AND pg_has_role(current_user, c.relowner, 'MEMBER')),
  nullif(current_setting('graftwright.nursery', true), '')
FROM pg_roles r WHERE r.rolname = current_user
"""


def check_reached() -> None:
    """Raise NotebookBusy where no server answers, NotUnderstood where it is no server at all."""
    if connection.vendor != "postgresql":
        raise NotUnderstood(
            told(
                "{ADDRESS} is not set; these commands are for a PostgreSQL database: "
                "set it to postgresql://owner@host/database",
                ADDRESS=ADDRESS,
            )
        )
    try:
        connection.ensure_connection()
    except DatabaseError as silent:
        raise NotebookBusy(
            told(
                "the database does not let us in ({listed}); nothing is lost: start "
                "the server or mend {ADDRESS}, then ask again",
                listed=" ".join(str(silent).split()),
                ADDRESS=ADDRESS,
            )
        ) from silent


def check_ready() -> None:
    """Raise what stands in the way of serving one nursery from this server, with the way out."""
    check_reached()
    with connection.cursor() as cursor:
        cursor.execute(_WHO)
        role, passes_by, nursery = cursor.fetchone()
    if passes_by:
        raise CannotFollow(
            told(
                "the role {role} owns the tables or passes row security by, so "
                "nurseries would not be apart; put the role that was let in by "
                "graftwright database nursery into {ADDRESS}",
                role=role,
                ADDRESS=ADDRESS,
            )
        )
    if nursery is None:
        raise NotUnderstood(
            told(
                "{NURSERY} is not set; set it to the number that graftwright database "
                "nursery printed",
                NURSERY=NURSERY,
            )
        )
    executor = MigrationExecutor(connection)
    if executor.migration_plan(executor.loader.graph.leaf_nodes("store")):
        raise CannotFollow(
            say(
                "the tables are not there or older than this program; as their owner "
                "say graftwright database prepare"
            )
        )
    if not nurseries(connection):
        raise UnknownCode(
            told(
                "no nursery {nursery} is here that the role {role} was let into; as "
                "the owner say graftwright database list",
                nursery=nursery,
                role=role,
            )
        )
