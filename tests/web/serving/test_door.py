"""The door without TLS: the certificate, how to take it, and nothing else."""

from __future__ import annotations

import html
import re
from typing import Any

import pytest

from oilwedge.web.serving.door import Door

DOOR = Door(
    certificate=b"\x30der",
    fingerprint="AB:CD",
    names=("192.168.7.20", "anvil.local"),
    https_port=8470,
)


def ask(
    path: str = "/", *, method: str = "GET", host: str = "anvil.local:8471"
) -> tuple[str, dict[str, str], bytes]:
    said: list[Any] = []
    environ = {"REQUEST_METHOD": method, "PATH_INFO": path, "HTTP_HOST": host}
    body = b"".join(DOOR(environ, lambda status, headers: said.extend((status, headers))))
    return said[0], dict(said[1]), body


def test_the_certificate_comes_in_the_type_that_phones_install() -> None:
    status, headers, body = ask("/authority.crt")
    assert (status, body) == ("200 OK", DOOR.certificate)
    assert headers["Content-Type"] == "application/x-x509-ca-cert"


def test_the_page_says_what_to_compare_and_leads_on_under_the_name_that_was_asked() -> None:
    status, headers, body = ask()
    text = html.unescape(re.sub(r"<[^>]+>", "", body.decode()))
    assert status == "200 OK"
    assert "AB:CD" in text
    assert "If it differs, do not install it" in text
    assert b'href="https://anvil.local:8470/"' in body
    assert headers["Content-Security-Policy"].startswith("default-src 'none'")
    assert b"<script" not in body
    assert b"style" not in body


@pytest.mark.parametrize(
    "path", ["/jobs/", "/login", "/start/x", "/authority.pem", "/static/a.css"]
)
def test_everything_else_is_sent_to_https(path: str) -> None:
    status, headers, body = ask(path)
    assert status.startswith("307 ")
    assert headers["Location"] == "https://anvil.local:8470/"
    assert body == b""


@pytest.mark.parametrize("host", ["bank.example", "bank.example:8471", "", '"><script>'])
def test_nobody_is_sent_to_a_name_that_is_not_the_shop_s(host: str) -> None:
    assert ask("/jobs/", host=host)[1]["Location"] == "https://192.168.7.20:8470/"
    assert b'href="https://192.168.7.20:8470/"' in ask("/", host=host)[2]


@pytest.mark.parametrize("method", ["POST", "PUT", "DELETE"])
def test_nothing_is_taken_here(method: str) -> None:
    assert ask("/", method=method)[0].startswith("405 ")


def test_a_look_at_the_head_has_no_body() -> None:
    status, headers, body = ask("/authority.crt", method="HEAD")
    assert (status, headers["Content-Length"], body) == ("200 OK", "4", b"")
