"""Make a large invented shop: jobs on the demo's three engines, with the demo's readings in each.

    python benchmarks/large_shop.py FOLDER --jobs 10000 [--database postgresql://...]

10,000 jobs hold 2,000,000 entries. Nine jobs of ten are closed, as in a shop of some age. Each
chain is whole: `oilwedge shop verify FOLDER` says so. Rows are written straight into the tables,
for nobody waits an hour for a benchmark to begin.
"""

from __future__ import annotations

import argparse
import datetime
import hashlib
import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

OPEN_ONE_IN = 10
ALL_OPEN = 60  # the first ones, so that a small shop has work in hand too
CHUNK = 200  # jobs
START = datetime.datetime(2026, 1, 1, 8, 0, tzinfo=datetime.UTC)


Row = tuple[int, str, str, str]  # sequence, id, document, head


@dataclass(frozen=True, kw_only=True)
class Pattern:
    """The entries that every job of one engine gets: while it is open, and once it is closed."""

    digest: str
    name: str
    open_rows: tuple[Row, ...]
    closed_rows: tuple[Row, ...]

    def rows(self, serial: int) -> tuple[Row, ...]:
        """Those of the job with this serial."""
        return self.closed_rows if _is_closed(serial) else self.open_rows


def patterns() -> tuple[Pattern, ...]:
    """The demo's engines with their entries, kept in the shop, as rows with their chain."""
    from oilwedge.job.entry import Event, EventKind
    from oilwedge.job.record import EMPTY_HEAD, canonical_text, digest_text, head_after
    from oilwedge.usecases.demonstration import DEMO_JOBS, demo_bytes, demo_entries
    from oilwedge.usecases.opening import SHOP_FILE, engine_of_text, shop_of_text
    from oilwedge.web.record.models import ShopRevision
    from oilwedge.web.record.store import keep_engine

    text = demo_bytes(SHOP_FILE).decode()
    if not ShopRevision.objects.exists():
        digest = hashlib.sha256(text.encode()).hexdigest()
        ShopRevision.objects.create(number=1, text=text, digest=digest)
    shop = shop_of_text(text, file=SHOP_FILE)
    found = []
    for one in (job for job in DEMO_JOBS if job.readings_file):
        engine_text = demo_bytes(one.engine_file).decode()
        engine = engine_of_text(engine_text, file=one.engine_file)
        keep_engine(name=engine.name, digest=engine.digest, text=engine_text)
        first = Event(id="s-0", kind=EventKind.ENGINE, subject="engine file", value=engine.digest)
        head, rows = EMPTY_HEAD, []
        last = Event(id="s-1", kind=EventKind.CLOSED)
        entries = (first, *demo_entries(one, engine=engine, shop=shop).entries, last)
        for sequence, entry in enumerate(entries, start=1):
            document = canonical_text(entry)
            head = head_after(head, digest_text(document))
            rows.append((sequence, entry.id, document, head))
        found.append(
            Pattern(
                digest=engine.digest,
                name=engine.name,
                open_rows=tuple(rows[:-1]),
                closed_rows=tuple(rows),
            )
        )
    return tuple(found)


def job_rows(numbers: range, kinds: tuple[Pattern, ...]) -> Iterator[tuple[Any, ...]]:
    """One row of the table of jobs for each number."""
    for serial in numbers:
        kind = kinds[serial % len(kinds)]
        opened = START + datetime.timedelta(minutes=10 * serial)
        changed = opened + datetime.timedelta(hours=5)
        last = kind.rows(serial)[-1]
        yield (
            serial, serial, f"G-{serial:05d}", f"invented {serial}", kind.digest, kind.name,
            opened, changed, _is_closed(serial), last[0], last[3], True, False,
        )  # fmt: skip


def _is_closed(serial: int) -> bool:
    return serial > ALL_OPEN and serial % OPEN_ONE_IN != 0


JOB_COLUMNS = (
    "id", "serial", "number", "title", "engine_id", "engine_name", "opened_at", "changed_at",
    "closed", "count", "head", "blind", "is_reference",
)  # fmt: skip
ENTRY_COLUMNS = ("job_id", "sequence", "entry_id", "document", "head", "received_at")


def fill(*, jobs: int) -> int:
    """Add jobs until there are that many; how many entries they hold."""
    from django.db import connection, transaction

    from oilwedge.web.record.models import Job

    there = Job.objects.count()
    kinds = patterns()
    entries = 0
    for start in range(there + 1, jobs + 1, CHUNK):
        numbers = range(start, min(start + CHUNK, jobs + 1))
        rows = list(job_rows(numbers, kinds))
        with transaction.atomic():
            _insert(connection, "record_job", JOB_COLUMNS, rows)
            block = [
                (row[0], *one, row[7])
                for row in rows
                for one in kinds[row[0] % len(kinds)].rows(row[0])
            ]
            _insert(connection, "record_jobentry", ENTRY_COLUMNS, block)
        entries += len(block)
        print(f"\r{numbers[-1]} of {jobs} jobs", end="", file=sys.stderr, flush=True)
    if connection.vendor == "postgresql":
        with connection.cursor() as cursor:
            cursor.execute(
                "SELECT setval(pg_get_serial_sequence('record_job', 'id'), max(id)) FROM record_job"
            )
            cursor.execute("ANALYZE")
    print(file=sys.stderr)
    return entries


def _insert(connection: Any, table: str, columns: tuple[str, ...], rows: list[Any]) -> None:
    with connection.cursor() as cursor:
        if connection.vendor == "postgresql":
            copy = f"COPY {table} ({', '.join(columns)}) FROM STDIN"
            with cursor.copy(copy) as out:
                for row in rows:
                    out.write_row(row)
            return
        marks = ", ".join(["%s"] * len(columns))
        plain = [tuple(_as_sqlite(value) for value in row) for row in rows]
        cursor.executemany(f"INSERT INTO {table} ({', '.join(columns)}) VALUES ({marks})", plain)


def _as_sqlite(value: Any) -> Any:
    """A time as Django writes it there: in UTC, without saying so."""
    if isinstance(value, datetime.datetime):
        return value.replace(tzinfo=None).isoformat(" ")
    return value


def main() -> None:
    reader = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    reader.add_argument("folder", type=Path)
    reader.add_argument("--jobs", type=int, default=10_000)
    reader.add_argument("--database", default="")
    chosen = reader.parse_args()
    from oilwedge.web.starting import prepare_shop

    prepare_shop(folder=chosen.folder, database=chosen.database)
    start = time.perf_counter()
    entries = fill(jobs=chosen.jobs)
    print(f"{entries} entries added in {time.perf_counter() - start:.1f} s")


if __name__ == "__main__":
    main()
