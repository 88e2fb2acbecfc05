"""Command that merges this notebook with a copy on another server. The notebook is open already."""

import argparse
import os
import sys
from getpass import getpass

from graftwright.cli.other_server import OtherServer, check_address
from graftwright.errors import NotUnderstood
from graftwright.store.clash_list import clash_list
from graftwright.store.merging_with import Merged, merge_with

TOKEN_NAME = "GRAFTWRIGHT_TOKEN"


def merge(asked: argparse.Namespace) -> int:
    """Compare with the other copy, take what is missing here and give what is missing there."""
    address = check_address(asked.address, unencrypted=asked.unencrypted)
    if asked.trust is not None and not asked.trust.is_file():
        raise NotUnderstood(f"there is no file {asked.trust}; expected a certificate, PEM")
    other = OtherServer(address=address, token=_token(), trust=asked.trust)
    may_give = other.may_give()
    gives = may_give and not asked.take_only
    merged = merge_with(other, gives=gives, report=lambda words: print(words, file=sys.stderr))
    _print(merged, gives=gives)
    if not may_give and not asked.take_only:
        print("The token lets nothing be given; have one made there with --copy --write.")
    if count := len(clash_list()):
        print(f"{count} to settle: graftwright clashes, or the page To settle.")
    return 0


def _token() -> str:
    """Return the token from the environment, or as typed; it is never an argument."""
    token = os.environ.get(TOKEN_NAME, "")
    if not token:
        is_typed = sys.stdin.isatty()
        token = getpass("Token of the other copy: ") if is_typed else sys.stdin.readline()
    token = token.strip()
    if not token or not token.isascii() or not token.isprintable():
        raise NotUnderstood(
            "no token; on the other machine graftwright token NAME --copy --write makes one: type "
            f"it when asked, or set {TOKEN_NAME}"
        )
    return token


def _print(merged: Merged, *, gives: bool) -> None:
    print(f"{merged.taken_count} entries and {merged.photos_taken_count} photos taken in.")
    if gives:
        print(f"{merged.given_count} entries and {merged.photos_given_count} photos given.")
    if merged.photos_left_count:
        print(f"{merged.photos_left_count} photos are whole in neither copy.")
