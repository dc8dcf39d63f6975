"""Heads that the shop vouches for beside the chain: when a job was opened, and when one left."""

from __future__ import annotations

from oilwedge.web.record.models import Job, KnownHead

OPENED = "opening"
SHEET = "sheet"
EXPORTED = "export"
IMPORTED = "import"


def remember_head(job: Job, *, reason: str) -> None:
    """Note the head of a job: its chain must pass it for ever after, and the job must be there."""
    KnownHead.objects.get_or_create(
        job_number=job.number, head=job.head, reason=reason, defaults={"count": job.count}
    )
