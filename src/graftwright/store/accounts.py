"""Accounts: who may sign in, with which role, and where they are signed in.

An account is never deleted, so that its initials in the record keep meaning one person; it is
closed, and a closed one may be opened again under the same name and initials.
"""

import re
from dataclasses import dataclass
from datetime import UTC, date, datetime

from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError

from graftwright.errors import CannotFollow, OutOfRange, UnknownCode
from graftwright.store.account_models import Account, PairingLink, SignIn
from graftwright.store.in_turn import in_turn
from graftwright.store.signed_in import Role
from graftwright.tongue import english, told

_NAME = re.compile(r"[^\W_][\w .'’-]{0,39}")
_INITIALS = re.compile(r"[^\W_]{1,12}")


@dataclass(frozen=True, slots=True, kw_only=True)
class KnownAccount:
    """What may be shown of an account."""

    account_id: int
    name: str
    initials: str
    role: Role
    is_open: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class KnownSignIn:
    """One browser or phone that is signed in; the key opens nothing, it only names the row."""

    key: str
    phone_name: str
    made_at: datetime
    seen_on: date
    ends_at: datetime


def add_account(name: str, *, initials: str, role: Role, password: str) -> KnownAccount:
    """Open an account and return it; a closed one of the same name and initials opens again.

    Raises OutOfRange for a name, initials or password that will not do.
    """
    words, letters = _checked_name(name), _checked_initials(initials)
    with in_turn():
        row = Account.objects.filter(name=words).first()
        if row is None:
            row = Account(name=words, initials=letters, made_at=datetime.now(UTC))
        elif row.is_active or row.initials != letters:
            raise OutOfRange(
                told("somebody is called {words} already; add a second name", words=words)
            )
        if Account.objects.filter(initials__iexact=letters).exclude(pk=row.pk).exists():
            raise OutOfRange(
                told(
                    "the initials {letters} belong to somebody already; add a letter",
                    letters=letters,
                )
            )
        row.role, row.is_active, row.closed_at = english(role), True, None
        _set_password(row, password)
        row.save()
    return known_account(row)


def accounts() -> tuple[KnownAccount, ...]:
    """Return every account, open ones first, then by name."""
    return tuple(known_account(row) for row in Account.objects.order_by("-is_active", "name"))


def account_named(name: str) -> KnownAccount:
    """Return the account of a name. Raises UnknownCode if nobody bears it."""
    row = Account.objects.filter(name=name.strip().casefold()).first()
    if row is None:
        raise UnknownCode(
            told("nobody here is called {name!r}; graftwright people lists them", name=name[:40])
        )
    return known_account(row)


def has_organiser() -> bool:
    """Return whether somebody is here who may let others in."""
    return Account.objects.filter(role=Role.ORGANISER, is_active=True).exists()


def change_role(account_id: int, role: Role) -> KnownAccount:
    """Give an account another role. Raises CannotFollow if no organiser would be left."""
    with in_turn():
        row = _row(account_id)
        if role is not Role.ORGANISER:
            _check_not_last(row)
        row.role = english(role)
        row.save()
    return known_account(row)


def change_password(account_id: int, password: str) -> KnownAccount:
    """Set another password and end every sign-in of the account.

    Raises OutOfRange for a password that will not do.
    """
    with in_turn():
        row = _row(account_id)
        _set_password(row, password)
        row.save()
        _end_all(row)
    return known_account(row)


def close_account(account_id: int) -> KnownAccount:
    """Close an account and end every sign-in. Raises CannotFollow for the last organiser."""
    with in_turn():
        row = _row(account_id)
        _check_not_last(row)
        row.is_active, row.closed_at = False, datetime.now(UTC)
        row.save()
        _end_all(row)
    return known_account(row)


def sign_ins(account_id: int) -> tuple[KnownSignIn, ...]:
    """Return where an account is signed in, the newest first."""
    rows = SignIn.objects.filter(account_id=account_id, expire_date__gt=datetime.now(UTC))
    return tuple(
        KnownSignIn(
            key=row.session_key,
            phone_name=row.phone_name,
            made_at=row.made_at,
            seen_on=row.seen_on,
            ends_at=row.expire_date,
        )
        for row in rows.order_by("-made_at")
    )


def end_sign_in(account_id: int, key: str) -> bool:
    """End one sign-in of an account; say whether there was one."""
    return bool(SignIn.objects.filter(account_id=account_id, pk=key).delete()[0])


def known_account(row: Account) -> KnownAccount:
    """Return what may be shown of a row."""
    return KnownAccount(
        account_id=row.pk,
        name=row.name,
        initials=row.initials,
        role=Role(row.role),
        is_open=row.is_active,
    )


def _row(account_id: int) -> Account:
    row = Account.objects.filter(pk=account_id).first()
    if row is None:
        raise UnknownCode(
            told("no account {account_id}; look at the list of people again", account_id=account_id)
        )
    return row


def _checked_name(name: str) -> str:
    words = " ".join(name.split()).casefold()
    if not _NAME.fullmatch(words):
        raise OutOfRange(
            told(
                "the name {name!r}; expected 1 to 40 letters, digits, spaces, dots or dashes",
                name=name[:50],
            )
        )
    return words


def _checked_initials(initials: str) -> str:
    letters = "".join(initials.split()).upper()
    if not _INITIALS.fullmatch(letters):
        raise OutOfRange(
            told(
                "the initials {initials!r}; expected 1 to 12 letters or digits",
                initials=initials[:20],
            )
        )
    return letters


def _set_password(row: Account, password: str) -> None:
    try:
        validate_password(password, user=row)
    except ValidationError as weak:
        raise OutOfRange(" ".join(weak.messages)) from weak
    row.set_password(password)


def _check_not_last(row: Account) -> None:
    others = Account.objects.filter(role=Role.ORGANISER, is_active=True).exclude(pk=row.pk)
    if row.role == Role.ORGANISER and row.is_active and not others.exists():
        raise CannotFollow(
            told(
                "{name} is the only organiser; make somebody else one first, or nobody "
                "could let others in",
                name=row.name,
            )
        )


def _end_all(row: Account) -> None:
    SignIn.objects.filter(account=row).delete()
    PairingLink.objects.filter(account=row).delete()
