"""Command that merges this notebook with a copy on another server. The notebook is open already."""

import argparse
import os
import sys
from getpass import getpass

from graftwright.cli.other_server import OtherServer, check_address
from graftwright.errors import NotUnderstood
from graftwright.store.clash_list import clash_list
from graftwright.store.merging_with import Merged, merge_with
from graftwright.tongue import say, told

TOKEN_NAME = "GRAFTWRIGHT_TOKEN"


def merge(asked: argparse.Namespace) -> int:
    """Compare with the other copy, take what is missing here and give what is missing there."""
    address = check_address(asked.address, unencrypted=asked.unencrypted)
    if asked.trust is not None and not asked.trust.is_file():
        raise NotUnderstood(
            told("there is no file {trust}; expected a certificate, PEM", trust=asked.trust)
        )
    other = OtherServer(address=address, token=_token(), trust=asked.trust)
    may_give = other.may_give()
    gives = may_give and not asked.take_only
    merged = merge_with(other, gives=gives, report=lambda words: print(words, file=sys.stderr))
    _print(merged, gives=gives)
    if not may_give and not asked.take_only:
        print(say("The token lets nothing be given; have one made there with --copy --write."))
    if count := len(clash_list()):
        print(told("{count} to settle: graftwright clashes, or the page To settle.", count=count))
    return 0


def _token() -> str:
    """Return the token from the environment, or as typed; it is never an argument."""
    token = os.environ.get(TOKEN_NAME, "")
    if not token:
        is_typed = sys.stdin.isatty()
        token = getpass(say("Token of the other copy: ")) if is_typed else sys.stdin.readline()
    token = token.strip()
    if not token or not token.isascii() or not token.isprintable():
        raise NotUnderstood(
            told(
                "no token; on the other machine graftwright token NAME --copy --write "
                "makes one: type it when asked, or set {TOKEN_NAME}",
                TOKEN_NAME=TOKEN_NAME,
            )
        )
    return token


def _print(merged: Merged, *, gives: bool) -> None:
    print(
        told(
            "{taken_count} entries and {photos_taken_count} photos taken in.",
            taken_count=merged.taken_count,
            photos_taken_count=merged.photos_taken_count,
        )
    )
    if gives:
        print(
            told(
                "{given_count} entries and {photos_given_count} photos given.",
                given_count=merged.given_count,
                photos_given_count=merged.photos_given_count,
            )
        )
    if merged.photos_left_count:
        print(
            told(
                "{photos_left_count} photos are whole in neither copy.",
                photos_left_count=merged.photos_left_count,
            )
        )
