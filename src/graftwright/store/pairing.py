"""Links that sign a phone in: made for one account, good once and for a short while.

Only a SHA-256 sum is kept. The link carries 256 bits of chance, so a plain sum is enough.
"""

import hashlib
import secrets
from datetime import UTC, datetime, timedelta

from django.db.models import QuerySet

from graftwright.store.account_models import Account, PairingLink

VALID_MINUTES = 15
_BYTE_COUNT, _LONGEST_SECRET = 32, 200


def make_link(account_id: int) -> str:
    """Return the secret of a new link for an account; links of old are swept away."""
    now = datetime.now(UTC)
    PairingLink.objects.filter(valid_until__lt=now - timedelta(days=1)).delete()
    secret = secrets.token_urlsafe(_BYTE_COUNT)
    PairingLink.objects.create(
        digest=_digest(secret),
        account_id=account_id,
        made_at=now,
        valid_until=now + timedelta(minutes=VALID_MINUTES),
    )
    return secret


def account_of_link(secret: str) -> Account | None:
    """Return whom a link signs in, without using it up; None if it opens nothing any more."""
    row = _open_links(secret).select_related("account").first()
    return row.account if row else None


def use_link(secret: str) -> Account | None:
    """Use a link up and return whom it signs in; None if it was used, is late or never was."""
    account = account_of_link(secret)
    # one update decides, so that of two phones that open it at once only one gets in
    if account is None or not _open_links(secret).update(used_at=datetime.now(UTC)):
        return None
    return account


def _open_links(secret: str) -> QuerySet[PairingLink]:
    digest = _digest(secret) if len(secret) <= _LONGEST_SECRET else ""
    return PairingLink.objects.filter(
        digest=digest,
        used_at=None,
        valid_until__gt=datetime.now(UTC),
        account__is_active=True,
    )


def _digest(secret: str) -> str:
    return hashlib.sha256(secret.encode("utf-8", errors="replace")).hexdigest()
