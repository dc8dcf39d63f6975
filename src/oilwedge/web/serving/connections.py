"""Connections that wait without a thread, and an end to those that are too slow.

The server's library shakes hands for TLS in the one thread that accepts, and gives every new
connection a worker before it has said a word: one silent client would stop everybody, and twenty
browsers that connect ahead of need would take all workers. Here a connection waits among the
idle ones until it has sent something, shakes hands in a worker, and is cut when a request takes
longer than any honest one does.
"""

from __future__ import annotations

import contextlib
import socket
import ssl
import threading
import time
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from cheroot.server import HeaderReader, HTTPConnection, HTTPRequest

HEAD_SECONDS = 15.0  # for the handshake and the lines before the body
REQUEST_SECONDS = 300.0  # for all of it: a large photo over a bad wireless network
REFUSED_BYTES = 2**30  # read and thrown away, so that a browser gets to see the refusal
_PIECE = 2**16

NO_PLAIN_HTTP = "This address begins with https://, not with http://."


@dataclass(frozen=True, kw_only=True, slots=True)
class BodyLimits:
    """How many bytes may come with a request: everywhere, and at the paths that take more."""

    usual: int
    at_paths: Mapping[str, int] = field(default_factory=dict)

    def at(self, path: str) -> int:
        """The limit at a path."""
        return self.at_paths.get(path, self.usual)


class Watch:
    """Cuts connections whose request takes too long."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._deadlines: dict[BenchConnection, float] = {}

    def set(self, connection: BenchConnection, *, seconds: float) -> None:
        """Give a connection so much time from now on."""
        with self._lock:
            self._deadlines[connection] = time.monotonic() + seconds

    def clear(self, connection: BenchConnection) -> None:
        """Let a connection be: it is idle or closed."""
        with self._lock:
            self._deadlines.pop(connection, None)

    def cut_late(self) -> None:
        """End the connections that are over their time; their workers then get an error."""
        now = time.monotonic()
        with self._lock:
            late = [one for one, deadline in self._deadlines.items() if deadline < now]
            for one in late:
                del self._deadlines[one]
                with contextlib.suppress(OSError):
                    # Not the TLS layer's: a worker is inside that one.
                    socket.socket.shutdown(one.socket, socket.SHUT_RDWR)


class PlainHeaders(HeaderReader):
    """Leaves out headers with an underscore: WSGI could not tell them from those with a hyphen."""

    def _allow_header(self, key_name: bytes) -> bool:
        return b"_" not in key_name


class BenchRequest(HTTPRequest):
    """One request, with limits that depend on its path and refusals in the shop's words."""

    header_reader = PlainHeaders()

    def parse_request(self) -> None:
        """Read the lines before the body; from then on a request has longer."""
        super().parse_request()
        if self.ready:
            self.server.watch.set(self.conn, seconds=REQUEST_SECONDS)

    def read_request_headers(self) -> bool:
        """Read the headers; refuse a body that is too large, or of a length that is not told."""
        if not super().read_request_headers():  # type: ignore[no-untyped-call]
            return False
        if b"Transfer-Encoding" in self.inheaders:
            self.simple_response("411 Length Required", "Say how long the body is.")
            return False
        path = self.path.decode("latin-1")
        limit = self.server.body_limits.at(path)
        length = int(self.inheaders.get(b"Content-Length", 0))
        if length < 0:
            self.simple_response("400 Bad Request", "A length is not negative.")
            return False
        if length > limit:
            self.conn.refused_bytes = length
            self.simple_response(
                "413 Request Entity Too Large",
                f"What you sent is larger than {limit // 2**20} MB, which is the most that is taken"
                " here. Nothing was stored. Go back and send something smaller.",
            )
            return False
        return True


class BenchConnection(HTTPConnection):
    """One connection of a browser."""

    RequestHandlerClass = BenchRequest
    shaken = False
    refused_bytes = 0

    def communicate(self) -> bool:
        """Shake hands, or answer one request; whether the connection stays open."""
        self.server.watch.set(self, seconds=HEAD_SECONDS)
        try:
            if not self.shaken and isinstance(self.socket, ssl.SSLSocket):
                if not self._shake_hands(self.socket):
                    return False
                if not self.socket.pending():
                    return True  # what it asks for comes later, and takes a worker then
            self.shaken = True
            return self._answer()
        finally:
            self.server.watch.clear(self)

    def _answer(self) -> bool:
        """Answer one request. A connection that TLS lost is closed without more ado."""
        try:
            stays = bool(super().communicate())  # type: ignore[no-untyped-call]
            if self.refused_bytes:
                self._throw_away(min(self.refused_bytes, REFUSED_BYTES))
        except (OSError, ValueError):  # ValueError: the watch has closed it
            return False
        return stays

    def _throw_away(self, size: int) -> None:
        """Read what was refused, since many browsers show an answer only after they sent all."""
        self.server.watch.set(self, seconds=REQUEST_SECONDS)
        while size > 0:
            piece = self.rfile.read(min(size, _PIECE))
            if not piece:
                return
            size -= len(piece)

    def _shake_hands(self, secured: ssl.SSLSocket) -> bool:
        try:
            secured.do_handshake()
        except ssl.SSLError as error:
            if "HTTP_REQUEST" in (error.reason or ""):
                self._say_plainly(NO_PLAIN_HTTP)
            return False
        except OSError:
            return False
        self.shaken = True
        return True

    def _say_plainly(self, sentence: str) -> None:
        """Answer without TLS somebody who spoke without it."""
        body = sentence.encode()
        head = (
            "HTTP/1.1 400 Bad Request\r\nContent-Type: text/plain; charset=utf-8\r\n"
            f"Content-Length: {len(body)}\r\nConnection: close\r\n\r\n"
        )
        plain: Any = socket.socket  # its methods, round those of the TLS layer
        with contextlib.suppress(OSError):
            plain.sendall(self.socket, head.encode() + body)
            plain.shutdown(self.socket, socket.SHUT_WR)
            self.socket.settimeout(0.5)
            plain.recv(self.socket, _PIECE)
