"""A bench in a process of its own, and browsers without a window that talk to it."""

from __future__ import annotations

import http.client
import json
import os
import re
import secrets
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

PROGRAM = Path(sys.executable).with_name("oilwedge")
START_SECONDS = 60


@dataclass(kw_only=True)
class Bench:
    """A served shop: its address, its process, and how to end it."""

    process: subprocess.Popen[str]
    port: int
    start_path: str

    def kill(self) -> None:
        """End it as a power cut would."""
        self.process.send_signal(signal.SIGKILL)
        self.process.wait()

    def memory_mb(self) -> float:
        """What the process holds in memory now."""
        status = Path(f"/proc/{self.process.pid}/status").read_text(encoding="ascii")
        return int(re.findall(r"VmRSS:\s+(\d+)", status)[0]) / 1024


def start(folder: Path, *, database: str = "", port: int = 0) -> Bench:
    """Serve a shop; returns when it answers."""
    command = [str(PROGRAM), "serve", str(folder), "--no-browser", "--port", str(port)]
    if database:
        command += ["--database", database]
    process = subprocess.Popen(
        command,
        stdout=subprocess.PIPE,
        stdin=subprocess.DEVNULL,
        text=True,
        env={**os.environ, "PYTHONUNBUFFERED": "1"},
    )
    assert process.stdout is not None
    until = time.monotonic() + START_SECONDS
    while time.monotonic() < until:
        found = re.search(r"http://127\.0\.0\.1:(\d+)(/start/\S+)", process.stdout.readline())
        if found:
            threading.Thread(target=process.stdout.read, daemon=True).start()
            return Bench(process=process, port=int(found[1]), start_path=found[2])
        if process.poll() is not None:
            break
    sys.exit("The bench did not start.")


@contextmanager
def served(folder: Path, *, database: str = "") -> Iterator[Bench]:
    """Serve a shop for as long as the block runs."""
    bench = start(folder, database=database)
    try:
        yield bench
    finally:
        bench.process.terminate()
        bench.process.wait(20)


@dataclass(kw_only=True)
class Visitor:
    """One connection with its cookies, as a browser keeps them."""

    port: int
    cookies: dict[str, str] = field(default_factory=dict)
    connection: http.client.HTTPConnection | None = None

    def send(
        self, method: str, path: str, *, body: bytes = b"", headers: Mapping[str, str] | None = None
    ) -> tuple[int, bytes, float]:
        """Status, body and seconds of one request."""
        if self.connection is None:
            self.connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=60)
        wanted = {"Cookie": "; ".join(f"{k}={v}" for k, v in self.cookies.items())}
        wanted |= headers or {}
        begin = time.perf_counter()
        try:
            self.connection.request(
                method, path, body=body or None, headers={**wanted, **(headers or {})}
            )
            answer = self.connection.getresponse()
            data = answer.read()
        except (OSError, http.client.HTTPException):
            self.connection.close()
            self.connection = None
            raise
        seconds = time.perf_counter() - begin
        for name, value in answer.getheaders():
            if name.lower() == "set-cookie":
                key, _, rest = value.partition("=")
                self.cookies[key] = rest.partition(";")[0]
        return answer.status, data, seconds

    def get(self, path: str) -> tuple[int, bytes, float]:
        """A page; asked for anew where the server had closed the idle connection."""
        try:
            return self.send("GET", path)
        except http.client.RemoteDisconnected:
            return self.send("GET", path)

    def log_in(self, start_path: str) -> None:
        """Come in by the start address, and fetch the token that forms need."""
        self.get(start_path)
        status, page, _ = self.get("/jobs/new")
        if status != 200:
            sys.exit(f"The bench did not let anybody in ({status}).")
        del page

    def twin(self) -> Visitor:
        """Another connection of the same person."""
        return Visitor(port=self.port, cookies=dict(self.cookies))

    def send_reading(
        self, number: str, reading: Mapping[str, object], *, device_now: str
    ) -> tuple[int, bytes, float]:
        """Send one reading as the page does."""
        body = json.dumps({"device_now": device_now, "entries": [reading]}).encode()
        headers = {
            "Content-Type": "application/json",
            "Accept": "application/json",
            "X-CSRFToken": self.cookies.get("csrftoken", ""),
            "Origin": f"http://127.0.0.1:{self.port}",
        }
        return self.send("POST", f"/jobs/{number}/entries", body=body, headers=headers)


def reading(*, author: int, value: str, number: int = 1, now: str) -> dict[str, object]:
    """A reading as a browser makes it, with an id of its own."""
    return {
        "id": f"b-{secrets.token_hex(8)}",
        "device_time": now,
        "author": author,
        "kind": "reading",
        "feature": "rod_journal",
        "number": number,
        "place": "front",
        "direction": "across",
        "typed": value,
        "unit": "mm",
        "resolved": "",
        "instrument": "mic_25_50",
        "fitting": 1,
        "setting": "1",
        "replaces": "",
        "confirmed": False,
        "note": "",
    }


def percentile(values: list[float], share: float) -> float:
    """The value under which a share of all lies."""
    ordered = sorted(values)
    return ordered[min(len(ordered) - 1, int(share * len(ordered)))]
