"""Commands about people: who may come in. Passwords are asked for, never taken as an argument."""

import argparse
import sys
from getpass import getpass

from graftwright.errors import NotUnderstood
from graftwright.store.accounts import (
    account_named,
    accounts,
    add_account,
    change_password,
    change_role,
    close_account,
)
from graftwright.store.signed_in import Role
from graftwright.tongue import say, told


def add(asked: argparse.Namespace) -> int:
    """Open an account."""
    account = add_account(
        asked.name, initials=asked.initials, role=Role(asked.role), password=_new_password()
    )
    print(
        told(
            "{account_name} may come in as {role} and writes as {initials}.",
            account_name=account.name,
            role=account.role,
            initials=account.initials,
        )
    )
    return 0


def show(_asked: argparse.Namespace) -> int:
    """Print every account."""
    for one in accounts():
        state = one.role if one.is_open else say("closed")
        print(f"{one.name:<40}  {one.initials:<12}  {state}")
    return 0


def role(asked: argparse.Namespace) -> int:
    """Give an account another role."""
    account = change_role(account_named(asked.name).account_id, Role(asked.role))
    print(
        told("{account_name} is {role} from now on.", account_name=account.name, role=account.role)
    )
    return 0


def password(asked: argparse.Namespace) -> int:
    """Set an account's password anew."""
    account = account_named(asked.name)
    change_password(account.account_id, _new_password())
    print(
        told(
            "The password of {account_name} is set; every sign-in of theirs has ended.",
            account_name=account.name,
        )
    )
    return 0


def close(asked: argparse.Namespace) -> int:
    """Close an account."""
    account = close_account(account_named(asked.name).account_id)
    print(
        told(
            "The account of {account_name} is closed; what it wrote stays.",
            account_name=account.name,
        )
    )
    return 0


def _new_password() -> str:
    """Return a password typed twice, or one line where no person types."""
    if not sys.stdin.isatty():
        return sys.stdin.readline().rstrip("\r\n")
    first = getpass(say("New password (at least 10 signs): "))
    if getpass(say("Once more: ")) != first:
        raise NotUnderstood(say("the two did not agree; nothing was changed; try again"))
    return first
