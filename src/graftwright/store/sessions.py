"""Where people are signed in: kept beside the record, under a sum of each browser's secret.

Whoever gets hold of the tables can sign in with nothing they find there.
"""

import hashlib
from datetime import UTC, date, datetime
from typing import Any

from django.contrib.sessions.backends.db import SessionStore as DatabaseSessions

from graftwright.store.account_models import SignIn

ACCOUNT, MADE_AT, PHONE_NAME, SEEN_ON = "_auth_user_id", "made_at", "phone_name", "seen_on"
_SUM_LENGTH = 40  # hexadecimal signs, 160 bits


class SessionStore(DatabaseSessions):
    """Django's sessions in the database, each found by the sum of its secret."""

    @classmethod
    def get_model_class(cls) -> type[SignIn]:
        """Return the table."""
        return SignIn

    def exists(self, session_key: str | None) -> bool:
        """Return whether a secret is in use."""
        return SignIn.objects.filter(pk=sum_of(session_key)).exists()

    def delete(self, session_key: str | None = None) -> None:
        """Forget one; this one if none is named."""
        SignIn.objects.filter(pk=sum_of(session_key or self.session_key)).delete()

    def create_model_instance(self, data: dict[str, Any]) -> SignIn:
        """Return the row to keep, with what may be listed of it."""
        account_id = data.get(ACCOUNT)
        made_at, seen_on = data.get(MADE_AT), data.get(SEEN_ON)
        return SignIn(
            session_key=sum_of(self._get_or_create_session_key()),  # type: ignore[attr-defined]
            session_data=self.encode(data),
            expire_date=self.get_expiry_date(),
            account_id=int(account_id) if account_id else None,
            phone_name=str(data.get(PHONE_NAME, "")),
            made_at=datetime.fromisoformat(made_at) if made_at else datetime.now(UTC),
            seen_on=date.fromisoformat(seen_on) if seen_on else datetime.now(UTC).date(),
        )

    def _get_session_from_db(self) -> SignIn | None:
        found = SignIn.objects.filter(
            pk=sum_of(self.session_key), expire_date__gt=datetime.now(UTC)
        )
        row = found.first()
        if row is None:
            self._session_key = None
        return row


def sum_of(secret: str | None) -> str:
    """Return the sum under which a browser's secret is kept; it opens nothing."""
    return hashlib.sha256((secret or "").encode()).hexdigest()[:_SUM_LENGTH]
