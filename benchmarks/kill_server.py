"""Kill the server while browsers write, again and again; then count what they were told is stored.

    python benchmarks/kill_server.py [--kills 50] [--clients 8] [--postgresql]

Each client sends one reading after another to a job of its own and notes those that were
acknowledged. The server is ended with SIGKILL at a random moment and started again on the same
port; a client that got no answer sends the same reading again. At the end every acknowledged
reading must be in the record once, and the chains must hold (`oilwedge shop verify`).
"""

from __future__ import annotations

import argparse
import collections
import http.client
import random
import subprocess
import sys
import tempfile
import threading
import time
from dataclasses import dataclass, field
from pathlib import Path

from page_speed import databases, now_text
from served import PROGRAM, Bench, Visitor, reading, start

FOUR = 3  # every third job is on the four-cylinder
PORT = 18_470  # no port that the system hands out: a client that waits there would take it


@dataclass(kw_only=True)
class Client:
    """One browser: what it was told is stored, and how often it had to send again."""

    job: str
    visitor: Visitor
    acknowledged: list[str] = field(default_factory=list)
    sent_again: int = 0
    there_already: int = 0

    def write_until(self, over: threading.Event) -> None:
        """Send readings until told to stop; the last one is acknowledged too."""
        while not over.is_set():
            now = now_text()
            one = reading(author=1, value="47.972", now=now)
            while not self._send(one):
                self.sent_again += 1
                time.sleep(0.05)

    def _send(self, one: dict[str, object]) -> bool:
        try:
            answer = self.visitor.send_reading(self.job, one, device_now=now_text())
        except (OSError, http.client.HTTPException):
            return False
        status, body, _ = answer
        if status == 503:
            return False
        if status != 200:
            sys.exit(f"answered {status}: {body[:200]!r}")
        if b'"already there"' in body:
            self.there_already += 1
        elif b'"stored"' not in body:
            sys.exit(f"was not stored: {body[:300]!r}")
        self.acknowledged.append(str(one["id"]))
        return True


def kill_again_and_again(
    bench: Bench, folder: Path, database: str, *, kills: int, clients: list[Client]
) -> Bench:
    """End the server at random moments; every start gives back the same port."""
    luck = random.Random(7)
    for kill in range(kills):
        _wait_for_answers(clients)
        time.sleep(luck.uniform(0.0, 1.0))
        bench.kill()
        port = bench.port
        bench = start(folder, database=database, port=port)
        told = sum(len(client.acknowledged) for client in clients)
        print(f"\r{kill + 1} of {kills} kills, {told} acknowledged", end="", file=sys.stderr)
    print(file=sys.stderr)
    return bench


def _wait_for_answers(clients: list[Client]) -> None:
    """Until every client was answered once since the last start."""
    before = [len(client.acknowledged) for client in clients]
    while any(len(one.acknowledged) == n for one, n in zip(clients, before, strict=True)):
        time.sleep(0.01)


def stored(folder: Path, database: str) -> collections.Counter[tuple[str, str]]:
    """How often each id is in the record, by job, read in a process of its own."""
    program = (
        "import sys; from pathlib import Path; from oilwedge.web.starting import set_up_django;"
        "set_up_django(folder=Path(sys.argv[1]), database=sys.argv[2]);"
        "from oilwedge.web.record.models import JobEntry;"
        "[print(n, i) for n, i in JobEntry.objects.values_list('job__number', 'entry_id')]"
    )
    command = [sys.executable, "-c", program, str(folder), database]
    out = subprocess.run(command, check=True, capture_output=True, text=True).stdout
    return collections.Counter(tuple(one.split(" ", 1)) for one in out.splitlines())  # type: ignore[misc]


def main() -> None:
    reader = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    reader.add_argument("--kills", type=int, default=50)
    reader.add_argument("--clients", type=int, default=8)
    reader.add_argument("--postgresql", action="store_true")
    chosen = reader.parse_args()
    which = "PostgreSQL" if chosen.postgresql else "SQLite"
    with tempfile.TemporaryDirectory() as place, databases(which) as database:
        folder = Path(place) / "shop"
        make = [sys.executable, str(Path(__file__).with_name("large_shop.py")), str(folder)]
        subprocess.run([*make, "--jobs", "30", "--database", database], check=True,
                       capture_output=True)  # fmt: skip
        bench = start(folder, database=database, port=PORT)
        first = Visitor(port=bench.port)
        first.log_in(bench.start_path)
        clients = [
            Client(job=f"G-{FOUR * (n + 1):05d}", visitor=first.twin())
            for n in range(chosen.clients)
        ]
        over = threading.Event()
        threads = [threading.Thread(target=one.write_until, args=(over,)) for one in clients]
        for thread in threads:
            thread.start()
        bench = kill_again_and_again(bench, folder, database, kills=chosen.kills, clients=clients)
        over.set()
        for thread in threads:
            thread.join()
        bench.process.terminate()
        bench.process.wait()
        report(which, clients, stored(folder, database), kills=chosen.kills)
        verify = [str(PROGRAM), "shop", "verify", str(folder), "--database", database]
        said = subprocess.run(verify, capture_output=True, text=True)
        lines = (said.stdout + said.stderr).strip().splitlines()
        print(f"  verify: {lines[-1]} (exit {said.returncode})")


def report(
    which: str,
    clients: list[Client],
    there: collections.Counter[tuple[str, str]],
    *,
    kills: int,
) -> None:
    """Hold what was acknowledged against what is there."""
    told = [(one.job, name) for one in clients for name in one.acknowledged]
    lost = sum(there[key] == 0 for key in told)
    twice = sum(there[key] > 1 for key in told)
    again = sum(one.sent_again for one in clients)
    known = sum(one.there_already for one in clients)
    print(f"{which}: {kills} kills, {len(clients)} clients, {len(told)} readings acknowledged")
    print(f"  lost {lost}, stored twice {twice}")
    print(f"  sent again without an answer {again}, of which {known} were there already")


if __name__ == "__main__":
    main()
