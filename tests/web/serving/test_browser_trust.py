"""A real browser that took the authority's certificate: a secure context, and no more than that.

Chromium reads the certificates of the person from the database that ``certutil`` (NSS) writes.
"""

from __future__ import annotations

import datetime
import os
import shutil
import subprocess
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from oilwedge.web.serving.authority import (
    AUTHORITY_FILE,
    ShopCertificate,
    _read,
    make_server_certificate,
    shop_certificate,
)
from oilwedge.web.serving.server import BenchServer, Socket

CHROMIUM = Path("/usr/bin/chromium")
FLAGS = (
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-sync", "--disable-background-networking", "--disable-component-update",
)  # fmt: skip
PAGE = b"<!doctype html><title>t</title><script>document.write('is '+isSecureContext)</script>"
needed = CHROMIUM.exists() and shutil.which("certutil")
pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(not needed, reason="needs Debian's chromium and libnss3-tools"),
]


def page(environ: dict[str, Any], start_response: Callable[..., Any]) -> list[bytes]:
    headers = [("Content-Type", "text/html"), ("Content-Length", str(len(PAGE)))]
    start_response("200 OK", headers)
    return [PAGE]


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> ShopCertificate:
    now = datetime.datetime.now(datetime.UTC)
    names = ("anvil.local", "127.0.0.1")
    return shop_certificate(shop=tmp_path_factory.mktemp("s"), names=names, asked=(), now=now)


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory, shop: ShopCertificate) -> Path:
    """A person's folder in which the authority is trusted for websites."""
    folder = tmp_path_factory.mktemp("home")
    database = folder / ".pki" / "nssdb"
    database.mkdir(parents=True)
    for rest in (
        ["-N", "--empty-password"],
        ["-A", "-t", "C,,", "-n", "shop", "-i", str(shop.authority_file)],
    ):
        subprocess.run(["certutil", "-d", f"sql:{database}", *rest], check=True, timeout=60)
    return folder


@pytest.fixture
def ports(shop: ShopCertificate, tmp_path: Path) -> Iterator[tuple[int, int]]:
    """The shop's server, and one with a certificate that its stolen key signed for a bank."""
    authority = _read(shop.authority_file.with_name(AUTHORITY_FILE))
    assert authority is not None
    now = datetime.datetime.now(datetime.UTC)
    forged = make_server_certificate(authority=authority, names=("bank.example",), now=now)
    forged_file = tmp_path / "forged.pem"
    forged_file.write_bytes(forged.pem())
    servers = [
        BenchServer(place=Socket(host="127.0.0.1", port=0), tls_file=file, threads=2)
        for file in (shop.server_file, forged_file)
    ]
    for server in servers:
        server.take_port()
        server.start_answering(page)
    yield servers[0].port, servers[1].port
    for server in servers:
        server.stop()


def seen(address: str, *, home: Path) -> str:
    """The page that the browser shows."""
    everywhere = "--host-resolver-rules=MAP * 127.0.0.1"
    profile = f"--user-data-dir={home / 'profile'}"
    answer = subprocess.run(
        [str(CHROMIUM), *FLAGS, everywhere, profile, "--dump-dom", address],
        env={**os.environ, "HOME": str(home)},
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    return answer.stdout


def test_the_browser_trusts_the_shop_and_nobody_whom_its_key_was_misused_for(
    home: Path, ports: tuple[int, int]
) -> None:
    assert "is true" in seen(f"https://anvil.local:{ports[0]}/", home=home)
    assert "is true" in seen(f"https://127.0.0.1:{ports[0]}/", home=home)
    assert "is true" not in seen(f"https://hammer.local:{ports[0]}/", home=home)
    assert "is true" not in seen(f"https://bank.example:{ports[1]}/", home=home)
