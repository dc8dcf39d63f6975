"""The server against real sockets: TLS, limits, rude clients, and its end."""

from __future__ import annotations

import contextlib
import datetime
import http.client
import logging
import socket
import ssl
import threading
from collections.abc import Iterator
from pathlib import Path

import pytest

from oilwedge.errors import InputError
from oilwedge.web.serving import connections
from oilwedge.web.serving.authority import ShopCertificate, shop_certificate
from oilwedge.web.serving.server import BenchServer, Socket

SECONDS = 20


def ask(
    server: BenchServer,
    trusting: ssl.SSLContext | None,
    path: str = "/",
    *,
    body: bytes | None = None,
    headers: dict[str, str] | None = None,
    host: str = "localhost",
) -> tuple[int, str]:
    if trusting is None:
        client = http.client.HTTPConnection("127.0.0.1", server.port, timeout=SECONDS)
    else:
        client = http.client.HTTPSConnection(host, server.port, context=trusting, timeout=SECONDS)
        client.sock = trusting.wrap_socket(
            socket.create_connection(("127.0.0.1", server.port), SECONDS), server_hostname=host
        )
    with contextlib.closing(client):
        client.request("GET" if body is None else "POST", path, body=body, headers=headers or {})
        answer = client.getresponse()
        return answer.status, answer.read().decode()


@contextlib.contextmanager
def silent(server: BenchServer, count: int) -> Iterator[None]:
    """So many clients that connect and say nothing."""
    with contextlib.ExitStack() as stack:
        for _ in range(count):
            stack.enter_context(socket.create_connection(("127.0.0.1", server.port), SECONDS))
        yield


@pytest.mark.parametrize("host", ["localhost", "127.0.0.1"])
def test_who_trusts_the_authority_is_answered(
    secure: BenchServer, trusting: ssl.SSLContext, host: str
) -> None:
    assert ask(secure, trusting, host=host) == (200, "https GET 0 False")


def test_who_does_not_trust_the_authority_gets_no_handshake(secure: BenchServer) -> None:
    with pytest.raises(ssl.SSLCertVerificationError):
        ask(secure, ssl.create_default_context())


def test_a_name_that_is_not_certified_is_refused_by_the_client(
    secure: BenchServer, trusting: ssl.SSLContext
) -> None:
    with pytest.raises(ssl.SSLCertVerificationError, match=r"mismatch|not valid for"):
        ask(secure, trusting, host="hammer.local")


def test_tls_before_1_2_is_not_spoken(secure: BenchServer) -> None:
    assert secure.ssl_adapter is not None
    assert secure.ssl_adapter.context.minimum_version is ssl.TLSVersion.TLSv1_2


def test_a_connection_stays_open_for_the_next_request(
    secure: BenchServer, trusting: ssl.SSLContext
) -> None:
    client = http.client.HTTPSConnection("localhost", secure.port, context=trusting)
    with contextlib.closing(client):
        for length in (0, 70_000, 5):
            client.request("POST", "/", body=b"x" * length)
            assert client.getresponse().read() == f"https POST {length} False".encode()
            opened = client.sock
        assert client.sock is opened


def test_plain_http_at_the_tls_port_is_told_and_logs_nothing(
    secure: BenchServer,
    trusting: ssl.SSLContext,
    caplog: pytest.LogCaptureFixture,
    capfd: pytest.CaptureFixture[str],
) -> None:
    status, text = ask(secure, None)
    assert (status, text) == (400, "This address begins with https://, not with http://.")
    with socket.create_connection(("127.0.0.1", secure.port), SECONDS) as rude:
        rude.sendall(b"\x16\x03\x01\x00\x05junk!")
        with contextlib.suppress(OSError):
            rude.recv(100)
    assert ask(secure, trusting)[0] == 200
    assert caplog.records == []
    assert capfd.readouterr().err == ""


@pytest.mark.parametrize("tls", [True, False])
def test_clients_that_say_nothing_hold_no_worker(
    secure: BenchServer, plain: BenchServer, trusting: ssl.SSLContext, tls: bool
) -> None:
    server, context = (secure, trusting) if tls else (plain, None)
    with silent(server, 12):  # four times as many as there are workers
        assert ask(server, context)[0] == 200


def test_clients_that_only_shook_hands_hold_no_worker(
    secure: BenchServer, trusting: ssl.SSLContext
) -> None:
    with contextlib.ExitStack() as stack:
        for _ in range(12):
            raw = socket.create_connection(("127.0.0.1", secure.port), SECONDS)
            stack.enter_context(trusting.wrap_socket(raw, server_hostname="localhost"))
        assert ask(secure, trusting)[0] == 200


def test_a_request_that_never_ends_is_cut(
    plain: BenchServer, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(connections, "HEAD_SECONDS", 0.2)
    with contextlib.ExitStack() as stack:
        for _ in range(3):  # as many as there are workers
            slow = socket.create_connection(("127.0.0.1", plain.port), SECONDS)
            stack.enter_context(slow)
            slow.sendall(b"GET / HTTP/1.1\r\nHost: localhost\r\nX-More: ")
        assert ask(plain, None)[0] == 200  # waits until they are cut
        assert slow.recv(1) == b""


@pytest.mark.parametrize("tls", [True, False])
def test_a_body_that_is_too_large_gets_one_sentence_after_it_was_sent(
    secure: BenchServer, plain: BenchServer, trusting: ssl.SSLContext, tls: bool
) -> None:
    server, context = (secure, trusting) if tls else (plain, None)
    status, text = ask(server, context, body=b"x" * (8 * 2**20))
    assert status == 413
    assert "larger than 1 MB, which is the most that is taken here. Nothing was stored" in text


def test_a_path_that_takes_more_takes_more(plain: BenchServer) -> None:
    assert ask(plain, None, "/large", body=b"x" * (2 * 2**20))[0] == 200
    assert ask(plain, None, "/large", body=b"x" * (4 * 2**20))[0] == 413
    assert ask(plain, None, "/large/not", body=b"x" * (2 * 2**20))[0] == 413


def test_a_body_of_a_length_that_is_not_told_is_refused(plain: BenchServer) -> None:
    with socket.create_connection(("127.0.0.1", plain.port), SECONDS) as client:
        head = b"POST / HTTP/1.1\r\nHost: localhost\r\nTransfer-Encoding: chunked\r\n\r\n"
        client.sendall(head)
        assert client.recv(100).startswith(b"HTTP/1.1 411 ")


def test_headers_without_end_are_refused(plain: BenchServer) -> None:
    status, _ = ask(plain, None, headers={"X-Long": "x" * 40_000})
    assert status in (400, 413)


def test_a_header_with_an_underscore_does_not_pass_for_one_with_a_hyphen(
    plain: BenchServer,
) -> None:
    assert ask(plain, None, headers={"X-Name": "a"})[1].endswith("True")
    assert ask(plain, None, headers={"X_Name": "a"})[1].endswith("False")


def test_a_fault_of_the_program_is_answered_and_logged_without_its_words(
    plain: BenchServer, caplog: pytest.LogCaptureFixture
) -> None:
    status, text = ask(plain, None, "/fault")
    assert status == 500
    assert text == ""
    assert [record.getMessage() for record in caplog.records] == ["The server met a fault."]


def test_a_port_in_use_is_told_in_one_sentence(plain: BenchServer) -> None:
    second = BenchServer(place=Socket(host="127.0.0.1", port=plain.port), threads=1)
    with pytest.raises(InputError, match="this port is taken by another program") as caught:
        second.take_port()
    assert "name another port, such as --port" in str(caught.value)


def test_an_address_of_another_machine_is_told_in_one_sentence() -> None:
    server = BenchServer(place=Socket(host="198.51.100.1", port=0), threads=1)
    with pytest.raises(InputError, match=r"this machine does not have the address 198\.51\.100\.1"):
        server.take_port()


def test_a_renewed_certificate_is_used_without_a_new_start(tmp_path: Path) -> None:
    now = datetime.datetime.now(datetime.UTC)
    first = shop_certificate(shop=tmp_path, names=("localhost",), asked=(), now=now)
    server = BenchServer(
        place=Socket(host="127.0.0.1", port=0), tls_file=first.server_file, threads=1
    )
    server.take_port()
    server.start_answering(lambda environ, start: (start("204 None", []), [])[1])
    try:
        authority = ssl.DER_cert_to_PEM_cert(first.authority_file.read_bytes())
        context = ssl.create_default_context(cadata=authority)
        with pytest.raises(ssl.SSLCertVerificationError):
            ask(server, context, host="anvil.local")
        names = ("localhost", "anvil.local")
        again = shop_certificate(shop=tmp_path, names=names, asked=(), now=now)
        server.renew_certificate(again.server_file)
        assert ask(server, context, host="anvil.local")[0] == 204
    finally:
        server.stop()


def test_stopping_finishes_the_answer_that_is_under_way(certificate: ShopCertificate) -> None:
    begun, go_on = threading.Event(), threading.Event()

    def slow(environ, start_response):  # type: ignore[no-untyped-def]
        begun.set()
        go_on.wait(SECONDS)
        start_response("200 OK", [("Content-Length", "4")])
        return (b"done",)

    server = BenchServer(place=Socket(host="127.0.0.1", port=0), threads=2)
    server.take_port()
    server.start_answering(slow)
    answers: list[tuple[int, str]] = []
    asking = threading.Thread(target=lambda: answers.append(ask(server, None)))
    asking.start()
    assert begun.wait(SECONDS)
    stopping = threading.Thread(target=server.stop)
    stopping.start()
    go_on.set()
    asking.join(SECONDS)
    stopping.join(SECONDS)
    assert answers == [(200, "done")]
    with pytest.raises(ConnectionRefusedError):
        socket.create_connection(("127.0.0.1", server.port), SECONDS)


@pytest.fixture(autouse=True)
def _only_errors(caplog: pytest.LogCaptureFixture) -> None:
    caplog.set_level(logging.ERROR)
