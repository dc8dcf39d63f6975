"""A real server in a thread, with a trivial application behind it."""

from __future__ import annotations

import datetime
import ssl
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from typing import Any

import pytest

from oilwedge.web.serving.authority import ShopCertificate, shop_certificate
from oilwedge.web.serving.connections import BodyLimits
from oilwedge.web.serving.server import BenchServer, Socket

NAMES = ("localhost", "127.0.0.1")
LIMITS = BodyLimits(usual=2**20, at_paths={"/large": 3 * 2**20})


def echo(environ: dict[str, Any], start_response: Callable[..., Any]) -> Iterable[bytes]:
    """Say how the request came and how long its body was; or fail."""
    if environ["PATH_INFO"] == "/fault":
        raise RuntimeError("a secret of somebody")
    length = int(environ.get("CONTENT_LENGTH") or 0)
    read = len(environ["wsgi.input"].read(length))
    hidden = "HTTP_X_NAME" in environ
    body = f"{environ['wsgi.url_scheme']} {environ['REQUEST_METHOD']} {read} {hidden}".encode()
    start_response("200 OK", [("Content-Type", "text/plain"), ("Content-Length", str(len(body)))])
    return (body,)


@pytest.fixture(scope="session")
def certificate(tmp_path_factory: pytest.TempPathFactory) -> ShopCertificate:
    now = datetime.datetime.now(datetime.UTC)
    return shop_certificate(shop=tmp_path_factory.mktemp("shop"), names=NAMES, asked=(), now=now)


@pytest.fixture(scope="session")
def trusting(certificate: ShopCertificate) -> ssl.SSLContext:
    """What a phone has that took the authority's certificate."""
    return ssl.create_default_context(
        cadata=ssl.DER_cert_to_PEM_cert(certificate.authority_file.read_bytes())
    )


def serving(tls_file: Path | None, *, threads: int = 3) -> Iterator[BenchServer]:
    server = BenchServer(
        place=Socket(host="127.0.0.1", port=0), tls_file=tls_file, limits=LIMITS, threads=threads
    )
    server.take_port()
    server.start_answering(echo)
    yield server
    server.stop()


@pytest.fixture(scope="module")
def secure(certificate: ShopCertificate) -> Iterator[BenchServer]:
    yield from serving(certificate.server_file)


@pytest.fixture(scope="module")
def plain() -> Iterator[BenchServer]:
    yield from serving(None)
