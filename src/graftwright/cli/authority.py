"""A certificate authority of one's own, for one machine's private names and no others.

Two links: a root that the phones trust, and an issuer below it. The root's key is thrown away once
it has signed the issuer, so nothing further can ever be signed by it. The issuer carries the names
it may vouch for as a critical constraint, which a reader of certificates honours below a root even
where it would not on the root itself. Needs the extra `https`.

Sources: RFC 5280 (certificates, 4.2.1.10 name constraints), RFC 6762 (`.local`), RFC 8375
(`home.arpa`), RFC 1918 and RFC 4193 (private addresses).
"""

import os
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from ipaddress import (
    IPv4Address,
    IPv4Network,
    IPv6Address,
    IPv6Network,
    ip_address,
    ip_network,
)
from pathlib import Path
from typing import Final

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from graftwright.errors import CannotFollow, DamagedFile, NotUnderstood
from graftwright.tongue import say, told

Network = IPv4Network | IPv6Network

AUTHORITY_DAYS: Final = 3 * 365
SERVER_DAYS: Final = 30
RENEW_BEFORE: Final = timedelta(days=10)
_CLOCKS_DIFFER: Final = timedelta(days=1)  # a phone whose clock is behind still takes it
_PRIVATE_ENDINGS: Final = (".local", ".home.arpa", ".internal", ".lan")
_NAME: Final = re.compile(r"(?!-)[a-z0-9-]{1,63}(?<!-)(\.(?!-)[a-z0-9-]{1,63}(?<!-))*")
_EVERYWHERE: Final = (ip_network("0.0.0.0/0"), ip_network("::/0"))
_FOLDER: Final = "authority"


@dataclass(frozen=True, slots=True, kw_only=True)
class Authority:
    """An authority as it lies in the notebook's folder, and what it may vouch for."""

    folder: Path
    root: x509.Certificate
    issuer: x509.Certificate
    names: tuple[str, ...]
    networks: tuple[Network, ...]

    @property
    def for_phones(self) -> Path:
        """The file that phones are given: the root's certificate, without any key."""
        return self.folder / "nursery-authority.crt"

    @property
    def fingerprint(self) -> str:
        """The root's SHA-256 in pairs, as phones show it."""
        return self.root.fingerprint(hashes.SHA256()).hex(":").upper()

    @property
    def ends_at(self) -> datetime:
        """The moment from which phones refuse it."""
        return self.issuer.not_valid_after_utc

    def vouches_for(self, host: str) -> bool:
        """Return whether a name or an address lies within what the authority may vouch for."""
        address = _as_address(host)
        if address is not None:
            return any(address in network for network in self.networks)
        return any(host == name or host.endswith(f".{name}") for name in self.names)


def make_authority(
    notebook: Path, *, names: Sequence[str], addresses: Sequence[str], now: datetime
) -> Authority:
    """Make the authority in `notebook/authority`, the issuer's key readable by its owner alone.

    Raises NotUnderstood for a name or address that is not private, CannotFollow where one is there.
    """
    said = tuple(dict.fromkeys(_private_name(one) for one in names))
    networks = tuple(dict.fromkeys(_private_network(one) for one in addresses))
    if not said and not networks:
        raise NotUnderstood(say("no name and no address; give --name nursery.local or --address"))
    folder = notebook / _FOLDER
    if folder.exists():
        raise CannotFollow(
            told(
                "there is an authority in {folder} already; phones trust that one. To "
                "begin anew, take that folder away, make another and have every phone "
                "trust it and forget the old",
                folder=folder,
            )
        )
    root_key, issuer_key = (ec.generate_private_key(ec.SECP256R1()) for _ in range(2))
    title = f"Graftwright {(*said, *map(str, networks))[0]}"[:50]  # not said
    root = _authority_certificate(title, root_key, root_key, None, (said, networks), now)
    issuer = _authority_certificate(
        f"{title} issuer",  # not said
        issuer_key,
        root_key,
        root.subject,
        (said, networks),
        now,
    )
    folder.mkdir(parents=True, mode=0o700)
    _write(folder / "issuer-key.pem", _private_pem(issuer_key), mode=0o600)
    _write(folder / "issuer.pem", _pem(issuer), mode=0o600)
    _write(folder / "root.pem", _pem(root), mode=0o644)
    _write(
        folder / "nursery-authority.crt",
        root.public_bytes(serialization.Encoding.DER),
        mode=0o644,
    )
    return read_authority(notebook)


def read_authority(notebook: Path) -> Authority:
    """Return the authority of a notebook. Raises CannotFollow or DamagedFile."""
    folder = notebook / _FOLDER
    if not folder.is_dir():
        raise CannotFollow(
            told(
                "there is no authority in {folder}; make one with graftwright authority make",
                folder=folder,
            )
        )
    try:
        root = x509.load_pem_x509_certificate((folder / "root.pem").read_bytes())
        issuer = x509.load_pem_x509_certificate((folder / "issuer.pem").read_bytes())
        limits = issuer.extensions.get_extension_for_class(x509.NameConstraints).value
    except (OSError, ValueError, x509.ExtensionNotFound) as wrong:
        raise DamagedFile(
            told(
                "the authority in {folder} cannot be read ({wrong}); take the folder "
                "away, make another with graftwright authority make, and have the "
                "phones trust that",
                folder=folder,
                wrong=wrong,
            )
        ) from wrong
    permitted = limits.permitted_subtrees or ()
    return Authority(
        folder=folder,
        root=root,
        issuer=issuer,
        names=tuple(one.value for one in permitted if isinstance(one, x509.DNSName)),
        networks=tuple(
            one.value
            for one in permitted
            if isinstance(one, x509.IPAddress) and isinstance(one.value, Network)
        ),
    )


def server_certificate(authority: Authority, hosts: Iterable[str], *, now: datetime) -> Path:
    """Return the file with the server's key and chain, made anew if the one there will not do.

    It will not do when it ends within ten days or does not cover the hosts.
    Raises CannotFollow where the authority has ended or may vouch for none of the hosts.
    """
    covered = sorted({one.strip("[]") for one in hosts if authority.vouches_for(one.strip("[]"))})
    if not covered:
        raise CannotFollow(
            told(
                "the authority may vouch for {listed} alone, and the pages are served "
                "under none of these; serve one of them by --name or --network "
                "ADDRESS, or begin anew",
                listed=_listed(authority),
            )
        )
    if authority.ends_at - now < timedelta(days=1):
        raise CannotFollow(
            told(
                "the authority ended on {ends_at:%d %B %Y}; take {folder} away, make "
                "another with graftwright authority make, and have the phones trust "
                "that",
                ends_at=authority.ends_at,
                folder=authority.folder,
            )
        )
    path = authority.folder / "server.pem"
    if not is_good(path, covered, now=now):
        _write(path, _issued(authority, covered, now), mode=0o600)
    return path


def is_good(path: Path, hosts: Sequence[str], *, now: datetime) -> bool:
    """Return whether the server's certificate covers the hosts and is far from its end."""
    try:
        held = x509.load_pem_x509_certificate(path.read_bytes())
        named = held.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    except (OSError, ValueError, x509.ExtensionNotFound):
        return False
    shown = {str(one.value) for one in named}
    is_now = held.not_valid_before_utc <= now < held.not_valid_after_utc - RENEW_BEFORE
    return is_now and set(hosts) <= shown


def _issued(authority: Authority, hosts: Sequence[str], now: datetime) -> bytes:
    """Return a fresh key, its certificate and the issuer's, one after another."""
    try:
        signing = serialization.load_pem_private_key(
            (authority.folder / "issuer-key.pem").read_bytes(), password=None
        )
    except (OSError, ValueError) as wrong:
        raise DamagedFile(
            told("the authority's key cannot be read ({wrong})", wrong=wrong)
        ) from wrong
    assert isinstance(signing, ec.EllipticCurvePrivateKey)
    key = ec.generate_private_key(ec.SECP256R1())
    ends_at = min(now + timedelta(days=SERVER_DAYS), authority.ends_at)
    # words, not a host: readers would hold a host here against the constraints
    title = "Graftwright pages"  # not said
    built = _begun(title, authority.issuer.subject, key, now=now, ends_at=ends_at)
    usage = x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH])
    named = x509.SubjectAlternativeName([_general_name(one) for one in hosts])
    built = (
        built.add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(_key_usage(is_authority=False), critical=True)
        .add_extension(usage, critical=False)
        .add_extension(named, critical=False)
        .add_extension(_signer(signing), critical=False)
    )
    certificate = built.sign(signing, hashes.SHA256())
    return _pem(certificate) + _pem(authority.issuer) + _private_pem(key)


def _authority_certificate(
    title: str,
    key: ec.EllipticCurvePrivateKey,
    signing: ec.EllipticCurvePrivateKey,
    signer: x509.Name | None,
    limits: tuple[Sequence[str], Sequence[Network]],
    now: datetime,
) -> x509.Certificate:
    """Return a root (no signer) or the issuer below it, both bound to the same names."""
    subject = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, title)])
    ends_at = now + timedelta(days=AUTHORITY_DAYS)
    built = _begun(title, signer or subject, key, now=now, ends_at=ends_at)
    depth = x509.BasicConstraints(ca=True, path_length=0 if signer else 1)
    usage = x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH])
    built = (
        built.add_extension(depth, critical=True)
        .add_extension(_key_usage(is_authority=True), critical=True)
        .add_extension(usage, critical=False)
        .add_extension(_constraints(*limits), critical=True)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
        .add_extension(_signer(signing), critical=False)
    )
    return built.sign(signing, hashes.SHA256())


def _constraints(names: Sequence[str], networks: Sequence[Network]) -> x509.NameConstraints:
    """Permit what is stated; a kind of name of which nothing is stated is shut out whole."""
    permitted: list[x509.GeneralName] = [x509.DNSName(one) for one in names]
    permitted += [x509.IPAddress(one) for one in networks]
    shut: list[x509.GeneralName] = []
    if not networks:
        shut += [x509.IPAddress(one) for one in _EVERYWHERE]
    if not names:
        shut.append(x509.DNSName(""))
    return x509.NameConstraints(permitted_subtrees=permitted, excluded_subtrees=shut or None)


def _begun(
    title: str,
    issuer: x509.Name,
    key: ec.EllipticCurvePrivateKey,
    *,
    now: datetime,
    ends_at: datetime,
) -> x509.CertificateBuilder:
    return (
        x509.CertificateBuilder()
        .subject_name(x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, title)]))
        .issuer_name(issuer)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - _CLOCKS_DIFFER)
        .not_valid_after(ends_at)
    )


def _key_usage(*, is_authority: bool) -> x509.KeyUsage:
    return x509.KeyUsage(
        digital_signature=not is_authority,
        content_commitment=False,
        key_encipherment=False,
        data_encipherment=False,
        key_agreement=False,
        key_cert_sign=is_authority,
        crl_sign=is_authority,
        encipher_only=False,
        decipher_only=False,
    )


def _signer(key: ec.EllipticCurvePrivateKey) -> x509.AuthorityKeyIdentifier:
    return x509.AuthorityKeyIdentifier.from_issuer_public_key(key.public_key())


def _general_name(host: str) -> x509.GeneralName:
    address = _as_address(host)
    return x509.DNSName(host) if address is None else x509.IPAddress(address)


def _as_address(host: str) -> IPv4Address | IPv6Address | None:
    try:
        return ip_address(host)
    except ValueError:
        return None


def _private_name(text: str) -> str:
    name = text.strip().casefold().rstrip(".")
    is_private = "." not in name or name.endswith(_PRIVATE_ENDINGS)
    if _NAME.fullmatch(name) and is_private and _as_address(name) is None:
        return name
    raise NotUnderstood(
        told(
            "--name {text}; expected a name of your own network: one word such as "
            "nursery, or one that ends in {listed}. For a public name, get a "
            "public certificate",
            text=text,
            listed=", ".join(_PRIVATE_ENDINGS),
        )
    )


def _private_network(text: str) -> Network:
    try:
        network = ip_network(text.strip().strip("[]"))
    except ValueError as wrong:
        raise NotUnderstood(
            told(
                "--address {text} ({wrong}); expected one such as 192.168.1.20 or 192.168.1.0/24",
                text=text,
                wrong=wrong,
            )
        ) from wrong
    if not network.is_private or network.is_unspecified or not network.prefixlen:
        raise NotUnderstood(
            told(
                "--address {text} is not an address of a private network; expected one "
                "such as 192.168.1.20 or 10.0.0.0/24",
                text=text,
            )
        )
    return network


def _listed(authority: Authority) -> str:
    return ", ".join((*authority.names, *map(str, authority.networks)))


def _pem(certificate: x509.Certificate) -> bytes:
    return certificate.public_bytes(serialization.Encoding.PEM)


def _private_pem(key: ec.EllipticCurvePrivateKey) -> bytes:
    return key.private_bytes(
        serialization.Encoding.PEM,
        serialization.PrivateFormat.PKCS8,
        serialization.NoEncryption(),
    )


def _write(path: Path, content: bytes, *, mode: int) -> None:
    """Write a file whole or not at all, its rights set before anything is in it."""
    fresh = path.with_suffix(".new")
    fresh.unlink(missing_ok=True)
    descriptor = os.open(fresh, os.O_WRONLY | os.O_CREAT | os.O_EXCL, mode)
    with os.fdopen(descriptor, "wb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())
    fresh.replace(path)
