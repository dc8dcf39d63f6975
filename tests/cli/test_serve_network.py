"""What is seen to every now and then while the network is served."""

from __future__ import annotations

from pathlib import Path

import pytest

from oilwedge.cli import serve_network
from oilwedge.errors import Fault, InputError
from oilwedge.web.serving.addresses import LocalAddresses
from oilwedge.web.serving.authority import ShopCertificate

FOUND = LocalAddresses(host_name="anvil", addresses=("10.0.0.4",))
MOVED = LocalAddresses(host_name="anvil", addresses=("10.0.0.5",))
CERTIFICATE = ShopCertificate(
    server_file=Path("server.pem"),
    authority_file=Path("authority.crt"),
    names=FOUND.names,
    fingerprint="AB",
    made_authority=False,
)


class Server:
    def __init__(self) -> None:
        self.took: list[Path] = []

    def renew_certificate(self, tls_file: Path) -> None:
        self.took.append(tls_file)


def test_the_certificate_is_looked_after_and_a_move_is_told_once(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    server = Server()
    renew = serve_network._renewal(server, lambda: CERTIFICATE, found=FOUND)  # type: ignore[arg-type]
    monkeypatch.setattr(serve_network, "find_addresses", lambda: FOUND)
    renew()
    assert server.took == [CERTIFICATE.server_file]
    assert capsys.readouterr().err == ""
    monkeypatch.setattr(serve_network, "find_addresses", lambda: MOVED)
    renew()
    renew()
    assert capsys.readouterr().err.count("stop oilwedge and start it again") == 1


def test_a_certificate_that_cannot_be_renewed_is_told_and_ends_nothing(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def broken() -> ShopCertificate:
        raise InputError(Fault(given="", allowed="the disk is full"))

    monkeypatch.setattr(serve_network, "find_addresses", lambda: FOUND)
    serve_network._renewal(Server(), broken, found=FOUND)()  # type: ignore[arg-type]
    assert "could not be renewed: The disk is full." in capsys.readouterr().err
