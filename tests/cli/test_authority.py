"""The nursery's own authority, judged by OpenSSL and by the TLS of the standard library."""

import os
import signal
import socket
import ssl
import subprocess
import sys
import time
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

pytest.importorskip("cryptography", reason="the extra https is not installed")

from graftwright.cli import certifying
from graftwright.cli.authority import (
    SERVER_DAYS,
    Authority,
    _issued,
    make_authority,
    read_authority,
    server_certificate,
)
from graftwright.errors import CannotFollow, DamagedFile, NotUnderstood

_NOW = datetime.now(UTC)
_NAMES = ("nursery.local", "nursery")


@pytest.fixture
def authority(tmp_path: Path) -> Authority:
    return make_authority(
        tmp_path, names=_NAMES, addresses=("192.168.7.0/24", "127.0.0.1"), now=_NOW
    )


def _verdict(authority: Authority, chain: bytes, tmp_path: Path, *asked: str) -> str:
    """Return what OpenSSL says of a server's chain to somebody who trusts the root."""
    file = tmp_path / "chain.pem"
    file.write_bytes(chain)
    command = ["openssl", "verify", "-purpose", "sslserver", *asked]
    command += ["-CAfile", str(authority.folder / "root.pem"), "-untrusted", str(file), str(file)]
    try:
        done = subprocess.run(command, capture_output=True, text=True, check=False)
    except FileNotFoundError:
        pytest.skip("openssl is not here to judge")
    return done.stdout + done.stderr


def test_a_reader_that_trusts_the_root_takes_the_server_by_name_and_by_address(
    authority: Authority, tmp_path: Path
) -> None:
    hosts = ("nursery.local", "192.168.7.20", "elsewhere.example")
    chain = server_certificate(authority, hosts, now=_NOW).read_bytes()
    for asked in (("-verify_hostname", "nursery.local"), ("-verify_ip", "192.168.7.20")):
        assert ": OK" in _verdict(authority, chain, tmp_path, *asked)
    assert "mismatch" in _verdict(authority, chain, tmp_path, "-verify_hostname", "nursery")
    strangers = _verdict(authority, chain, tmp_path, "-verify_hostname", "elsewhere.example")
    assert "mismatch" in strangers


@pytest.mark.parametrize("host", ["bank.example", "192.168.8.20", "2001:db8::1"])
def test_with_its_stolen_key_nobody_can_vouch_for_another_name(
    authority: Authority, tmp_path: Path, host: str
) -> None:
    forged = _issued(authority, ["nursery.local", host], _NOW)
    assert "permitted subtree violation" in _verdict(authority, forged, tmp_path)


@pytest.mark.parametrize("host", ["bank.example", "192.168.7.20", "fd00::1"])
def test_an_authority_for_names_alone_vouches_for_no_address(tmp_path: Path, host: str) -> None:
    alone = make_authority(tmp_path, names=_NAMES, addresses=(), now=_NOW)
    verdict = _verdict(alone, _issued(alone, ["nursery.local", host], _NOW), tmp_path)
    assert "subtree violation" in verdict


def test_an_authority_for_addresses_alone_vouches_for_no_name(tmp_path: Path) -> None:
    alone = make_authority(tmp_path, names=(), addresses=("10.1.0.0/16",), now=_NOW)
    assert ": OK" in _verdict(alone, _issued(alone, ["10.1.2.3"], _NOW), tmp_path)
    forged = _issued(alone, ["10.1.2.3", "bank.example"], _NOW)
    assert "subtree violation" in _verdict(alone, forged, tmp_path)


def test_keys_are_readable_by_their_owner_alone_and_the_root_s_is_nowhere(
    authority: Authority, tmp_path: Path
) -> None:
    server_certificate(authority, _NAMES, now=_NOW)
    private = [one for one in authority.folder.iterdir() if b"PRIVATE KEY" in one.read_bytes()]
    assert {one.name for one in private} == {"issuer-key.pem", "server.pem"}
    assert {one.stat().st_mode & 0o777 for one in private} == {0o600}
    assert authority.folder.stat().st_mode & 0o777 == 0o700
    assert authority.for_phones not in private
    ask = ["openssl", "x509", "-inform", "DER", "-noout", "-fingerprint", "-sha256", "-in"]
    listed = subprocess.run(
        [*ask, authority.for_phones], capture_output=True, text=True, check=False
    )
    assert authority.fingerprint in listed.stdout


def test_a_certificate_is_kept_until_ten_days_before_its_end_and_then_made_anew(
    authority: Authority,
) -> None:
    first = server_certificate(authority, _NAMES, now=_NOW).read_bytes()
    later = _NOW + timedelta(days=SERVER_DAYS - 10, minutes=-1)
    assert server_certificate(authority, _NAMES, now=later).read_bytes() == first
    due = later + timedelta(minutes=2)
    assert server_certificate(authority, _NAMES, now=due).read_bytes() != first


def test_another_name_served_makes_the_certificate_anew(authority: Authority) -> None:
    first = server_certificate(authority, ["nursery"], now=_NOW).read_bytes()
    assert server_certificate(authority, _NAMES, now=_NOW).read_bytes() != first


@pytest.mark.parametrize(
    ("names", "addresses"),
    [
        (["bank.example"], []),
        (["example.com"], []),
        (["nursery.local.example.com"], []),
        (["*.local"], []),
        (["local host"], []),
        ([], ["8.8.8.8"]),
        ([], ["0.0.0.0/0"]),
        ([], ["::/0"]),
        ([], ["192.168.1.7/24"]),
        ([], ["nursery.local"]),
        ([], []),
    ],
)
def test_only_private_names_and_addresses_are_taken(
    tmp_path: Path, names: list[str], addresses: list[str]
) -> None:
    with pytest.raises(NotUnderstood, match="--name" if not addresses else "--address"):
        make_authority(tmp_path, names=names, addresses=addresses, now=_NOW)
    assert not (tmp_path / "authority").exists()


def test_what_is_there_is_not_written_over_and_what_ended_or_is_damaged_is_refused(
    authority: Authority, tmp_path: Path
) -> None:
    with pytest.raises(CannotFollow, match="already"):
        make_authority(tmp_path, names=_NAMES, addresses=(), now=_NOW)
    with pytest.raises(CannotFollow, match="none of these"):
        server_certificate(authority, ["trees.example"], now=_NOW)
    with pytest.raises(CannotFollow, match="ended"):
        server_certificate(authority, _NAMES, now=_NOW + timedelta(days=3 * 365))
    (authority.folder / "issuer.pem").write_text("torn")
    with pytest.raises(DamagedFile, match="cannot be read"):
        read_authority(tmp_path)


def test_the_pages_are_told_when_a_certificate_was_renewed_and_only_then(
    authority: Authority, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("GRAFTWRIGHT_NOTEBOOK", str(tmp_path))
    server_certificate(authority, _NAMES, now=_NOW - timedelta(days=25))
    told: list[bool] = []
    for _ in range(2):
        certifying.look_once(_NAMES, lambda: told.append(True))
    assert told == [True]


def _serial_at(port: int, trusted: Path) -> str:
    """Return the serial number of the certificate served, once it has been proved."""
    context = ssl.create_default_context(cafile=str(trusted))
    with (
        socket.create_connection(("127.0.0.1", port), timeout=20) as way,
        context.wrap_socket(way, server_hostname="127.0.0.1") as proved,
    ):
        shown = proved.getpeercert()
    assert shown
    return str(shown["serialNumber"])


def _serial_within(seconds: float, port: int, trusted: Path, *, unlike: str = "") -> str:
    until = time.monotonic() + seconds
    while time.monotonic() < until:
        try:
            serial = _serial_at(port, trusted)
        except (ConnectionError, TimeoutError):
            serial = unlike
        if serial != unlike:
            return serial
        time.sleep(0.2)
    raise AssertionError("no other certificate was served")


def test_the_pages_are_served_with_it_and_a_renewed_one_is_taken_without_a_stop(
    tmp_path: Path,
) -> None:
    said = {name: value for name, value in os.environ.items() if "GRAFTWRIGHT" not in name}
    said["GRAFTWRIGHT_NOTEBOOK"] = str(tmp_path)
    command = [sys.executable, "-m", "graftwright.cli.main"]

    def run(*words: str) -> str:
        done = subprocess.run(
            [*command, *words],
            env=said,
            input="nine quinces on a sill\n",
            capture_output=True,
            text=True,
            check=True,
        )
        return done.stdout

    run("people", "add", "Rowan", "--initials", "RN", "--role", "organiser")
    run("authority", "make", "--name", "nursery.local", "--address", "127.0.0.1")
    held = read_authority(tmp_path)
    assert held.fingerprint in run("authority", "show")
    with socket.socket() as asked:
        asked.bind(("127.0.0.1", 0))
        port = asked.getsockname()[1]
    words = ["serve", "--network", "127.0.0.1", "--own-certificate", "--port", str(port)]
    server = subprocess.Popen([*command, *words], env=said, start_new_session=True)
    try:
        trusted = held.folder / "root.pem"
        first = _serial_within(40, port, trusted)
        (held.folder / "server.pem").unlink()
        server_certificate(held, ["127.0.0.1"], now=datetime.now(UTC))
        os.kill(server.pid, signal.SIGHUP)  # as `keep_fresh` asks it to
        assert _serial_within(40, port, trusted, unlike=first) != first
    finally:
        os.killpg(server.pid, signal.SIGTERM)
        server.wait(timeout=20)
