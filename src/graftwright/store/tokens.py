"""Secrets for programs and calendars: made once, shown once, kept only as a SHA-256 sum.

A token carries 256 bits of chance, so a plain sum is enough: nothing shorter can be guessed from
it, and a lost copy of the notebook's tables gives none away.
"""

import hashlib
import secrets
from dataclasses import dataclass
from datetime import UTC, date, datetime
from enum import StrEnum
from uuid import UUID, uuid4

from graftwright.errors import OutOfRange
from graftwright.store.models import Token
from graftwright.tongue import told

_BYTE_COUNT = 32
_LONGEST_NAME, _LONGEST_SECRET = 80, 200


class Purpose(StrEnum):
    """What a token opens."""

    PROGRAM = "program"
    CALENDAR = "calendar"
    COPY = "copy"


@dataclass(frozen=True, slots=True, kw_only=True)
class KnownToken:
    """What is known of a token; the secret itself is not."""

    token_id: UUID
    purpose: Purpose
    name: str
    may_write: bool
    made_at: datetime
    used_on: date | None
    is_revoked: bool


def make_token(purpose: Purpose, *, name: str, may_write: bool = False) -> str:
    """Return a new secret, to be shown this once. Raises OutOfRange for a name that says nothing.

    A calendar's token never writes.
    """
    words = " ".join(name.split())
    if not 1 <= len(words) <= _LONGEST_NAME:
        raise OutOfRange(
            told(
                "a token named {words!r}; expected 1 to {LONGEST_NAME} signs: say who "
                "or what it is for, so that it can be taken back later",
                words=words[:90],
                LONGEST_NAME=_LONGEST_NAME,
            )
        )
    secret = secrets.token_urlsafe(_BYTE_COUNT)
    Token.objects.create(
        token_id=uuid4(),
        purpose=purpose,
        name=words,
        digest=_digest(secret),
        may_write=may_write and purpose is not Purpose.CALENDAR,
        made_at=datetime.now(UTC),
    )
    return secret


def token_of(secret: str, purpose: Purpose, *, today: date) -> KnownToken | None:
    """Return the token a secret belongs to, and note the day it was used; None if it opens nothing.

    A revoked token, or one made for another purpose, opens nothing.
    """
    if not 1 <= len(secret) <= _LONGEST_SECRET:
        return None
    rows = Token.objects.filter(digest=_digest(secret), purpose=purpose, revoked_at=None)
    row = rows.first()
    if row is None:
        return None
    if row.used_on != today:
        rows.update(used_on=today)
    return _known(row)


def tokens(purpose: Purpose | None = None) -> tuple[KnownToken, ...]:
    """Return every token made, the newest first."""
    rows = Token.objects.order_by("-made_at")
    return tuple(_known(row) for row in (rows.filter(purpose=purpose) if purpose else rows))


def revoke_token(token_id: UUID) -> bool:
    """Take a token back for good; say whether it had still been good."""
    rows = Token.objects.filter(token_id=token_id, revoked_at=None)
    return bool(rows.update(revoked_at=datetime.now(UTC)))


def _digest(secret: str) -> str:
    return hashlib.sha256(secret.encode("utf-8", errors="replace")).hexdigest()


def _known(row: Token) -> KnownToken:
    return KnownToken(
        token_id=row.token_id,
        purpose=Purpose(row.purpose),
        name=row.name,
        may_write=row.may_write,
        made_at=row.made_at,
        used_on=row.used_on,
        is_revoked=row.revoked_at is not None,
    )
