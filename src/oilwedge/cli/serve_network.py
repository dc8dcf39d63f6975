"""Serve the shop's network by HTTPS, and give out the shop's certificate beside it."""

from __future__ import annotations

import contextlib
import datetime
import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from oilwedge.cli.face import say, tell
from oilwedge.cli.first_lead import make_first_lead
from oilwedge.cli.start_address import Browser, open_browser, print_address, print_qr
from oilwedge.errors import OilwedgeError
from oilwedge.web.serving.addresses import (
    LOOPBACK_NAMES,
    LocalAddresses,
    asked_address,
    find_addresses,
)
from oilwedge.web.serving.authority import ShopCertificate, shop_certificate
from oilwedge.web.serving.door import Door
from oilwedge.web.serving.ending import StopSignal
from oilwedge.web.serving.limits import BENCH_LIMITS, DOOR_LIMITS
from oilwedge.web.serving.server import BenchServer, Socket
from oilwedge.web.starting import Mode, bench_application, prepare_shop

if TYPE_CHECKING:
    from oilwedge.web.serving.guard import ShopGuard

ALL_INTERFACES = "0.0.0.0"
DOOR_THREADS = 3


def serve_network(
    place: Path, guard: ShopGuard, *, port: int, asked: str, database: str, browser: Browser
) -> None:
    """Serve until stopped."""
    found = find_addresses()

    def certified() -> ShopCertificate:
        wanted = (asked_address(asked),) if asked else ()
        now = datetime.datetime.now(datetime.UTC)
        return shop_certificate(shop=place, names=found.names, asked=wanted, now=now)

    certificate = certified()
    with contextlib.ExitStack() as stack:
        server = BenchServer(
            place=Socket(host=ALL_INTERFACES, port=port),
            tls_file=certificate.server_file,
            limits=BENCH_LIMITS,
        )
        server.take_port()  # before anything is changed in the shop
        stack.callback(server.stop)
        door = BenchServer(
            place=Socket(host=ALL_INTERFACES, port=server.port + 1),
            limits=DOOR_LIMITS,
            threads=DOOR_THREADS,
            called="the port beside the bench's, where phones get the certificate,",
        )
        door.take_port()
        stack.callback(door.stop)
        prepare_shop(
            folder=place,
            database=database,
            mode=Mode.LAN,
            addresses=certificate.names,
            port=server.port,
        )
        _ensure_lead()
        home = f"https://{certificate.names[0]}:{server.port}/"
        guard.say_where(home)
        server.start_answering(bench_application())
        door.start_answering(_door(certificate, https_port=server.port))
        with StopSignal() as stop:
            _print_network(place, certificate, port=server.port)
            open_browser(home, browser=browser)
            stop.wait(chore=_renewal(server, certified, found=found))
            door.stop()
            server.stop()
            tell("Stopped. What was entered is stored.")


def _ensure_lead() -> None:
    """Ask for a first lead where nobody could come in."""
    from oilwedge.web.people.accounts import has_lead  # has Django in it

    if not has_lead():
        make_first_lead()


def _door(certificate: ShopCertificate, *, https_port: int) -> Door:
    return Door(
        certificate=certificate.authority_file.read_bytes(),
        fingerprint=certificate.fingerprint,
        names=certificate.names,
        https_port=https_port,
    )


def _renewal(
    server: BenchServer, certified: Callable[[], ShopCertificate], *, found: LocalAddresses
) -> Callable[[], None]:
    """What is done every now and then while serving; a fault in it is said and ends nothing."""
    told: set[tuple[str, ...]] = {found.addresses}

    def renew() -> None:
        try:
            server.renew_certificate(certified().server_file)
        except (OilwedgeError, OSError) as error:
            say(f"The server's certificate could not be renewed: {error}")
        now_at = find_addresses().addresses
        if now_at not in told:
            told.add(now_at)
            say("The addresses of this machine changed: stop oilwedge and start it again.")

    return renew


def _print_network(place: Path, certificate: ShopCertificate, *, port: int) -> None:
    """Say where the bench is, how a phone comes to trust it, and how to end it."""
    best, *others = certificate.names
    home = f"https://{best}:{port}/"
    tell(f"The bench is open for this network. The shop is in {place}.")
    print_address(home)
    if best in LOOPBACK_NAMES:
        tell("This machine is in no network now, so that nobody else reaches it.")
    else:
        print_qr(home)
    more = [name for name in others if name not in LOOPBACK_NAMES]
    if more:
        tell("It also answers to:")
        for name in more:
            print_address(f"https://{name}:{port}/")
    tell(
        "Phones take the shop's certificate once, from the address below; without it they warn,"
        " and do not open pages again where there is no connection."
    )
    print_address(f"http://{best}:{port + 1}/")
    tell("Before a phone trusts it, compare its fingerprint (SHA-256):")
    half = len(certificate.fingerprint) // 2 + 1
    print_address(certificate.fingerprint[:half])
    print_address(certificate.fingerprint[half:])
    tell("Stop with Ctrl-C.")
    sys.stdout.flush()
