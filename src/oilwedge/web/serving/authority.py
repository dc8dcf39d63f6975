"""The shop's own certificate authority, and the certificate of its server.

A phone that trusts the authority once gets a secure context, which working offline needs. The
authority can vouch for nothing but the shop's network: name constraints (RFC 5280, 4.2.1.10)
hold it to private addresses, to endings that exist in no public name system, and to the names
under which the shop was reached when it was made. Whoever steals its key cannot pose as a bank.

``now`` is an argument wherever time matters; only :func:`shop_certificate` touches the disk.
"""

from __future__ import annotations

import datetime
import hashlib
import ipaddress
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

from cryptography import x509
from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from oilwedge.errors import Fault, InputError, Where
from oilwedge.web.serving.private_file import private_folder, unusable, write_private

AUTHORITY_FOLDER = "authority"
AUTHORITY_FILE = "authority.pem"  # certificate and key in one file, so that they never part
AUTHORITY_PUBLIC_FILE = "authority.crt"  # DER: what phones take
SERVER_FILE = "server.pem"

AUTHORITY_LIFE = datetime.timedelta(days=3653)
SERVER_LIFE = datetime.timedelta(days=397)  # what browsers take from anybody
RENEWED_BEFORE = datetime.timedelta(days=30)
SLOW_CLOCK = datetime.timedelta(days=2)  # phones whose clock runs behind take it too

# RFC 1918, RFC 3927, RFC 4193, RFC 4291: networks that are nobody's outside the shop.
PRIVATE_NETWORKS = (
    "10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "169.254.0.0/16", "127.0.0.0/8",
    "::1/128", "fc00::/7", "fe80::/10",
)  # fmt: skip
# RFC 6762 (.local), RFC 8375 (home.arpa), RFC 6761 (localhost), reserved by ICANN (.internal);
# .lan, .home and .localdomain are what routers hand out and are not delegated.
PRIVATE_ENDINGS = ("local", "localhost", "home.arpa", "internal", "lan", "home", "localdomain")


@dataclass(frozen=True, kw_only=True, slots=True)
class Certified:
    """A certificate with the private key that belongs to it."""

    certificate: x509.Certificate
    key: ec.EllipticCurvePrivateKey

    def pem(self) -> bytes:
        """Certificate and key, as servers load them."""
        key = self.key.private_bytes(
            serialization.Encoding.PEM,
            serialization.PrivateFormat.PKCS8,
            serialization.NoEncryption(),
        )
        return self.certificate.public_bytes(serialization.Encoding.PEM) + key


@dataclass(frozen=True, kw_only=True, slots=True)
class ShopCertificate:
    """What the server of a shop needs: the file to load, and whom phones have to trust."""

    server_file: Path
    authority_file: Path
    names: tuple[str, ...]
    fingerprint: str
    made_authority: bool


def make_authority(*, names: Iterable[str], now: datetime.datetime) -> Certified:
    """A new authority that may vouch for the shop's network and for these names only."""
    key = ec.generate_private_key(ec.SECP256R1())
    serial = x509.random_serial_number()
    # The serial tells two authorities of the same words apart in a phone's list.
    subject = _subject(f"oilwedge bench {serial % 0x10000:04x}")
    public = key.public_key()
    builder = (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(subject)
        .public_key(public)
        .serial_number(serial)
        .not_valid_before(now - SLOW_CLOCK)
        .not_valid_after(now + AUTHORITY_LIFE)
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(_usage(signs_certificates=True), critical=True)
        .add_extension(
            x509.NameConstraints(permitted_subtrees=_permitted(names), excluded_subtrees=None),
            critical=True,
        )
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(public), critical=False)
    )
    return Certified(certificate=builder.sign(key, hashes.SHA256()), key=key)


def permits(authority: x509.Certificate, name: str) -> bool:
    """Whether an authority may vouch for a name or an address (RFC 5280, 4.2.1.10)."""
    constraints = authority.extensions.get_extension_for_class(x509.NameConstraints).value
    permitted = constraints.permitted_subtrees or ()
    try:
        address = ipaddress.ip_address(name)
    except ValueError:
        endings = [one.value for one in permitted if isinstance(one, x509.DNSName)]
        return any(name == ending or name.endswith(f".{ending}") for ending in endings)
    networks = [one.value for one in permitted if isinstance(one, x509.IPAddress)]
    return any(
        address in network
        for network in networks
        if isinstance(network, ipaddress.IPv4Network | ipaddress.IPv6Network)
    )


def make_server_certificate(
    *, authority: Certified, names: Sequence[str], now: datetime.datetime
) -> Certified:
    """A certificate for the server under these names and addresses, 397 days at most."""
    key = ec.generate_private_key(ec.SECP256R1())
    issuer = authority.certificate
    public = key.public_key()
    builder = (
        x509.CertificateBuilder()
        .subject_name(_subject("oilwedge bench server"))
        .issuer_name(issuer.subject)
        .public_key(public)
        .serial_number(x509.random_serial_number())
        .not_valid_before(max(now - SLOW_CLOCK, issuer.not_valid_before_utc))
        .not_valid_after(min(now - SLOW_CLOCK + SERVER_LIFE, issuer.not_valid_after_utc))
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(_usage(signs_certificates=False), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(
            x509.SubjectAlternativeName([_general_name(name) for name in names]), critical=False
        )
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(public), critical=False)
        .add_extension(
            x509.AuthorityKeyIdentifier.from_issuer_public_key(authority.key.public_key()),
            critical=False,
        )
    )
    return Certified(certificate=builder.sign(authority.key, hashes.SHA256()), key=key)


def still_good(
    certificate: x509.Certificate,
    *,
    issuer: x509.Certificate,
    names: Iterable[str],
    now: datetime.datetime,
) -> bool:
    """Whether a server's certificate can go on: its issuer, its names, and not near its end."""
    alternative = certificate.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    try:
        certificate.verify_directly_issued_by(issuer)
    except (ValueError, TypeError, InvalidSignature):
        return False
    return (
        set(alternative) == {_general_name(name) for name in names}
        and certificate.not_valid_before_utc <= now
        and now < certificate.not_valid_after_utc - RENEWED_BEFORE
    )


def fingerprint(certificate: x509.Certificate) -> str:
    """SHA-256 of a certificate in pairs of letters, as phones show it."""
    digest = hashlib.sha256(certificate.public_bytes(serialization.Encoding.DER)).hexdigest()
    return ":".join(digest[at : at + 2].upper() for at in range(0, len(digest), 2))


def shop_certificate(
    *, shop: Path, names: Sequence[str], asked: Sequence[str], now: datetime.datetime
) -> ShopCertificate:
    """The certificate of a shop's server, made or renewed on the disk where that is needed.

    ``names`` are those that the machine has; one that the authority may not vouch for is left
    out. ``asked`` are those that somebody asked for; one that it may not vouch for raises
    :class:`InputError`.
    """
    folder = shop / AUTHORITY_FOLDER
    private_folder(folder)
    wanted = tuple(dict.fromkeys((*asked, *names)))
    authority, made = _authority(folder / AUTHORITY_FILE, names=wanted, now=now)
    refused = [name for name in asked if not permits(authority.certificate, name)]
    if refused:
        raise _not_permitted(refused[0], folder=folder)
    good = tuple(name for name in wanted if permits(authority.certificate, name))
    public = folder / AUTHORITY_PUBLIC_FILE
    der = authority.certificate.public_bytes(serialization.Encoding.DER)
    if made or not public.is_file() or public.read_bytes() != der:
        write_private(public, der)
    server_file = folder / SERVER_FILE
    server = None if made else _read(server_file)
    if server is None or not still_good(
        server.certificate, issuer=authority.certificate, names=good, now=now
    ):
        server = make_server_certificate(authority=authority, names=good, now=now)
        write_private(server_file, server.pem())
    return ShopCertificate(
        server_file=server_file,
        authority_file=public,
        names=good,
        fingerprint=fingerprint(authority.certificate),
        made_authority=made,
    )


def _authority(
    path: Path, *, names: Sequence[str], now: datetime.datetime
) -> tuple[Certified, bool]:
    """The authority on the disk, or a new one; whether it is new."""
    found = _read(path)
    if found is None and path.exists():
        raise InputError(
            Fault(
                where=Where(file=str(path)),
                given="",
                allowed="this file does not hold the shop's authority any more",
                action="put it back from a backup, or delete it: then a new authority is made,"
                " and every phone has to take its certificate once more",
            )
        )
    if found is not None:
        if now < found.certificate.not_valid_before_utc:
            raise InputError(
                Fault(
                    where=Where(file=str(path)),
                    given=f"{now:%Y-%m-%d}",
                    allowed="the clock of this machine is behind the day on which the shop's"
                    f" authority was made ({found.certificate.not_valid_before_utc:%Y-%m-%d})",
                    action="set the clock",
                )
            )
        if now < found.certificate.not_valid_after_utc - RENEWED_BEFORE:
            return found, False
    made = make_authority(names=names, now=now)
    write_private(path, made.pem())
    return made, True


def _read(path: Path) -> Certified | None:
    """A certificate with its key from one file; None where there is none that can be used."""
    try:
        data = path.read_bytes()
    except FileNotFoundError:
        return None
    except OSError as error:
        raise unusable(path, what="this file", error=error) from None
    try:
        certificate = x509.load_pem_x509_certificate(data)
        key = serialization.load_pem_private_key(data, password=None)
    except (ValueError, TypeError):
        return None
    if not isinstance(key, ec.EllipticCurvePrivateKey):
        return None
    same = certificate.public_key() == key.public_key()
    return Certified(certificate=certificate, key=key) if same else None


def _not_permitted(name: str, *, folder: Path) -> InputError:
    return InputError(
        Fault(
            where=Where(file="--address"),
            given=name,
            allowed="the shop's authority may not vouch for this name; it was made for private"
            " addresses, names that end in .local, and those in use at that time",
            action=f"use one of these, or delete {folder / AUTHORITY_FILE} to get a new authority,"
            " which every phone has to take once more",
        )
    )


def _subject(words: str) -> x509.Name:
    # With a blank in it, so that nobody takes the words for a host name to be constrained.
    return x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, words)])


def _usage(*, signs_certificates: bool) -> x509.KeyUsage:
    return x509.KeyUsage(
        digital_signature=not signs_certificates,
        key_cert_sign=signs_certificates,
        crl_sign=signs_certificates,
        content_commitment=False,
        key_encipherment=False,
        data_encipherment=False,
        key_agreement=False,
        encipher_only=False,
        decipher_only=False,
    )


def _general_name(name: str) -> x509.GeneralName:
    try:
        return x509.IPAddress(ipaddress.ip_address(name))
    except ValueError:
        return x509.DNSName(name)


def _permitted(names: Iterable[str]) -> list[x509.GeneralName]:
    """Private networks and endings, and of the names those that do not lie in them.

    A name of one word is left out: a machine called "dev" would open all of ".dev".
    """
    networks = [ipaddress.ip_network(text) for text in PRIVATE_NETWORKS]
    more: list[x509.GeneralName] = []
    for name in names:
        try:
            address = ipaddress.ip_address(name)
        except ValueError:
            inside = any(name == one or name.endswith(f".{one}") for one in PRIVATE_ENDINGS)
            more += [] if inside or "." not in name else [x509.DNSName(name)]
        else:
            if not any(address in network for network in networks):
                more.append(x509.IPAddress(ipaddress.ip_network(name)))
    return [
        *(x509.IPAddress(network) for network in networks),
        *(x509.DNSName(ending) for ending in PRIVATE_ENDINGS),
        *more,
    ]
