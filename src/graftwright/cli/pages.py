"""The pages served on this machine."""

import argparse

from granian import Granian
from granian.constants import Interfaces

from graftwright.cli.daily import back_up_daily


def serve(asked: argparse.Namespace) -> int:
    """Serve the pages until stopped."""
    serve_on(asked.port)
    return 0


def serve_on(port: int) -> None:
    """Serve the pages on this machine alone (loopback), one worker, four threads."""
    back_up_daily()
    print(f"The pages are at http://127.0.0.1:{port}/  (stop with Ctrl-C)", flush=True)
    Granian(
        "graftwright.web.wsgi:application",
        address="127.0.0.1",
        port=port,
        interface=Interfaces.WSGI,
        workers=1,
        blocking_threads=4,
        log_enabled=False,
    ).serve()
