"""The shop's certificate is open to phones that are not in yet, and says what it is for."""

from __future__ import annotations

import datetime
import hashlib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from cryptography import x509
from cryptography.hazmat.primitives import hashes
from django.test import Client

from oilwedge.web.serving.authority import shop_certificate


@pytest.fixture
def shop(tmp_path: Path, settings: Any) -> Path:
    """A shop that was served to the network once."""
    settings.SHOP_FOLDER = tmp_path
    now = datetime.datetime.now(datetime.UTC)
    shop_certificate(shop=tmp_path, names=("192.168.7.20", "localhost"), asked=(), now=now)
    return tmp_path


def test_the_file_is_the_authority_and_comes_without_login(
    client: Client, db: None, shop: Path
) -> None:
    answer = client.get("/authority.crt")
    assert answer.status_code == 200
    assert answer["Content-Type"] == "application/x-x509-ca-cert"
    read = x509.load_der_x509_certificate(answer.content)
    assert read.extensions.get_extension_for_class(x509.BasicConstraints).value.ca
    assert b"PRIVATE" not in answer.content


def test_the_page_shows_the_fingerprint_that_others_compute(
    client: Client, db: None, shop: Path
) -> None:
    page = client.get("/certificate").content.decode()
    der = client.get("/authority.crt").content
    # the reference: the library's own fingerprint of the certificate that was given out
    digest = x509.load_der_x509_certificate(der).fingerprint(hashes.SHA256()).hex().upper()
    assert digest == hashlib.sha256(der).hexdigest().upper()
    rows = [
        ":".join(digest[at : at + 2] for at in range(row, row + 16, 2)) for row in range(0, 64, 16)
    ]
    for row in rows:
        assert row in page
    assert "QR code of http://testserver/certificate" in page
    assert "Readings that you typed are kept either way" in page


@pytest.mark.parametrize("url", ["/certificate", "/authority.crt"])
def test_a_shop_without_one_says_so_plainly(
    client: Client, db: None, tmp_path: Path, settings: Any, url: str
) -> None:
    settings.SHOP_FOLDER = tmp_path
    answer = client.get(url)
    assert answer.status_code == 404
    assert "no certificate of its own" in answer.content.decode()
    assert client.post(url).status_code == 405


def test_the_page_to_log_in_leads_there_where_there_is_one(
    client: Client, db: None, shop: Path, settings: Any
) -> None:
    assert "/certificate" in client.get("/login").content.decode()
    settings.SHOP_FOLDER = shop / "elsewhere"
    assert "/certificate" not in client.get("/login").content.decode()


def test_a_browser_shows_it_well(
    live_server: Any,
    db: None,
    shop: Path,
    page_at: Callable[..., Any],
    axe: Callable[..., None],
    fits_the_screen: Callable[..., None],
    picture: Callable[..., Any],
) -> None:
    for size, scheme in (("phone", "light"), ("phone", "dark"), ("desktop", "light")):
        page = page_at(size, scheme=scheme)
        page.goto(f"{live_server.url}/certificate")
        axe(page)
        fits_the_screen(page)
        picture(page, f"people-certificate-{size}-{scheme}")
