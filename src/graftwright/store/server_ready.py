"""A PostgreSQL server asked, before anything else, whether it keeps nurseries apart for us."""

from django.db import DatabaseError, connection
from django.db.migrations.executor import MigrationExecutor

from graftwright.errors import CannotFollow, NotebookBusy, NotUnderstood, UnknownCode
from graftwright.store.database import ADDRESS, NURSERY
from graftwright.store.rows_apart import nurseries

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
            f"{ADDRESS} is not set; these commands are for a PostgreSQL database: set it to "
            f"postgresql://owner@host/database"
        )
    try:
        connection.ensure_connection()
    except DatabaseError as silent:
        raise NotebookBusy(
            f"the database does not let us in ({' '.join(str(silent).split())}); nothing is lost: "
            f"start the server or mend {ADDRESS}, then ask again"
        ) from silent


def check_ready() -> None:
    """Raise what stands in the way of serving one nursery from this server, with the way out."""
    check_reached()
    with connection.cursor() as cursor:
        cursor.execute(_WHO)
        role, passes_by, nursery = cursor.fetchone()
    if passes_by:
        raise CannotFollow(
            f"the role {role} owns the tables or passes row security by, so nurseries would not be "
            f"apart; put the role that was let in by graftwright database nursery into {ADDRESS}"
        )
    if nursery is None:
        raise NotUnderstood(
            f"{NURSERY} is not set; set it to the number that graftwright database nursery printed"
        )
    executor = MigrationExecutor(connection)
    if executor.migration_plan(executor.loader.graph.leaf_nodes("store")):
        raise CannotFollow(
            "the tables are not there or older than this program; as their owner say "
            "graftwright database prepare"
        )
    if not nurseries(connection):
        raise UnknownCode(
            f"no nursery {nursery} is here that the role {role} was let into; as the owner say "
            f"graftwright database list"
        )
