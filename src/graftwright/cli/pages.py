"""The pages served on this machine, or on a network to those who have an account."""

import argparse
from dataclasses import dataclass
from pathlib import Path

from django.conf import settings
from granian import Granian
from granian.constants import Interfaces

from graftwright.cli.certifying import keep_fresh
from graftwright.cli.daily import back_up_daily
from graftwright.cli.network import EVERY_ADDRESS
from graftwright.errors import CannotFollow
from graftwright.store.accounts import has_organiser
from graftwright.tongue import say, told

_THIS_MACHINE = "127.0.0.1"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Secured:
    """A certificate and its key, for https."""

    certificate: Path
    key: Path
    is_own: bool = False


def serve(asked: argparse.Namespace) -> int:
    """Serve the pages until stopped."""
    secured = None
    if asked.certificate:
        secured = _Secured(
            certificate=asked.certificate, key=asked.key, is_own=asked.own_certificate
        )
    address = _THIS_MACHINE if asked.network is None else asked.network or EVERY_ADDRESS
    serve_on(asked.port, address=address, secured=secured)
    return 0


def serve_on(port: int, *, address: str = _THIS_MACHINE, secured: _Secured | None = None) -> None:
    """Serve the pages, one worker, four threads; on this machine alone unless told otherwise.

    Raises CannotFollow where accounts are asked for and nobody could let others in.
    """
    if settings.NEEDS_ACCOUNT and not has_organiser():
        raise CannotFollow(
            say(
                "nobody could sign in: there is no organiser yet; add one with "
                "graftwright people add NAME --initials INITIALS --role organiser, "
                "then serve again"
            )
        )
    back_up_daily()
    print(
        told("The pages are at {where}  (stop with Ctrl-C)", where=_where(port, secured)),
        flush=True,
    )
    server = Granian(
        "graftwright.web.served:application",
        address=address,
        port=port,
        interface=Interfaces.WSGI,
        workers=1,
        blocking_threads=4,
        log_enabled=False,
        ssl_cert=secured.certificate if secured else None,
        ssl_key=secured.key if secured else None,
    )
    if secured and secured.is_own:
        # the worker that follows reads the renewed file; answers begun are finished first
        keep_fresh(settings.ALLOWED_HOSTS, renewed=server.signal_handler_reload)
    server.serve()


def _where(port: int, secured: _Secured | None) -> str:
    scheme = "https" if secured else "http"
    is_for_others = settings.NEEDS_ACCOUNT and not settings.BEHIND_PROXY
    hosts = settings.ALLOWED_HOSTS[3:] if is_for_others else [_THIS_MACHINE]
    return ", ".join(f"{scheme}://{host}:{port}/" for host in hosts)
