"""How quick the bench is in a large shop, on SQLite and PostgreSQL, and how that grows.

    python benchmarks/page_speed.py [--jobs 100 10000] [--seconds 20]

For each number of jobs and each database: the pages' times (a job never judged before, the same
job again, its measure page, the work in hand), the time to save a reading while 20 benches write
twice a second each, the server's memory, and what pages weigh. Times are also given as ratios to
`import numpy` in a process of its own, measured in the same run.
"""

from __future__ import annotations

import argparse
import datetime
import gzip
import random
import re
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from served import Bench, Visitor, percentile, reading, served

BENCHES = 20
PER_SECOND = 2.0
PAGES = 150
FOUR = 3  # of three kinds of job, one is on the four-cylinder: serial % 3 == 0


def unit_ms() -> float:
    """The time of `import numpy` in a process of its own, smallest of three."""
    times = []
    for _ in range(3):
        begin = time.perf_counter()
        subprocess.run([sys.executable, "-c", "import numpy"], check=True)
        times.append((time.perf_counter() - begin) * 1000)
    return min(times)


def now_text() -> str:
    return datetime.datetime.now(datetime.UTC).isoformat()


def line(name: str, seconds: list[float], *, unit: float) -> None:
    half, most = (1000 * percentile(seconds, share) for share in (0.5, 0.95))
    print(f"  {name:42s} {half:7.1f} {most:7.1f} ms   {most / unit:5.2f} of the unit", flush=True)


def pages(bench: Bench, visitor: Visitor, *, jobs: int, unit: float) -> None:
    """Ask for pages of jobs here and there in the shop."""
    chosen = random.Random(1).sample(range(1, jobs + 1), min(PAGES, jobs))
    cold, again, measure = [], [], []
    for serial in chosen:
        cold.append(_time(visitor, f"/jobs/G-{serial:05d}/"))
    for serial in chosen:
        again.append(_time(visitor, f"/jobs/G-{serial:05d}/"))
        feature = "rod_journal"
        measure.append(_time(visitor, f"/jobs/G-{serial:05d}/measure/{feature}/1/"))
    work = [_time(visitor, f"/?page={1 + i % 3}") for i in range(PAGES)]
    line("job page, judged for the first time", cold, unit=unit)
    line("job page again", again, unit=unit)
    line("measure page", measure, unit=unit)
    line("work in hand", work, unit=unit)
    print(f"  memory of the server: {bench.memory_mb():.0f} MB")


def _time(visitor: Visitor, path: str) -> float:
    status, _, seconds = visitor.get(path)
    if status != 200:
        sys.exit(f"{path} answered {status}")
    return seconds


def saving(bench: Bench, visitor: Visitor, *, seconds: float, unit: float) -> None:
    """20 benches write twice a second each, on jobs of their own; one of them also looks on."""
    times: list[float] = []
    looked: list[float] = []
    refused: list[bytes] = []
    until = time.monotonic() + seconds

    def write(number: int) -> None:
        own = visitor.twin()
        job = f"G-{FOUR * (number + 1):05d}"
        time.sleep(number / BENCHES / PER_SECOND)
        while time.monotonic() < until:
            begin = time.monotonic()
            now = now_text()
            one = reading(author=1, value="47.972", now=now)
            status, body, took = own.send_reading(job, one, device_now=now)
            times.append(took)
            if status != 200 or b'"stored"' not in body:
                refused.append(body)
            time.sleep(max(0.0, 1 / PER_SECOND - (time.monotonic() - begin)))

    def look() -> None:
        own = visitor.twin()
        while time.monotonic() < until:
            looked.append(own.get(f"/jobs/G-{FOUR:05d}/")[2])
            time.sleep(1.0)

    threads = [threading.Thread(target=write, args=(n,)) for n in range(BENCHES)]
    threads.append(threading.Thread(target=look))
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    line(f"save a reading, {BENCHES} benches at 2/s ({len(times)})", times, unit=unit)
    line("job page of one of these meanwhile", looked, unit=unit)
    if refused:
        print(f"  {len(refused)} were refused: {refused[0][:200]!r}")
    print(f"  memory of the server afterwards: {bench.memory_mb():.0f} MB")


def weights(visitor: Visitor) -> None:
    """What the measure page weighs the first time, with all that it loads, and for a reading."""
    path = f"/jobs/G-{FOUR:05d}/measure/rod_journal/1/"
    _, page, _ = visitor.get(path)
    found = set(re.findall(rb'(?:src|href)="(/static/[^"]+)"', page))
    total = len(gzip.compress(page))
    plain = len(page)
    seen: set[bytes] = set()
    while found - seen:
        one = (found - seen).pop()
        seen.add(one)
        _, data, _ = visitor.send("GET", one.decode(), headers={"Accept-Encoding": "gzip"})
        total += len(data)
        text = gzip.decompress(data) if data[:2] == b"\x1f\x8b" else data
        plain += len(text)
        if one.endswith((b".css", b".js")):
            folder = one.rsplit(b"/", 1)[0]
            for name in re.findall(rb'(?:url\("?|from ?"|import ?")(\.?/?[^")]+)', text):
                if not name.startswith((b"data:", b"http")):
                    found.add(_joined(folder, name))
    now = now_text()
    one_reading = reading(author=1, value="47.973", now=now)
    _, answer, _ = visitor.send_reading(f"G-{FOUR:05d}", one_reading, device_now=now)
    print(f"  measure page, first load: {total / 1000:.0f} kB sent ({plain / 1000:.0f} kB plain)")
    print(f"  one reading: {(len(answer) + len(str(one_reading))) / 1000:.1f} kB both ways")


def _joined(folder: bytes, name: bytes) -> bytes:
    if name.startswith(b"/"):
        return name
    parts = folder.split(b"/")
    for part in name.split(b"/"):
        if part == b"..":
            parts.pop()
        elif part != b".":
            parts.append(part)
    return b"/".join(parts)


@contextmanager
def databases(which: str) -> Iterator[str]:
    """The address of a database: nothing for SQLite, else a server made for this run."""
    if which == "SQLite":
        yield ""
        return
    sys.path.insert(0, str(Path(__file__).parents[1] / "tests" / "web"))
    from postgres_server import running_server

    with running_server(options=("-c", "shared_buffers=512MB")) as address:
        yield address


def main() -> None:
    reader = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    reader.add_argument("--jobs", type=int, nargs="+", default=[100, 10_000])
    reader.add_argument("--seconds", type=float, default=20.0)
    reader.add_argument("--databases", nargs="+", default=["SQLite", "PostgreSQL"])
    chosen = reader.parse_args()
    unit = unit_ms()
    print(f"the unit, `import numpy` in a process of its own: {unit:.0f} ms")
    for which in chosen.databases:
        for jobs in chosen.jobs:
            with tempfile.TemporaryDirectory() as place, databases(which) as address:
                folder = Path(place) / "shop"
                make = [sys.executable, str(Path(__file__).with_name("large_shop.py")), str(folder)]
                made = subprocess.run(
                    [*make, "--jobs", str(jobs), "--database", address],
                    check=True, capture_output=True, text=True,
                )  # fmt: skip
                print(f"\n{which}, {jobs} jobs: {made.stdout.strip()}")
                print(f"  {'':42s}  median     p95")
                with served(folder, database=address) as bench:
                    visitor = Visitor(port=bench.port)
                    visitor.log_in(bench.start_path)
                    pages(bench, visitor, jobs=jobs, unit=unit)
                    saving(bench, visitor, seconds=chosen.seconds, unit=unit)
                    weights(visitor)


if __name__ == "__main__":
    main()
