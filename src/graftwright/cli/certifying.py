"""The nursery's own certificate authority by command, and its server certificate kept fresh."""

import argparse
import os
import socket
import threading
from collections.abc import Callable, Sequence
from datetime import UTC, datetime
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, Any

from graftwright.cli.network import own_address
from graftwright.errors import GraftwrightError, NotUnderstood
from graftwright.store.database import folder_from
from graftwright.tongue import say, told

if TYPE_CHECKING:
    from graftwright.cli import authority as authority_module

_LOOK_EVERY_S = 3600.0


def make(asked: argparse.Namespace) -> int:
    """Make the authority and say what to give to the phones."""
    names, addresses = asked.name or [], asked.address or []
    if not names and not addresses:
        host = socket.gethostname().casefold().removesuffix(".local")
        names, addresses = [host, f"{host}.local"], own_address()
    _said(
        _loaded().make_authority(
            _notebook(), names=names, addresses=addresses, now=datetime.now(UTC)
        )
    )
    return 0


def show(_asked: argparse.Namespace) -> int:
    """Say what the authority may vouch for, until when, and what the phones are given."""
    _said(_loaded().read_authority(_notebook()))
    return 0


def ready_certificate(hosts: Sequence[str]) -> Path:
    """Return a file with key and chain for the hosts. Raises CannotFollow."""
    authority = _loaded()
    held = authority.read_authority(_notebook())
    return Path(authority.server_certificate(held, hosts, now=datetime.now(UTC)))


def hosts_of_authority() -> list[str]:
    """Return the names and single addresses that the authority vouches for."""
    authority = _loaded().read_authority(_notebook())
    alone = [str(one.network_address) for one in authority.networks if one.num_addresses == 1]
    return [*authority.names, *(f"[{one}]" if ":" in one else one for one in alone)]


def keep_fresh(hosts: Sequence[str], *, renewed: Callable[[], object]) -> threading.Thread:
    """Look every hour whether the certificate must be renewed; call `renewed` when it was."""
    thread = threading.Thread(target=_look_after, args=(tuple(hosts), renewed), daemon=True)
    thread.start()
    return thread


def _look_after(hosts: tuple[str, ...], renewed: Callable[[], object]) -> None:
    never = threading.Event()
    while not never.wait(_LOOK_EVERY_S):
        look_once(hosts, renewed)


def look_once(hosts: Sequence[str], renewed: Callable[[], object]) -> None:
    """Renew the certificate if it is time; what refuses is said and tried again."""
    try:
        before = _moment_of(_notebook() / "authority" / "server.pem")
        if _moment_of(ready_certificate(hosts)) != before:
            renewed()
    except (GraftwrightError, OSError) as refused:
        print(
            told("graftwright: the certificate was not renewed: {refused}", refused=refused),
            flush=True,
        )


def _moment_of(path: Path) -> int:
    return path.stat().st_mtime_ns if path.exists() else 0


def _said(authority: "authority_module.Authority") -> None:
    vouched = ", ".join((*authority.names, *map(str, authority.networks)))
    print(told("It may vouch for {vouched}, and for nothing else.", vouched=vouched))
    print(told("It ends on {ends_at:%d %B %Y}.", ends_at=authority.ends_at))
    print(
        told(
            "Give phones this file, by cable or in the hand: {for_phones}",
            for_phones=authority.for_phones,
        )
    )
    print(
        told("Compare its SHA-256 on each phone:\n{fingerprint}", fingerprint=authority.fingerprint)
    )
    print(say("What trusting it means, and the steps on each phone: docs/certificates.md"))


def _notebook() -> Path:
    return folder_from(os.environ)


def _loaded() -> Any:
    try:
        return import_module("graftwright.cli.authority")
    except ModuleNotFoundError as missing:
        raise NotUnderstood(
            told(
                "certificates need the extra https ({missing}); install graftwright[https]",
                missing=missing,
            )
        ) from missing
