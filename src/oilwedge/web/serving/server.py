"""The server of the bench: threads, TLS, limits, and an end that loses no answer."""

from __future__ import annotations

import errno
import logging
import ssl
import sys
import threading
import traceback as tracebacks
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from cheroot.ssl.builtin import BuiltinSSLAdapter
from cheroot.wsgi import Server

from oilwedge.errors import Fault, InputError, Where
from oilwedge.web.serving.connections import BenchConnection, BodyLimits, Watch

# Any callable that answers as PEP 3333 says; Django's and the small ones here have other types.
Application = Callable[..., Any]

THREADS = 16
IDLE_SECONDS = 20  # a connection without a request, and each wait for bytes within one
WAITING_CONNECTIONS = 128
OPEN_CONNECTIONS = 400  # idle ones: 40 browsers with six each, and room
HEADER_BYTES = 32 * 2**10
BODY_BYTES = 30 * 2**20
STOP_SECONDS = 10  # for the answers that are under way
WATCH_SECONDS = 1.0
# A reading that is saved gives up the interpreter a dozen times, and waits each time for whoever
# computes meanwhile: a fiftieth of Python's usual 5 ms lets it overtake a judgement.
SWITCH_SECONDS = 0.0001

_log = logging.getLogger("oilwedge.serving")


@dataclass(frozen=True, kw_only=True, slots=True)
class Socket:
    """Where a server listens: all interfaces are ``0.0.0.0``; port 0 takes any that is free."""

    host: str
    port: int


class ShopTls(BuiltinSSLAdapter):
    """TLS 1.2 and newer, with the handshake left to a worker (see ``connections``)."""

    def wrap(self, sock: Any) -> tuple[ssl.SSLSocket, dict[str, str]]:
        """Put TLS round a socket that was just accepted."""
        secured = self.context.wrap_socket(sock, server_side=True, do_handshake_on_connect=False)
        return secured, {"wsgi.url_scheme": "https", "HTTPS": "on"}


class BenchServer(Server):
    """A server with the bench's limits: ``take_port``, ``start_answering``, ``stop``."""

    ConnectionClass = BenchConnection
    keep_alive_conn_limit = OPEN_CONNECTIONS
    max_request_header_size = HEADER_BYTES
    _connections: Any  # the library's, made when it listens

    def __init__(
        self,
        *,
        place: Socket,
        tls_file: Path | None = None,
        limits: BodyLimits | None = None,
        threads: int = THREADS,
        called: str = "this port",
    ) -> None:
        """Nothing listens yet. ``tls_file`` holds certificate and key in one.

        ``called`` is what a person is told the port is, where it cannot be had.
        """
        super().__init__(
            (place.host, place.port),
            None,
            numthreads=threads,
            server_name="oilwedge",
            request_queue_size=WAITING_CONNECTIONS,
            timeout=IDLE_SECONDS,
            shutdown_timeout=STOP_SECONDS,
        )
        self.body_limits = limits or BodyLimits(usual=BODY_BYTES)
        self.max_request_body_size = 0  # the library knows one for all; the request's own counts
        self.watch = Watch()
        self.ssl_adapter: ShopTls | None = None
        self._called = called
        self._refused: OSError | None = None
        self._thread: threading.Thread | None = None
        self._over = threading.Event()
        if tls_file is not None:
            self.ssl_adapter = ShopTls(str(tls_file), str(tls_file))
            self.ssl_adapter.context.minimum_version = ssl.TLSVersion.TLSv1_2

    def renew_certificate(self, tls_file: Path) -> None:
        """Use another certificate for the connections that come from now on."""
        if self.ssl_adapter is not None:
            self.ssl_adapter.context.load_cert_chain(tls_file)

    @property
    def port(self) -> int:
        """The port, which the system chose where 0 was asked for."""
        return int(self.bind_addr[1])

    def take_port(self) -> None:
        """Take the port without answering yet; who connects waits.

        Raises :class:`InputError` for a port or an address that cannot be had.
        """
        host, port = self.bind_addr
        try:
            self.prepare()
        except OSError as error:
            refused = self._refused or error
            raise _cannot_listen(refused, called=self._called, host=host, port=port) from None

    def start_answering(self, application: Application) -> None:
        """Answer from now on, in threads of its own."""
        sys.setswitchinterval(SWITCH_SECONDS)
        self.wsgi_app = application
        self._thread = threading.Thread(target=self.serve, name="oilwedge accepts", daemon=True)
        self._thread.start()
        threading.Thread(target=self._keep_watch, name="oilwedge watches", daemon=True).start()

    def stop(self) -> None:
        """Take nothing new, finish what is under way, and end."""
        self._over.set()
        super().stop()
        if self._thread is not None and self._thread is not threading.current_thread():
            self._thread.join(timeout=STOP_SECONDS)

    def bind(self, family: int, type: int, proto: int = 0) -> Any:
        """Take the port, and remember why not: the library keeps only words of it."""
        try:
            return super().bind(family, type, proto)
        except OSError as error:
            self._refused = error
            raise

    def process_conn(self, conn: Any) -> None:
        """Let a new connection wait for its first bytes; give a worker to one that has some."""
        if conn.last_used is not None:
            super().process_conn(conn)
        elif self.can_add_keepalive_connection:
            self._connections.put(conn)
        else:
            conn.close()

    def error_log(self, msg: str = "", level: int = logging.INFO, traceback: bool = False) -> None:
        """Keep faults of the program; what clients do wrong is no news.

        Of a fault only the places in the code are kept, since its words may hold somebody's data.
        """
        if level < logging.ERROR:
            return
        if traceback:
            _log.error("The server met a fault.", exc_info=True)
        else:
            _log.error("The server met a fault: %s", msg.split(":")[0][:80])

    def _keep_watch(self) -> None:
        while not self._over.wait(WATCH_SECONDS):
            try:
                self.watch.cut_late()
            except Exception:  # a watch that dies would be missed by nobody
                _log.error("The watch met a fault: %s", tracebacks.format_exc(limit=0))


def _cannot_listen(error: OSError, *, called: str, host: str, port: int) -> InputError:
    """One sentence for a port or an address that cannot be had."""
    if error.errno == errno.EADDRINUSE or getattr(error, "winerror", None) == 10048:
        allowed = f"{called} is taken by another program, or by another oilwedge"
    elif error.errno in (errno.EACCES, errno.EPERM):
        allowed = f"the system does not let you have {called}"
    elif error.errno == errno.EADDRNOTAVAIL:
        allowed = f"this machine does not have the address {host}"
    else:
        allowed = f"{called} cannot be had ({error.strerror or error})"
    return InputError(
        Fault(
            where=Where(file="--port"),
            given=str(port),
            allowed=allowed,
            action=f"stop that one, or name another port, such as --port {another_port(port)}",
        )
    )


def another_port(port: int) -> int:
    """A port to suggest in the place of one that cannot be had."""
    return 8480 if port < 1024 or port > 65000 else port + 10
