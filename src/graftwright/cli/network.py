"""Serving on a network: the names the pages answer to, said before anything is loaded."""

import argparse
import os
import socket
from importlib import import_module
from ipaddress import ip_address
from pathlib import Path

from graftwright.errors import NotUnderstood
from graftwright.tongue import say, told

EVERY_ADDRESS = "0.0.0.0"  # asked for on purpose, and only with accounts
# never sent to: the way to it tells which of this machine's addresses others see (RFC 5737)
_SOMEWHERE_ELSE = ("192.0.2.1", 9)


def set_up(asked: argparse.Namespace) -> None:
    """Pass on to the settings from where the pages may be reached.

    Raises NotUnderstood for options that do not go together or files that are not there.
    """
    _check(asked)
    if asked.network is None:
        return
    names = [*(asked.name or ()), *_names_of(asked.network)]
    if asked.own_certificate:
        # loaded only where it is asked for
        certifying = import_module("graftwright.cli.certifying")
        names += certifying.hosts_of_authority()
        asked.certificate = asked.key = certifying.ready_certificate(names)
    os.environ["GRAFTWRIGHT_HOSTS"] = ",".join(dict.fromkeys(names))
    os.environ["GRAFTWRIGHT_ENCRYPTED"] = "1" if asked.certificate else "0"


def _check(asked: argparse.Namespace) -> None:
    if (asked.certificate is None) is not (asked.key is None):
        raise NotUnderstood(say("--certificate and --key go together; give both or neither"))
    for file in (asked.certificate, asked.key):
        if file is not None and not Path(file).is_file():
            raise NotUnderstood(
                told("there is no file {file}; expected a certificate and its key, PEM", file=file)
            )
    if asked.own_certificate and (asked.certificate or asked.unencrypted):
        raise NotUnderstood(say("--own-certificate stands alone; leave the others out"))
    if asked.network is None:
        if asked.certificate or asked.own_certificate or asked.unencrypted or asked.name:
            raise NotUnderstood(say("these options belong to --network; give it as well"))
        return
    if asked.network:
        _check_address(asked.network)
    if not (asked.certificate or asked.own_certificate or asked.unencrypted or _is_behind_proxy()):
        raise NotUnderstood(
            say(
                "passwords would cross the network readable by everybody on it; give "
                "--own-certificate (see graftwright authority), or --certificate and "
                "--key, or stand behind a proxy that encrypts "
                "(GRAFTWRIGHT_BEHIND_PROXY), or say --unencrypted where you trust the "
                "whole network"
            )
        )


def _is_behind_proxy() -> bool:
    return os.environ.get("GRAFTWRIGHT_BEHIND_PROXY", "") not in ("", "0")


def _check_address(text: str) -> None:
    try:
        ip_address(text)
    except ValueError as wrong:
        raise NotUnderstood(
            told(
                "--network {text}; expected an address of this machine such as "
                "192.168.1.20, or nothing for all of them; a name is given by --name",
                text=text,
            )
        ) from wrong


def _names_of(address: str) -> list[str]:
    """Return what the pages may be called at an address: at all of them, this machine's names."""
    if address and not ip_address(address).is_unspecified:
        return [f"[{address}]" if ":" in address else address]
    host = socket.gethostname().casefold().removesuffix(".local")
    return [*own_address(), host, f"{host}.local"]


def own_address() -> list[str]:
    """Return the address by which others see this machine, or nothing."""
    try:
        with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asked:
            asked.connect(_SOMEWHERE_ELSE)
            return [str(asked.getsockname()[0])]
    except OSError:
        return []
