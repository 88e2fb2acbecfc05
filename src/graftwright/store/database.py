"""Where the tables are: a file in the notebook's folder, or a PostgreSQL server shared by many.

One process serves one nursery. On PostgreSQL its number goes along with the connection itself, so
that it is set before anything can be read and no statement can leave it out.
"""

from collections.abc import Mapping
from importlib.util import find_spec
from pathlib import Path
from urllib.parse import SplitResult, parse_qsl, unquote, urlsplit
from uuid import UUID

from graftwright.errors import NotUnderstood
from graftwright.tongue import told

ADDRESS, NURSERY = "GRAFTWRIGHT_DATABASE", "GRAFTWRIGHT_NURSERY"
_EXAMPLE = "postgresql://user@host/database"
WAIT_S = 20
_KEEP_OPEN_S = 600
_PASSED_ON = frozenset(
    {"connect_timeout", "host", "passfile", "sslcert", "sslkey", "sslmode", "sslrootcert"}
)


def folder_from(environment: Mapping[str, str]) -> Path:
    """Return the notebook's folder: the one the environment names, else one in the home folder."""
    chosen = environment.get("GRAFTWRIGHT_NOTEBOOK") or Path.home() / "graftwright-notebook"
    return Path(chosen).expanduser()


def database_from(environment: Mapping[str, str], *, folder: Path) -> dict[str, object]:
    """Return Django's description of the database that the environment names.

    Without `GRAFTWRIGHT_DATABASE` it is the file in the folder. Raises NotUnderstood for nonsense
    or where the extra is not installed; no message holds the password.
    """
    address = environment.get(ADDRESS, "").strip()
    nursery = nursery_from(environment)
    if address:
        return _postgresql(address, nursery)
    if nursery:
        raise NotUnderstood(
            told(
                "{NURSERY} is set and {ADDRESS} is not; a nursery is chosen only on "
                "PostgreSQL: set both, or neither for the notebook in the folder",
                NURSERY=NURSERY,
                ADDRESS=ADDRESS,
            )
        )
    return _sqlite(folder)


def nursery_from(environment: Mapping[str, str]) -> UUID | None:
    """Return the nursery that the environment names, if any. Raises NotUnderstood."""
    text = environment.get(NURSERY, "").strip()
    try:
        return UUID(text) if text else None
    except ValueError as wrong:
        raise NotUnderstood(
            told(
                "{NURSERY}={text!r} is no nursery's number; graftwright database list shows them",
                NURSERY=NURSERY,
                text=text[:60],
            )
        ) from wrong


def _sqlite(folder: Path) -> dict[str, object]:
    return {
        "ENGINE": "django.db.backends.sqlite3",
        "NAME": folder / "notebook.sqlite3",
        "OPTIONS": {
            "transaction_mode": "IMMEDIATE",
            "timeout": WAIT_S,
            "init_command": (
                "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL; "
                "PRAGMA cache_size=-20000; PRAGMA mmap_size=134217728;"
            ),
        },
        "TEST": {"NAME": ":memory:"},
    }


def _postgresql(address: str, nursery: UUID | None) -> dict[str, object]:
    if find_spec("psycopg") is None:
        raise NotUnderstood(
            told(
                "{ADDRESS} is set, and what speaks to PostgreSQL is not installed; add "
                "the extra: pip install 'graftwright[postgresql]'",
                ADDRESS=ADDRESS,
            )
        )
    parts = _parts(address)
    asked = _asked(parts)
    session = f"-c lock_timeout={WAIT_S}s"
    if nursery:
        session += f" -c graftwright.nursery={nursery}"
    return {
        "ENGINE": "django.db.backends.postgresql",
        "NAME": unquote(parts.path.removeprefix("/")),
        "USER": unquote(parts.username or ""),
        "PASSWORD": unquote(parts.password or ""),
        "HOST": asked.pop("host", parts.hostname or ""),
        "PORT": str(parts.port or ""),
        "CONN_MAX_AGE": _KEEP_OPEN_S,
        "CONN_HEALTH_CHECKS": True,
        "OPTIONS": {"connect_timeout": "10", **asked, "options": session},
    }


def _parts(address: str) -> SplitResult:
    try:
        parts = urlsplit(address)
        _ = parts.port  # a port that is no number shows itself only here
    except ValueError:
        raise NotUnderstood(
            told(
                "{ADDRESS} cannot be read as an address; write {EXAMPLE}",
                ADDRESS=ADDRESS,
                EXAMPLE=_EXAMPLE,
            )
        ) from None  # the reason might quote the password
    if parts.scheme not in ("postgresql", "postgres"):
        raise NotUnderstood(
            told(
                "{ADDRESS} begins with {scheme!r}; write {EXAMPLE}",
                ADDRESS=ADDRESS,
                scheme=parts.scheme[:20],
                EXAMPLE=_EXAMPLE,
            )
        )
    if not parts.path.removeprefix("/"):
        raise NotUnderstood(
            told("{ADDRESS} names no database; write {EXAMPLE}", ADDRESS=ADDRESS, EXAMPLE=_EXAMPLE)
        )
    return parts


def _asked(parts: SplitResult) -> dict[str, str]:
    asked = dict(parse_qsl(parts.query))
    if unknown := sorted(asked.keys() - _PASSED_ON):
        raise NotUnderstood(
            told(
                "{ADDRESS} asks for {listed}; after the question mark may stand {listed_2}",
                ADDRESS=ADDRESS,
                listed=", ".join(unknown)[:60],
                listed_2=", ".join(sorted(_PASSED_ON)),
            )
        )
    return asked
