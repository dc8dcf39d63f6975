"""Whether the record of a shop is still the one that was written: what was changed, what is gone.

Each job is read at one moment, so a shop can be verified while people write. What is found out:
an entry that was changed, moved, added or taken away, unless every head after it was computed
anew; that too, once a head after it was printed, exported or is given by hand; a job that was
taken away, unless it was the newest one and none of its heads left the shop; engine files, shop
files, photos and names that are no longer what the record says. Stored verdicts are no part of the
record: they follow from it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from django.db import connection
from django.db.models import Max

from oilwedge.job.chain import KnownHead, Link
from oilwedge.job.record import digest_text
from oilwedge.web.record import models
from oilwedge.web.record.foreign_values import foreign_values
from oilwedge.web.record.known_heads import IMPORTED
from oilwedge.web.record.photo_files import photo_digest
from oilwedge.web.record.snapshot import snapshot
from oilwedge.web.record.store import says_faults
from oilwedge.web.record.triggers import missing_triggers
from oilwedge.web.record.verified_job import JobRows, job_findings

JOBS_AT_ONCE = 50

Progress = Callable[[int, int], None]


@dataclass(frozen=True, kw_only=True, slots=True)
class Verified:
    """What was looked at, and a sentence for each thing that is wrong."""

    jobs: int
    entries: int
    findings: tuple[str, ...]


@says_faults
def verify_shop(
    *, number: str = "", head: str = "", progress: Progress = lambda done, of: None
) -> Verified:
    """Verify a whole shop, or the one job of a number.

    ``head`` is one that is known from a sheet or an export of that job, or its first digits.
    ``progress`` is called with the number of jobs done, and of all.
    """
    entries = 0
    jobs = 0
    if foreign := foreign_values(connection):
        return Verified(jobs=0, entries=0, findings=foreign)
    findings = [] if number else list(_shop_findings())
    chosen = models.Job.objects.filter(number=number) if number else models.Job.objects.all()
    total = chosen.count()
    if number and not total:
        findings.append(f"There is no job {number} in this shop.")
    engines = frozenset(models.EngineText.objects.values_list("digest", flat=True))
    lost = frozenset(_lost_photos(number))
    after = 0
    while ids := list(
        chosen.filter(pk__gt=after).order_by("pk").values_list("pk", flat=True)[:JOBS_AT_ONCE]
    ):
        with snapshot():
            for rows in _rows_of(ids, head=head):
                jobs, entries = jobs + 1, entries + len(rows.links)
                findings += job_findings(rows, engines=engines, lost_photos=lost)
        after = ids[-1]
        progress(jobs, total)
    return Verified(jobs=jobs, entries=entries, findings=tuple(findings))


def _rows_of(ids: Sequence[int], *, head: str) -> Iterator[JobRows]:
    """All rows of some jobs, job after job."""
    links: dict[int, list[Link]] = {pk: [] for pk in ids}
    fields = ("job_id", "sequence", "entry_id", "document", "head")
    entries = models.JobEntry.objects.filter(job_id__gte=ids[0], job_id__lte=ids[-1])
    for pk, sequence, entry_id, text, after in (
        entries.order_by("job_id", "sequence").values_list(*fields).iterator(chunk_size=5000)
    ):
        if pk in links:
            link = Link(sequence=sequence, entry_id=entry_id, text=text, head=after)
            links[pk].append(link)
    jobs = {job.pk: job for job in models.Job.objects.filter(pk__in=ids)}
    numbers = {job.number: pk for pk, job in jobs.items()}
    known: dict[int, list[KnownHead]] = {pk: [] for pk in ids}
    came_in: set[int] = set()
    for one in models.KnownHead.objects.filter(job_number__in=numbers):
        words = f"{one.reason} of {one.made_at:%Y-%m-%d}"
        if one.reason == IMPORTED:
            came_in.add(numbers[one.job_number])
        known[numbers[one.job_number]].append(
            KnownHead(count=one.count, head=one.head, reason=words)
        )
    personal: dict[int, list[models.PersonalDatum]] = {pk: [] for pk in ids}
    for datum in models.PersonalDatum.objects.filter(job_id__in=ids):
        personal[datum.job_id].append(datum)
    photos: dict[int, set[str]] = {pk: set() for pk in ids}
    for pk, digest in models.Photo.objects.filter(job_id__in=ids).values_list("job_id", "sha256"):
        photos[pk].add(digest)
    for pk in ids:
        if pk in jobs:
            yield JobRows(
                job=jobs[pk],
                links=links[pk],
                known=known[pk],
                personal=personal[pk],
                photos=photos[pk],
                asked=head.strip().lower().rstrip("…"),
                came_in=pk in came_in,
            )


def _shop_findings() -> Iterator[str]:
    """What is wrong with the shop as a whole."""
    for name in missing_triggers(connection):
        yield (
            f"The database no longer holds the rule {name}, which keeps the record from being"
            " changed; start the bench once to lay it again, and find out who took it away."
        )
    yield from _jobs_gone()
    for kept in models.EngineText.objects.order_by("name").iterator():
        if digest_text(kept.text) != kept.digest:
            jobs = kept.job_set.order_by("serial").values_list("number", flat=True)[:5]
            where = f", in force for job {', '.join(jobs)}" if jobs else ""
            yield (
                f"The text of the engine file {kept.name} ({kept.digest[:12]}…{where}) was changed:"
                " it no longer gives the digest that it is kept under."
            )
    yield from _shop_revisions()


def _jobs_gone() -> Iterator[str]:
    last = models.Job.objects.aggregate(last=Max("serial"))["last"] or 0
    before = 0
    for serial in models.Job.objects.order_by("serial").values_list("serial", flat=True).iterator():
        if serial > before + 1:
            span = f"{before + 1} to {serial - 1}" if serial > before + 2 else f"{before + 1}"
            yield (
                f"The jobs are counted without a gap up to {last}, and the count has none for"
                f" {span}: a job was taken away."
            )
        before = serial
    numbers = models.Job.objects.values("number")
    gone = models.KnownHead.objects.exclude(job_number__in=numbers)
    for number in sorted(set(gone.values_list("job_number", flat=True))):
        yield f"Job {number} was opened here and is no longer here: it was taken away."
    orphans = models.JobEntry.objects.exclude(job_id__in=models.Job.objects.values("pk"))
    for pk in sorted(set(orphans.values_list("job_id", flat=True))):
        yield f"There are entries of a job that is no longer here (its row had the id {pk})."


def _shop_revisions() -> Iterator[str]:
    before = 0
    rows = models.ShopRevision.objects.order_by("number").values_list("number", "text", "digest")
    for number, text, digest in rows.iterator():
        if number != before + 1:
            yield f"Revision {before + 1} of the shop file is missing: it was taken away."
        if digest_text(text) != digest:
            yield f"Revision {number} of the shop file was changed: its text has another digest."
        before = number


def _lost_photos(number: str) -> Iterator[str]:
    """Pictures that are gone from the disk, or are no longer those that were taken."""
    photos = models.Photo.objects.order_by()
    if number:
        photos = photos.filter(job__number=number)
    for digest in photos.values_list("sha256", flat=True).distinct().iterator():
        if photo_digest(digest) != digest:
            yield digest
