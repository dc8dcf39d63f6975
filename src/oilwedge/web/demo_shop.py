"""The demo's shop: invented instruments, engines and jobs, filled into an empty record."""

from __future__ import annotations

import hashlib

from django.utils import timezone

from oilwedge.usecases.demonstration import DEMO_JOBS, DemoJob, demo_bytes, demo_entries
from oilwedge.usecases.importing.imported import BadRow
from oilwedge.usecases.opening import SHOP_FILE, Engine, Shop, engine_of_text, shop_of_text
from oilwedge.web.record.models import Job, Parked, ShopRevision
from oilwedge.web.record.naming import with_commitments
from oilwedge.web.record.store import append_entries, keep_engine, open_job

TABLE = "a table of readings"


def fill_demo_shop() -> None:
    """Fill an empty record with the demo; a record with jobs in it is left alone."""
    if Job.objects.exists():
        return
    text = demo_bytes(SHOP_FILE).decode("utf-8")
    shop = shop_of_text(text, file=SHOP_FILE)
    ShopRevision.objects.create(
        number=1,
        text=text,
        digest=hashlib.sha256(text.encode()).hexdigest(),
        note="the demo's invented shop",
    )
    for one in DEMO_JOBS:
        _open_demo_job(one, shop=shop)


def _open_demo_job(one: DemoJob, *, shop: Shop) -> None:
    text = demo_bytes(one.engine_file).decode("utf-8")
    engine = engine_of_text(text, file=one.engine_file)
    kept = keep_engine(name=engine.name, digest=engine.digest, text=text)
    job = open_job(number=one.number, engine=kept, title=one.title)
    if one.readings_file:
        _add_readings(one, job=job, engine=engine, shop=shop)


def _add_readings(one: DemoJob, *, job: Job, engine: Engine, shop: Shop) -> None:
    imported = demo_entries(one, engine=engine, shop=shop)
    entries = with_commitments(job=job, entries=imported.entries, names=shop.people)
    append_entries(job=job, entries=entries)
    for row in imported.bad_rows:
        _park(row, job=job)


def _park(row: BadRow, *, job: Job) -> None:
    """A row that was refused stays in sight, as a reading from a browser would."""
    Parked.objects.create(
        job=job,
        entry_id=row.id or f"row {row.row}",
        author_name=TABLE,
        document=dict(row.cells),
        reason=" ".join(fault.sentence() for fault in row.faults),
        received_at=timezone.now(),
    )
