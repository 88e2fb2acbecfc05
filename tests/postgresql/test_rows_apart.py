"""Two nurseries in one database: neither sees, touches or hinders the other's rows.

What row security is to do, and that checks of keys and references pass it by: PostgreSQL
documentation, 5.9 "Row Security Policies".
"""

from collections.abc import Iterator

import pytest

from .conftest import Nursery
from .server import (
    OTHER,
    OWNER,
    PROGRAM,
    Server,
    command,
    commands,
    connect,
    python,
    superuser,
    tool,
)

psycopg = pytest.importorskip("psycopg", reason="the extra postgresql is not installed")

_FILL = """
import sys
from datetime import date
from graftwright.notebook.entries import PromiseChanged, PromiseMade
from graftwright.store.accounts import add_account
from graftwright.store.append import write
from graftwright.store.signed_in import Role
from graftwright.tagcode import code_from_number
day, code = date(2009, 2, 17), code_from_number(1000)
who = sys.argv[1]
write(PromiseMade(happened_on=day, code=code, who=who, variety="B", stock="C", wanted_count=2))
write(PromiseChanged(happened_on=day, code=code, wanted_count=3))
add_account("rowan", initials="RN", role=Role.ORGANISER, password="nine quinces on a sill")
"""
_READ = """
from graftwright.store.account_models import Account
from graftwright.store.models import EntryAbout, Standing, WrittenEntry
from graftwright.store.read import read_notebook, standings_that_differ
(promise,) = read_notebook().promises.values()
joined = EntryAbout.objects.select_related("entry").filter(entry__kind="PromiseMade")
print(promise.who, promise.wanted_count, WrittenEntry.objects.count(), Standing.objects.count(),
      [about.entry.body["who"] for about in joined], Account.objects.count(),
      standings_that_differ())
"""


def _fill(nursery: Nursery, who: str) -> None:
    python(_FILL, who, **nursery.said)


@pytest.fixture(scope="module")
def both(
    server: Server, empty: dict[str, Iterator[str]], tmp_path_factory: pytest.TempPathFactory
) -> tuple[Nursery, Nursery]:
    """Ann's nursery and Bea's, each with a role of its own."""
    one, other = (
        Nursery(
            server=server,
            number=next(empty[role]),
            folder=tmp_path_factory.mktemp(who),
            role=role,
        )
        for who, role in (("Ann", PROGRAM), ("Bea", OTHER))
    )
    _fill(one, "Ann")
    _fill(other, "Bea")
    return one, other


def test_each_reads_its_own_by_objects_and_joins_and_equal_codes_do_not_meet(both) -> None:
    for nursery, who in zip(both, ("Ann", "Bea"), strict=True):
        assert python(_READ, **nursery.said) == f"{who} 3 2 1 ['{who}'] 1 []"


def test_plain_sql_joins_and_copies_show_only_ones_own(server: Server, both) -> None:
    one, other = both
    with connect(server, PROGRAM, nursery=one.number) as here:
        for query in (
            "SELECT body->>'who' FROM store_writtenentry WHERE kind = 'PromiseMade'",
            "SELECT e.body->>'who' FROM store_entryabout a, store_writtenentry e "
            "WHERE e.sequence = a.entry_id AND e.kind = 'PromiseMade'",
            f"SELECT body->>'who' FROM store_writtenentry WHERE kind = 'PromiseMade' "
            f"AND (true OR kept_for = '{other.number}')",
        ):
            assert here.execute(query).fetchall() == [("Ann",)]
        with here.cursor().copy("COPY store_writtenentry (body) TO STDOUT") as out:
            copied = b"".join(bytes(part) for part in out)
        assert b"Ann" in copied
        assert b"Bea" not in copied
        assert here.execute("SELECT count(*) FROM graftwright_nursery").fetchone() == (1,)


def test_an_id_that_is_guessed_finds_changes_and_removes_nothing(server: Server, both) -> None:
    one, other = both
    with superuser(server, "notebooks") as above:
        (theirs,) = above.execute(
            "SELECT id FROM store_standing WHERE kept_for = %s", [other.number]
        ).fetchone()
        (account,) = above.execute(
            "SELECT id FROM store_account WHERE kept_for = %s", [other.number]
        ).fetchone()
    with connect(server, PROGRAM, nursery=one.number) as here:
        for deed in (
            f"SELECT 1 FROM store_standing WHERE id = {theirs}",
            f"UPDATE store_standing SET key = 'x' WHERE id = {theirs}",
            f"DELETE FROM store_standing WHERE id = {theirs}",
            f"UPDATE store_account SET role = 'helper' WHERE id = {account}",
        ):
            assert here.execute(deed).rowcount == 0
        # no key tells that it is taken elsewhere
        here.execute(
            "INSERT INTO store_standing (id, key, kind, place_code, state) "
            "VALUES (%s, 'k', 'k', '', '{}')",
            [theirs],
        )
        here.execute("DELETE FROM store_standing WHERE id = %s", [theirs])
    assert python(_READ, **other.said) == "Bea 3 2 1 ['Bea'] 1 []"


def test_no_row_can_be_written_for_another_or_refer_to_anothers(server: Server, both) -> None:
    one, other = both
    with superuser(server, "notebooks") as above:
        (theirs,) = above.execute(
            "SELECT min(sequence) FROM store_writtenentry WHERE kept_for = %s", [other.number]
        ).fetchone()
    with connect(server, PROGRAM, nursery=one.number) as here:
        with pytest.raises(psycopg.errors.ForeignKeyViolation):
            here.execute("INSERT INTO store_entryabout (key, entry_id) VALUES ('k', %s)", [theirs])
        with pytest.raises(psycopg.errors.InsufficientPrivilege, match="row-level security"):
            here.execute(
                "INSERT INTO store_standing (key, kind, place_code, state, kept_for) "
                "VALUES ('k', 'k', '', '{}', %s)",
                [other.number],
            )
        with pytest.raises(psycopg.errors.InsufficientPrivilege, match="row-level security"):
            here.execute("UPDATE store_standing SET kept_for = %s", [other.number])
        with (
            pytest.raises(psycopg.errors.FeatureNotSupported, match="row-level security"),
            here.cursor().copy("COPY store_standing (key) FROM STDIN"),
        ):
            pass


def test_the_program_adds_to_the_record_and_can_change_nothing_in_it(server: Server, both) -> None:
    with connect(server, PROGRAM, nursery=both[0].number) as here:
        for deed in (
            "UPDATE store_writtenentry SET kind = 'x'",
            "DELETE FROM store_writtenentry",
            "TRUNCATE store_standing",
            "ALTER TABLE store_standing DISABLE ROW LEVEL SECURITY",
            "DROP POLICY apart ON store_standing",
        ):
            with pytest.raises(psycopg.errors.InsufficientPrivilege):
                here.execute(deed)


@pytest.mark.parametrize("role", [PROGRAM, OWNER])
def test_without_a_nursery_nothing_is_seen_and_nothing_can_be_written(
    server: Server, both, role: str
) -> None:
    with connect(server, role) as here:
        for table in ("store_writtenentry", "store_entryabout", "store_standing", "store_account"):
            assert here.execute(f"SELECT count(*) FROM {table}").fetchone() == (0,)
        for setting in (None, ""):
            if setting is not None:
                here.execute("SET graftwright.nursery = ''")
            with pytest.raises(psycopg.Error):
                here.execute(
                    "INSERT INTO store_standing (key, kind, place_code, state) "
                    "VALUES ('k', 'k', '', '{}')"
                )


_OF = "SELECT body->>'who' FROM store_writtenentry WHERE kind = 'PromiseMade'"


def test_a_role_cannot_choose_a_nursery_it_was_not_let_into(server: Server, both) -> None:
    one, other = both
    with connect(server, PROGRAM, nursery=one.number) as here:
        assert here.execute(_OF).fetchall() == [("Ann",)]
        here.execute(f"SET graftwright.nursery = '{other.number}'")
        for table in (
            "store_writtenentry",
            "store_entryabout",
            "store_standing",
            "store_account",
            "graftwright_nursery",
        ):
            assert here.execute(f"SELECT count(*) FROM {table}").fetchone() == (0,)
        assert here.execute("UPDATE store_standing SET key = 'x'").rowcount == 0
        for deed in (
            "INSERT INTO store_standing (key, kind, place_code, state) VALUES ('k', 'k', '', '{}')",
            f"INSERT INTO graftwright_admitted VALUES ('{PROGRAM}', '{other.number}')",
            "UPDATE graftwright_admitted SET nursery = nursery",
            f"SET ROLE {OTHER}",
            f"SET ROLE {OWNER}",
        ):
            with pytest.raises(psycopg.errors.InsufficientPrivilege):
                here.execute(deed)
        seen = here.execute("SELECT DISTINCT role FROM graftwright_admitted").fetchall()
        assert seen == [(PROGRAM,)]  # nor whom others let in


def test_a_role_let_into_two_nurseries_sees_one_at_a_time(server: Server, both) -> None:
    one, other = both
    owner = {"GRAFTWRIGHT_DATABASE": server.address(OWNER)}
    listed = commands(
        ["database", "admit", one.number, "--role", OTHER], ["database", "list"], **owner
    )
    try:
        for nursery, who in ((one, "Ann"), (other, "Bea")):
            with connect(server, OTHER, nursery=nursery.number) as here:
                assert here.execute(_OF).fetchall() == [(who,)]
        assert f"({OTHER}, {PROGRAM})" in next(
            line for line in listed.splitlines() if line.startswith(one.number)
        )
    finally:
        with superuser(server, "notebooks") as above:
            above.execute(
                "DELETE FROM graftwright_admitted WHERE role = %s AND nursery = %s",
                [OTHER, one.number],
            )


def test_a_number_that_is_no_nurserys_can_write_nothing(server: Server) -> None:
    made_up = "00000000-0000-4000-8000-000000000001"
    with (
        connect(server, PROGRAM, nursery=made_up) as here,
        pytest.raises(psycopg.errors.InsufficientPrivilege, match="row-level security"),
    ):
        here.execute(
            "INSERT INTO store_standing (key, kind, place_code, state) VALUES ('k', 'k', '', '{}')"
        )


def test_a_dump_of_the_whole_server_comes_back_with_its_policies(server: Server, both) -> None:
    """And the owner's own dump stops, in place of leaving rows out without a word."""
    owners = tool(server, "pg_dump", server.address(OWNER))
    assert owners.returncode != 0
    assert "row-level security" in owners.stderr
    whole = tool(server, "pg_dump", server.address("postgres"))
    assert whole.returncode == 0, whole.stderr
    with superuser(server) as above:
        above.execute(f"CREATE DATABASE brought_back OWNER {OWNER}")
    back = tool(
        server,
        "psql",
        "--quiet",
        "--set=ON_ERROR_STOP=1",
        server.address("postgres", "brought_back"),
        typed=whole.stdout,
    )
    assert back.returncode == 0, back.stderr
    one, other = both
    for role, number, found in (
        (PROGRAM, one.number, [("Ann",)]),
        (OTHER, other.number, [("Bea",)]),
        (PROGRAM, other.number, []),
    ):
        with connect(server, role, "brought_back", nursery=number) as here:
            assert here.execute(_OF).fetchall() == found


_OPEN = """
SELECT c.relname FROM pg_class c WHERE c.relnamespace = 'public'::regnamespace
AND c.relkind IN ('r', 'p', 'v', 'm', 'f')
AND has_table_privilege('notebook_program', c.oid, 'SELECT, INSERT, UPDATE, DELETE, TRUNCATE')
AND c.relname NOT IN ('django_migrations')
AND NOT (c.relrowsecurity
  AND (c.relforcerowsecurity OR c.relname IN ('graftwright_nursery', 'graftwright_admitted'))
  AND EXISTS (SELECT 1 FROM pg_policy p WHERE p.polrelid = c.oid AND p.polqual IS NOT NULL))
"""
_STORE_OPEN = """
SELECT c.relname FROM pg_class c WHERE c.relnamespace = 'public'::regnamespace
AND c.relkind IN ('r', 'p') AND c.relname LIKE 'store\\_%%' AND NOT (c.relforcerowsecurity
AND EXISTS (SELECT 1 FROM pg_policy p WHERE p.polrelid = c.oid))
"""
_NARROW = """
SELECT i.indexrelid::regclass::text FROM pg_index i JOIN pg_class c ON c.oid = i.indrelid
WHERE c.relname LIKE 'store\\_%%' AND i.indisunique
AND pg_get_indexdef(i.indexrelid) NOT LIKE '%%(kept_for, %%'
"""


def test_no_table_view_or_unique_key_is_forgotten(server: Server) -> None:
    with superuser(server, "notebooks") as above:
        assert above.execute(_OPEN).fetchall() == []
        assert above.execute(_STORE_OPEN).fetchall() == []
        assert above.execute(_NARROW).fetchall() == []
        assert len(above.execute("SELECT 1 FROM pg_policy").fetchall()) >= 10


def test_a_new_table_is_found_until_it_is_put_apart(server: Server) -> None:
    """So that the check above can fail, and `prepare` mends it."""
    owner = server.address(OWNER)
    with connect(server, OWNER) as made:
        made.execute("CREATE TABLE store_forgotten (id bigint PRIMARY KEY, words text)")
        try:
            made.execute(f"GRANT SELECT ON store_forgotten TO {PROGRAM}")
            for query in (_OPEN, _STORE_OPEN):
                assert made.execute(query).fetchall() == [("store_forgotten",)]
            assert made.execute(_NARROW).fetchall() == [("store_forgotten_pkey",)]
            command("database", "prepare", GRAFTWRIGHT_DATABASE=owner)
            for query in (_OPEN, _STORE_OPEN, _NARROW):
                assert made.execute(query).fetchall() == []
        finally:
            made.execute("DROP TABLE store_forgotten")
