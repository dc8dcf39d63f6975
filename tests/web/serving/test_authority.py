"""The shop's authority: who it vouches for, for how long, and that its files stay its own.

Certificates are checked by OpenSSL through the standard library, not by what made them.
"""

from __future__ import annotations

import datetime
import os
import shutil
import ssl
import subprocess
import sys
import threading
from pathlib import Path

import pytest
from cryptography import x509
from cryptography.hazmat.primitives.serialization import Encoding

from oilwedge.errors import InputError
from oilwedge.web.serving.authority import (
    RENEWED_BEFORE,
    SERVER_LIFE,
    Certified,
    fingerprint,
    make_authority,
    make_server_certificate,
    permits,
    shop_certificate,
    still_good,
)

NOW = datetime.datetime.now(datetime.UTC).replace(microsecond=0)  # OpenSSL has no other clock
NAMES = ("192.168.7.20", "anvil.local", "localhost", "127.0.0.1")
DAY = datetime.timedelta(days=1)


@pytest.fixture(scope="module")
def authority() -> Certified:
    return make_authority(names=NAMES, now=NOW)


def handshake(folder: Path, *, authority: Certified, server: Certified, name: str) -> str:
    """What OpenSSL says of a certificate under a name: empty if it is content."""
    file = folder / f"{name}.pem"
    file.write_bytes(server.pem())
    ca = authority.certificate.public_bytes(Encoding.PEM)
    serving = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    serving.load_cert_chain(file)
    asking = ssl.create_default_context(cadata=ca.decode())
    asking.verify_flags |= ssl.VERIFY_X509_STRICT
    to_server, to_client = ssl.MemoryBIO(), ssl.MemoryBIO()
    client = asking.wrap_bio(to_client, to_server, server_hostname=name)
    server_side = serving.wrap_bio(to_server, to_client, server_side=True)
    for _ in range(10):
        for end in (client, server_side):
            try:
                end.do_handshake()
            except ssl.SSLWantReadError:
                pass
            except ssl.SSLCertVerificationError as error:
                return error.verify_message
    return "" if client.version() else "no handshake"


@pytest.mark.parametrize("name", NAMES)
def test_openssl_accepts_the_server_under_each_of_its_names(
    authority: Certified, tmp_path: Path, name: str
) -> None:
    server = make_server_certificate(authority=authority, names=NAMES, now=NOW)
    assert handshake(tmp_path, authority=authority, server=server, name=name) == ""


def test_openssl_refuses_the_server_under_another_name(
    authority: Certified, tmp_path: Path
) -> None:
    server = make_server_certificate(authority=authority, names=NAMES, now=NOW)
    said = handshake(tmp_path, authority=authority, server=server, name="hammer.local")
    assert "mismatch" in said


@pytest.mark.parametrize("name", ["bank.example", "anvil", "8.8.8.8", "local.example"])
def test_a_stolen_key_vouches_for_nobody_outside_the_shop(
    authority: Certified, tmp_path: Path, name: str
) -> None:
    forged = make_server_certificate(authority=authority, names=(name,), now=NOW)
    assert not permits(authority.certificate, name)
    said = handshake(tmp_path, authority=authority, server=forged, name=name)
    assert "permitted subtree" in said


def test_the_authority_makes_no_second_authority(authority: Certified) -> None:
    limits = authority.certificate.extensions.get_extension_for_class(x509.BasicConstraints)
    assert limits.critical
    assert limits.value.path_length == 0
    usage = authority.certificate.extensions.get_extension_for_class(x509.KeyUsage).value
    assert usage.key_cert_sign
    assert not usage.digital_signature


def test_names_in_use_when_it_was_made_are_vouched_for() -> None:
    made = make_authority(names=("bench.school.example", "198.51.100.7", "dev"), now=NOW)
    assert permits(made.certificate, "bench.school.example")
    assert permits(made.certificate, "198.51.100.7")
    assert not permits(made.certificate, "198.51.100.8")
    assert not permits(made.certificate, "school.example")
    assert not permits(made.certificate, "app.dev")  # a machine called "dev" opens no ".dev"


def test_the_server_is_certified_for_397_days_at_most(authority: Certified) -> None:
    # 398 days is what browsers take of public authorities (CA/Browser Forum, ballot SC31, RECALLED)
    server = make_server_certificate(authority=authority, names=NAMES, now=NOW).certificate
    life = server.not_valid_after_utc - server.not_valid_before_utc
    assert life == SERVER_LIFE == 397 * DAY
    purposes = server.extensions.get_extension_for_class(x509.ExtendedKeyUsage).value
    assert [one.dotted_string for one in purposes] == ["1.3.6.1.5.5.7.3.1"]  # RFC 5280, 4.2.1.12


def test_a_server_does_not_outlive_its_authority(authority: Certified) -> None:
    end = authority.certificate.not_valid_after_utc
    server = make_server_certificate(authority=authority, names=NAMES, now=end - DAY)
    assert server.certificate.not_valid_after_utc == end


@pytest.mark.parametrize(
    ("later", "names", "good"),
    [
        (0 * DAY, NAMES, True),
        (0 * DAY, tuple(reversed(NAMES)), True),
        (0 * DAY, NAMES[1:], False),
        (0 * DAY, (*NAMES, "10.1.2.3"), False),
        (364 * DAY, NAMES, True),
        (365 * DAY, NAMES, False),
        (-3 * DAY, NAMES, False),
    ],
)
def test_a_certificate_goes_on_until_it_is_near_its_end_or_names_change(
    authority: Certified, later: datetime.timedelta, names: tuple[str, ...], good: bool
) -> None:
    server = make_server_certificate(authority=authority, names=NAMES, now=NOW).certificate
    issuer = authority.certificate
    assert still_good(server, issuer=issuer, names=names, now=NOW + later) is good


def test_a_certificate_of_another_authority_does_not_go_on(authority: Certified) -> None:
    other = make_authority(names=NAMES, now=NOW)
    server = make_server_certificate(authority=other, names=NAMES, now=NOW).certificate
    assert not still_good(server, issuer=authority.certificate, names=NAMES, now=NOW)


@pytest.mark.skipif(shutil.which("openssl") is None, reason="needs the openssl program")
def test_the_fingerprint_is_the_one_that_openssl_prints(
    authority: Certified, tmp_path: Path
) -> None:
    file = tmp_path / "authority.pem"
    file.write_bytes(authority.pem())
    command = ["openssl", "x509", "-in", str(file), "-noout", "-fingerprint", "-sha256"]
    said = subprocess.run(command, capture_output=True, text=True, check=True).stdout
    assert said.strip().partition("=")[2] == fingerprint(authority.certificate)


def made(shop: Path, *, names: tuple[str, ...] = NAMES, now: datetime.datetime = NOW):  # type: ignore[no-untyped-def]
    return shop_certificate(shop=shop, names=names, asked=(), now=now)


def test_starting_again_changes_no_file(tmp_path: Path) -> None:
    first = made(tmp_path)
    before = {path: path.read_bytes() for path in (tmp_path / "authority").iterdir()}
    second = made(tmp_path, now=NOW + 200 * DAY)
    assert {path: path.read_bytes() for path in (tmp_path / "authority").iterdir()} == before
    assert first.made_authority
    assert not second.made_authority
    assert first.fingerprint == second.fingerprint


def test_another_address_gets_another_certificate_from_the_same_authority(tmp_path: Path) -> None:
    first = made(tmp_path)
    before = first.server_file.read_bytes()
    second = made(tmp_path, names=("192.168.7.99", *NAMES[1:]))
    assert second.server_file.read_bytes() != before
    assert second.fingerprint == first.fingerprint


def test_a_certificate_near_its_end_is_renewed(tmp_path: Path) -> None:
    file = made(tmp_path).server_file
    before = file.read_bytes()
    made(tmp_path, now=NOW + SERVER_LIFE - RENEWED_BEFORE)
    assert file.read_bytes() != before


def test_an_authority_at_its_end_is_made_anew(tmp_path: Path) -> None:
    first = made(tmp_path)
    second = made(tmp_path, now=NOW + 3640 * DAY)
    assert second.made_authority
    assert second.fingerprint != first.fingerprint


@pytest.mark.skipif(sys.platform == "win32", reason="rights of files are others there")
def test_keys_are_for_their_owner_alone(tmp_path: Path) -> None:
    old = os.umask(0)  # the most careless one
    try:
        made(tmp_path)
    finally:
        os.umask(old)
    folder = tmp_path / "authority"
    assert folder.stat().st_mode & 0o777 == 0o700
    assert {path.stat().st_mode & 0o777 for path in folder.iterdir()} == {0o600}
    assert {path.name for path in folder.iterdir()} == {
        "authority.pem", "authority.crt", "server.pem"
    }  # fmt: skip


def test_the_file_for_phones_holds_no_key(tmp_path: Path) -> None:
    data = made(tmp_path).authority_file.read_bytes()
    assert x509.load_der_x509_certificate(data).public_bytes(Encoding.DER) == data


def test_a_broken_authority_is_not_replaced_behind_anybody_s_back(tmp_path: Path) -> None:
    made(tmp_path)
    (tmp_path / "authority" / "authority.pem").write_bytes(b"half of")
    with pytest.raises(InputError, match=r"put it back from a backup, or delete it"):
        made(tmp_path)


def test_a_broken_server_certificate_is_made_again(tmp_path: Path) -> None:
    file = made(tmp_path).server_file
    file.write_bytes(b"half of")
    made(tmp_path)
    assert b"PRIVATE KEY" in file.read_bytes()


def test_a_clock_behind_the_authority_is_told(tmp_path: Path) -> None:
    made(tmp_path)
    with pytest.raises(InputError, match="set the clock"):
        made(tmp_path, now=NOW - 3 * DAY)


def test_an_address_that_was_asked_for_and_cannot_be_is_told(tmp_path: Path) -> None:
    made(tmp_path)
    with pytest.raises(InputError, match="may not vouch for this name"):
        shop_certificate(shop=tmp_path, names=NAMES, asked=("shop.example",), now=NOW)


def test_a_name_of_the_machine_that_cannot_be_is_left_out(tmp_path: Path) -> None:
    made(tmp_path)
    later = made(tmp_path, names=(*NAMES, "moved.example"))
    assert later.names == NAMES


def test_two_that_start_at_once_leave_a_whole_file(tmp_path: Path) -> None:
    threads = [threading.Thread(target=made, args=(tmp_path,)) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert made(tmp_path).names == NAMES
