"""A file of readings that a browser could not send, brought by hand."""

from __future__ import annotations

import datetime
import json
from dataclasses import replace

from django.core.files.uploadedfile import UploadedFile

from oilwedge.errors import Fault, InputError
from oilwedge.web.bench.measuring.sync_flow import (
    MOST_BYTES,
    Settled,
    read_parcel,
    settle,
)
from oilwedge.web.people.models import Account
from oilwedge.web.record.models import Job

FORMAT = "oilwedge unsent readings 1"


def settle_file(
    file: UploadedFile[bytes] | None, *, job: Job, account: Account, received: datetime.datetime
) -> tuple[Settled, ...]:
    """Settle what a saved file holds; raises InputError for a file that is none of ours.

    Nothing tells how long the file lay about, so the clock of the device is taken at its word:
    a reading gets the time that it says, and never a later one than now.
    """
    if file is None:
        raise _error("no file came", "choose the file that the measure page saved")
    if (file.size or 0) > MOST_BYTES:
        raise _error("the file is larger than 1 MB", "a file of unsent readings is far smaller")
    data = file.read(MOST_BYTES + 1)
    document = _document(data)
    if document.get("job") != job.number:
        raise _error(
            f"this file holds readings of job {str(document.get('job'))[:40]}, and this is job"
            f" {job.number}",
            "bring it to that job",
        )
    parcel = replace(read_parcel(data), device_now=received)
    return settle(job=job, account=account, parcel=parcel, received=received)


def _document(data: bytes) -> dict[str, object]:
    try:
        document = json.loads(data)
    except (ValueError, RecursionError):
        document = None
    if not isinstance(document, dict) or document.get("format") != FORMAT:
        raise _error(
            "this is no file of unsent readings",
            "choose the one that 'Save unsent readings as a file' made",
        )
    return document


def _error(allowed: str, action: str) -> InputError:
    return InputError(Fault(given="", allowed=allowed, action=action))
