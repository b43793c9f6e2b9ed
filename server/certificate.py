"""Makes the certificate that https needs, on this machine, for this library alone.

Two certificates: an authority that a tablet is told to trust once, and the server's own, signed by it. The
authority can vouch for nothing but private addresses and names of a local network (RFC 5280, 4.2.1.10,
name constraints), so trusting it opens no door to anybody else's pages. Both keys stay in the data
folder, readable by their owner only.
"""

from __future__ import annotations

import datetime as dt
import ipaddress
import os
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from server.addresses import is_address

if TYPE_CHECKING:
    from cryptography import x509
    from cryptography.hazmat.primitives.asymmetric.ec import EllipticCurvePrivateKey

AUTHORITY_DAYS, SERVER_DAYS = 3650, 397
"""Ten years, so that nobody has to trust anew; and a bit over a year, which every device accepts."""
RENEWED_BEFORE = 30
"""Days before its end at which the server's certificate is made anew, at a start."""
PRIVATE_NETWORKS = (
    "10.0.0.0/8",
    "172.16.0.0/12",
    "192.168.0.0/16",
    "169.254.0.0/16",
    "127.0.0.0/8",
)
PRIVATE_NETWORKS_6 = ("fc00::/7", "fe80::/10", "::1/128")
"""RFC 1918, 3927, 4193 and 4291: addresses that nobody reaches from outside."""
LOCAL_NAMES = ("local", "lan", "home.arpa", "internal", "localhost")
"""Ends of names that mean something in a local network only."""


@dataclass(frozen=True, slots=True)
class Authority:
    """The certificate that devices are told to trust."""

    der: bytes
    fingerprint: str
    """SHA-256 in groups of two, as devices show it."""
    ends: dt.datetime


@dataclass(frozen=True, slots=True)
class ServerFiles:
    """The files that a server speaks https with."""

    certificate: Path
    """The server's certificate with the authority's behind it."""
    key: Path


def read_authority(data: Path) -> Authority | None:
    """The authority of a data folder; None where none was made."""
    from cryptography import x509
    from cryptography.hazmat.primitives import hashes
    from cryptography.hazmat.primitives.serialization import Encoding

    file = data / "https" / "authority.pem"
    if not file.is_file():
        return None
    found = x509.load_pem_x509_certificate(file.read_bytes())
    digest = found.fingerprint(hashes.SHA256()).hex().upper()
    pairs = ":".join(digest[at : at + 2] for at in range(0, len(digest), 2))
    return Authority(found.public_bytes(Encoding.DER), pairs, found.not_valid_after_utc)


def make_certificates(data: Path, names: Sequence[str], now: dt.datetime) -> ServerFiles:
    """The server's certificate for its names; made where it is missing, ends soon, or lacks a name.

    Args:
        data: The private data folder.
        names: Names and addresses the server answers to.
        now: The present moment.
    """
    folder = data / "https"
    folder.mkdir(parents=True, exist_ok=True, mode=0o700)
    files = ServerFiles(folder / "server.pem", folder / "server-key.pem")
    authority = _kept(folder / "authority.pem", folder / "authority-key.pem")
    if authority is None or not _vouches(authority[0], names, now):
        authority = _make_authority(names, now)
        _keep(folder / "authority.pem", folder / "authority-key.pem", *authority)
        files.certificate.unlink(missing_ok=True)
    own = _kept(files.certificate, files.key)
    if own is None or not _lasts(own[0], names, now):
        _keep(files.certificate, files.key, *_make_server(authority, names, now), authority[0])
    return files


def _make_authority(
    names: Sequence[str], now: dt.datetime
) -> tuple[x509.Certificate, EllipticCurvePrivateKey]:
    from cryptography import x509
    from cryptography.hazmat.primitives import hashes
    from cryptography.hazmat.primitives.asymmetric import ec

    key = ec.generate_private_key(ec.SECP256R1())
    name = _called(f"Lowshelf on {names[0]}")
    usage = x509.KeyUsage(False, False, False, False, False, True, True, False, False)
    made = (
        _begun(name, name, key, now, AUTHORITY_DAYS)
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(usage, critical=True)
        .add_extension(x509.NameConstraints(_vouched(names), None), critical=True)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), False)
    )
    return made.sign(key, hashes.SHA256()), key


def _make_server(
    authority: tuple[x509.Certificate, EllipticCurvePrivateKey],
    names: Sequence[str],
    now: dt.datetime,
) -> tuple[x509.Certificate, EllipticCurvePrivateKey]:
    from cryptography import x509
    from cryptography.hazmat.primitives import hashes
    from cryptography.hazmat.primitives.asymmetric import ec
    from cryptography.x509.oid import ExtendedKeyUsageOID

    key = ec.generate_private_key(ec.SECP256R1())
    issuer = x509.AuthorityKeyIdentifier.from_issuer_public_key(authority[1].public_key())
    usage = x509.KeyUsage(True, False, False, False, False, False, False, False, False)
    made = (
        _begun(_called(names[0]), authority[0].subject, key, now, SERVER_DAYS)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(usage, critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), False)
        .add_extension(x509.SubjectAlternativeName(_alternatives(names)), False)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), False)
        .add_extension(issuer, False)
    )
    return made.sign(authority[1], hashes.SHA256()), key


def _begun(
    name: x509.Name,
    issuer: x509.Name,
    key: EllipticCurvePrivateKey,
    now: dt.datetime,
    days: int,
) -> x509.CertificateBuilder:
    from cryptography import x509

    return (
        x509.CertificateBuilder()
        .subject_name(name)
        .issuer_name(issuer)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - dt.timedelta(days=1))  # a tablet's clock may be behind
        .not_valid_after(now + dt.timedelta(days=days))
    )


def _called(text: str) -> x509.Name:
    from cryptography import x509
    from cryptography.x509.oid import NameOID

    return x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, text[:64])])


def _alternatives(names: Sequence[str]) -> list[x509.GeneralName]:
    from cryptography import x509

    return [
        x509.IPAddress(ipaddress.ip_address(name)) if is_address(name) else x509.DNSName(name)
        for name in names
    ]


def _vouched(names: Sequence[str]) -> list[x509.GeneralName]:
    """What the authority may vouch for: local names and addresses, and those the server has."""
    from cryptography import x509

    networks = [ipaddress.ip_network(each) for each in (*PRIVATE_NETWORKS, *PRIVATE_NETWORKS_6)]
    own = [ipaddress.ip_address(name) for name in names if is_address(name)]
    others = [
        ipaddress.ip_network(address)
        for address in own
        if not any(address in network for network in networks)
    ]
    words = [name for name in names if not is_address(name) and not _is_local(name)]
    return [
        *(x509.DNSName(name) for name in (*LOCAL_NAMES, *words)),
        *(x509.IPAddress(network) for network in (*networks, *others)),
    ]


def _is_local(name: str) -> bool:
    return name.rpartition(".")[2] in LOCAL_NAMES or name.endswith(".home.arpa")


def _vouches(authority: x509.Certificate, names: Sequence[str], now: dt.datetime) -> bool:
    """Whether an authority still lasts and may vouch for all of these names."""
    from cryptography import x509

    limits = authority.extensions.get_extension_for_class(x509.NameConstraints).value
    permitted = limits.permitted_subtrees or []
    networks = [
        ipaddress.ip_network(str(n.value)) for n in permitted if isinstance(n, x509.IPAddress)
    ]
    words = [each.value for each in permitted if isinstance(each, x509.DNSName)]
    lasts = authority.not_valid_after_utc > now + dt.timedelta(days=SERVER_DAYS)
    return lasts and all(
        any(ipaddress.ip_address(name) in network for network in networks)
        if is_address(name)
        else any(name == word or name.endswith(f".{word}") for word in words)
        for name in names
    )


def _lasts(own: x509.Certificate, names: Sequence[str], now: dt.datetime) -> bool:
    from cryptography import x509

    said = own.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    has = {str(each.value).lower() for each in said}
    soon = now + dt.timedelta(days=RENEWED_BEFORE)
    return own.not_valid_after_utc > soon and {str(name) for name in names} <= has


def _kept(certificate: Path, key: Path) -> tuple[x509.Certificate, EllipticCurvePrivateKey] | None:
    from cryptography import x509
    from cryptography.hazmat.primitives.asymmetric.ec import EllipticCurvePrivateKey
    from cryptography.hazmat.primitives.serialization import load_pem_private_key

    if not (certificate.is_file() and key.is_file()):
        return None
    read = load_pem_private_key(key.read_bytes(), password=None)
    assert isinstance(read, EllipticCurvePrivateKey)
    return x509.load_pem_x509_certificate(certificate.read_bytes()), read


def _keep(
    certificate: Path,
    key: Path,
    made: x509.Certificate,
    own: EllipticCurvePrivateKey,
    *behind: x509.Certificate,
) -> None:
    """Writes a certificate, what stands behind it, and its key, which only its owner may read."""
    from cryptography.hazmat.primitives.serialization import (
        Encoding,
        NoEncryption,
        PrivateFormat,
    )

    pem = own.private_bytes(Encoding.PEM, PrivateFormat.PKCS8, NoEncryption())
    key.unlink(missing_ok=True)
    with os.fdopen(os.open(key, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb") as file:
        file.write(pem)
    certificate.write_bytes(b"".join(each.public_bytes(Encoding.PEM) for each in (made, *behind)))
