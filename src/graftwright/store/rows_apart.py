"""Many nurseries in one PostgreSQL database, kept apart by the database itself.

Every table of the store gets a column that says whose a row is, filled from the connection's own
setting, and a policy that shows and takes rows of that nursery alone, and only where the role of
the connection was let into it: a role of its own for each nursery cannot choose another. Keys,
unique constraints and references are widened by the column, so that equal codes do not meet and no
row can refer to another nursery's: checks of keys and references are not held back by policies.
"""

import re
from uuid import UUID, uuid4

from django.db.backends.base.base import BaseDatabaseWrapper
from django.db.backends.utils import CursorWrapper

from graftwright.errors import CannotFollow, OutOfRange, UnknownCode
from graftwright.tongue import told

COLUMN = "kept_for"
NURSERIES, ADMITTED = "graftwright_nursery", "graftwright_admitted"
_HERE = "nullif(current_setting('graftwright.nursery', true), '')::uuid"
_MAY = f"(SELECT nursery FROM {ADMITTED} WHERE role = current_user AND nursery = {_HERE})"
_RECORD = "store_writtenentry"
_MADE = f"""
CREATE TABLE IF NOT EXISTS {NURSERIES} (
  id uuid PRIMARY KEY, name text COLLATE "C" NOT NULL UNIQUE,
  made_at timestamptz NOT NULL DEFAULT now());
CREATE TABLE IF NOT EXISTS {ADMITTED} (
  role name, nursery uuid REFERENCES {NURSERIES} (id), PRIMARY KEY (role, nursery));
ALTER TABLE {NURSERIES} ENABLE ROW LEVEL SECURITY;
DROP POLICY IF EXISTS apart ON {NURSERIES};
CREATE POLICY apart ON {NURSERIES} FOR SELECT USING (id = {_MAY});
ALTER TABLE {ADMITTED} ENABLE ROW LEVEL SECURITY;
DROP POLICY IF EXISTS apart ON {ADMITTED};
CREATE POLICY apart ON {ADMITTED} FOR SELECT USING (role = current_user);
"""
_TABLES = """
SELECT c.relname FROM pg_class c WHERE c.relkind IN ('r', 'p')
AND c.relnamespace = current_schema()::regnamespace AND c.relname LIKE 'store\\_%%' ORDER BY 1
"""
_LACKING = """
SELECT con.conname, con.conrelid::regclass::text, con.contype::text, con.confrelid::regclass::text,
  (SELECT array_agg(a.attname::text ORDER BY k.place) FROM unnest(con.conkey) WITH ORDINALITY
   k(number, place) JOIN pg_attribute a ON a.attrelid = con.conrelid AND a.attnum = k.number),
  (SELECT array_agg(a.attname::text ORDER BY k.place) FROM unnest(con.confkey) WITH ORDINALITY
   k(number, place) JOIN pg_attribute a ON a.attrelid = con.confrelid AND a.attnum = k.number)
FROM pg_constraint con JOIN pg_class c ON c.oid = con.conrelid
WHERE con.contype::text = ANY(%s) AND c.relname = ANY(%s)
AND c.relnamespace = current_schema()::regnamespace
AND NOT EXISTS (SELECT 1 FROM pg_attribute a WHERE a.attrelid = con.conrelid
  AND a.attname = 'kept_for' AND a.attnum = ANY(con.conkey))
"""
_INDEXES = """
SELECT i.indexrelid::regclass::text, pg_get_indexdef(i.indexrelid)
FROM pg_index i JOIN pg_class c ON c.oid = i.indrelid
WHERE c.relname = ANY(%s) AND c.relnamespace = current_schema()::regnamespace
AND NOT EXISTS (SELECT 1 FROM pg_constraint con WHERE con.conindid = i.indexrelid)
AND pg_get_indexdef(i.indexrelid) NOT LIKE '%%(kept_for%%'
"""
_TEXTS = """
SELECT a.attname, format_type(a.atttypid, a.atttypmod) FROM pg_attribute a
WHERE a.attrelid = %s::regclass AND a.attnum > 0 AND NOT a.attisdropped
AND a.atttypid IN ('varchar'::regtype, 'text'::regtype) AND a.attcollation <> '"C"'::regcollation
"""
_ROLE = "SELECT rolsuper OR rolbypassrls, rolname = current_user FROM pg_roles WHERE rolname = %s"


def put_rows_apart(connection: BaseDatabaseWrapper) -> None:
    """Put the rows of every table of the store apart; what is apart already is left as it is.

    A migration that makes a table calls this again. Does nothing on other databases.
    """
    if connection.vendor != "postgresql":
        return
    with connection.cursor() as cursor:
        cursor.execute(_MADE)
        cursor.execute(_TABLES)
        tables = [name for (name,) in cursor.fetchall()]
        for table in tables:
            _add_column(cursor, table)
            _sort_by_sign(cursor, table)
        references = _lacking(cursor, "f", tables)
        for name, table, *_ in references:
            cursor.execute(f'ALTER TABLE {table} DROP CONSTRAINT "{name}"')
        _widen_keys(cursor, tables)
        _widen_indexes(cursor, tables)
        for name, table, _, other, columns, targets in references:
            cursor.execute(
                f'ALTER TABLE {table} ADD CONSTRAINT "{name}" '
                f"FOREIGN KEY ({COLUMN}, {_listed(columns)}) "
                f"REFERENCES {other} ({COLUMN}, {_listed(targets)}) DEFERRABLE INITIALLY DEFERRED"
            )
        for table in tables:
            _guard(cursor, table)


def let_in(connection: BaseDatabaseWrapper, role: str, nursery: UUID) -> None:
    """Let a role read and write the rows of a nursery, and add to its record only.

    Raises CannotFollow for a role that is not there or would not be held by the policies,
    UnknownCode for a nursery that is not there.
    """
    with connection.cursor() as cursor:
        cursor.execute(_ROLE, [role])
        found = cursor.fetchone()
        if found is None:
            raise CannotFollow(
                told("there is no role {role!r} here; make it first: CREATE ROLE", role=role[:60])
            )
        if any(found):
            raise CannotFollow(
                told(
                    "the role {role} owns the tables or passes row security by; choose "
                    "another, made with NOSUPERUSER NOBYPASSRLS",
                    role=role,
                )
            )
        if nursery not in dict(nurseries(connection)):
            raise UnknownCode(
                told(
                    "no nursery {nursery} is here; graftwright database list shows them",
                    nursery=nursery,
                )
            )
        _grant(connection, cursor, role)
        cursor.execute(
            f"INSERT INTO {ADMITTED} VALUES (%s, %s) ON CONFLICT DO NOTHING", [role, nursery]
        )


def let_in_again(connection: BaseDatabaseWrapper) -> None:
    """Let every role that serves a nursery use the tables that came since."""
    with connection.cursor() as cursor:
        cursor.execute(f"SELECT DISTINCT role FROM {ADMITTED} JOIN pg_roles ON rolname = role")
        for (role,) in cursor.fetchall():
            _grant(connection, cursor, role)


def _grant(connection: BaseDatabaseWrapper, cursor: CursorWrapper, role: str) -> None:
    name = connection.ops.quote_name(role)
    cursor.execute(_TABLES)
    for (table,) in cursor.fetchall():
        may = "SELECT, INSERT" if table == _RECORD else "SELECT, INSERT, UPDATE, DELETE"
        cursor.execute(f"REVOKE ALL ON {table} FROM {name}")
        cursor.execute(f"GRANT {may} ON {table} TO {name}")
    cursor.execute(f"GRANT SELECT ON django_migrations, {NURSERIES}, {ADMITTED} TO {name}")


def make_nursery(connection: BaseDatabaseWrapper, name: str) -> UUID:
    """Make a nursery and return its number. Raises OutOfRange for a name that will not do."""
    words = " ".join(name.replace("\x00", " ").split())
    if not 1 <= len(words) <= 80:
        raise OutOfRange(
            told("a nursery named {words!r}; expected 1 to 80 signs", words=words[:90])
        )
    number = uuid4()
    with connection.cursor() as cursor:
        cursor.execute(
            f"INSERT INTO {NURSERIES} (id, name) VALUES (%s, %s) ON CONFLICT (name) DO NOTHING",
            [number, words],
        )
        if not cursor.rowcount:
            raise OutOfRange(
                told("a nursery named {words} is here already; choose another name", words=words)
            )
    return number


def nurseries(connection: BaseDatabaseWrapper) -> list[tuple[UUID, str]]:
    """Return the nurseries that this role may see: all for the owner, else the one it serves."""
    with connection.cursor() as cursor:
        cursor.execute(f"SELECT id, name FROM {NURSERIES} ORDER BY name")
        return [(number, name) for number, name in cursor.fetchall()]


def roles_of(connection: BaseDatabaseWrapper, nursery: UUID) -> list[str]:
    """Return the roles that were let into a nursery."""
    with connection.cursor() as cursor:
        cursor.execute(f"SELECT role FROM {ADMITTED} WHERE nursery = %s ORDER BY role", [nursery])
        return [role for (role,) in cursor.fetchall()]


def _add_column(cursor: CursorWrapper, table: str) -> None:
    # rows that belong to nobody are refused here, so that none is given to the wrong nursery
    cursor.execute(
        f"ALTER TABLE {table} ADD COLUMN IF NOT EXISTS {COLUMN} uuid NOT NULL "
        f"REFERENCES {NURSERIES} (id)"
    )
    cursor.execute(f"ALTER TABLE {table} ALTER COLUMN {COLUMN} SET DEFAULT {_HERE}")


def _sort_by_sign(cursor: CursorWrapper, table: str) -> None:
    """Let texts be ordered by their signs, as Python and the file do, whatever the server's way."""
    cursor.execute(_TEXTS, [table])
    for name, kind in cursor.fetchall():
        cursor.execute(f'ALTER TABLE {table} ALTER COLUMN "{name}" TYPE {kind} COLLATE "C"')


def _lacking(
    cursor: CursorWrapper, kind: str, tables: list[str]
) -> list[tuple[str, str, str, str, list[str], list[str]]]:
    cursor.execute(_LACKING, [list(kind), tables])
    return [tuple(row) for row in cursor.fetchall()]


def _widen_keys(cursor: CursorWrapper, tables: list[str]) -> None:
    words = {"p": "PRIMARY KEY", "u": "UNIQUE"}
    for name, table, kind, _, columns, _ in _lacking(cursor, "pu", tables):
        cursor.execute(
            f'ALTER TABLE {table} DROP CONSTRAINT "{name}", ADD CONSTRAINT "{name}" '
            f"{words[kind]} ({COLUMN}, {_listed(columns)})"
        )


def _widen_indexes(cursor: CursorWrapper, tables: list[str]) -> None:
    cursor.execute(_INDEXES, [tables])
    for name, made_by in cursor.fetchall():
        cursor.execute(f"DROP INDEX {name}")
        cursor.execute(re.sub(r" USING btree \(", f" USING btree ({COLUMN}, ", made_by, count=1))


def _guard(cursor: CursorWrapper, table: str) -> None:
    cursor.execute(f"ALTER TABLE {table} ENABLE ROW LEVEL SECURITY, FORCE ROW LEVEL SECURITY")
    cursor.execute(f"DROP POLICY IF EXISTS apart ON {table}")
    cursor.execute(
        f"CREATE POLICY apart ON {table} USING ({COLUMN} = {_MAY}) WITH CHECK ({COLUMN} = {_MAY})"
    )


def _listed(columns: list[str]) -> str:
    return ", ".join(f'"{column}"' for column in columns)
