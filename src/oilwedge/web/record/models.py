"""The tables of the record. Readings, events and their chain are added and never changed."""

from __future__ import annotations

from typing import ClassVar

from django.conf import settings
from django.db import models

from oilwedge.job.record import EMPTY_HEAD


class EngineText(models.Model):
    """An engine file as it was written, under the SHA-256 of its text."""

    digest = models.CharField(max_length=64, primary_key=True)
    name = models.CharField(max_length=200)
    text = models.TextField()
    first_seen = models.DateTimeField(auto_now_add=True)
    on_list = models.BooleanField(default=True)  # offered for new jobs


class ClassTask(models.Model):
    """One task for many benches, from one engine file; ``features`` are keys apart by blanks."""

    title = models.CharField(max_length=120)
    engine = models.ForeignKey(EngineText, on_delete=models.PROTECT)
    features = models.TextField(blank=True)
    depth = models.CharField(max_length=10, default="quick")
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT)
    made_at = models.DateTimeField(auto_now_add=True)
    closed_at = models.DateTimeField(null=True, blank=True)
    shows_results = models.BooleanField(default=False)  # pupils see verdicts once this is set


class Job(models.Model):
    """One engine on one bench.

    ``count`` and ``head`` are the length and the head of the job's chain of entries. ``blind``:
    limits, means and verdicts of a set stay hidden until it is complete.
    """

    serial = models.PositiveIntegerField(unique=True)  # 1, 2, 3 ... without a gap
    number = models.CharField(max_length=40, unique=True)
    title = models.CharField(max_length=120, blank=True)
    engine = models.ForeignKey(EngineText, on_delete=models.PROTECT)
    engine_name = models.CharField(max_length=200)
    opened_at = models.DateTimeField()
    changed_at = models.DateTimeField()
    closed = models.BooleanField(default=False)
    count = models.PositiveIntegerField(default=0)
    head = models.CharField(max_length=64, default=EMPTY_HEAD)
    blind = models.BooleanField(default=True)
    task = models.ForeignKey(ClassTask, on_delete=models.PROTECT, null=True, blank=True)
    pupil = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True
    )
    is_reference = models.BooleanField(default=False)

    class Meta:
        """Newest work first; the lists read by these."""

        indexes: ClassVar[list[models.Index]] = [
            models.Index(fields=["closed", "-changed_at"], name="job_list"),
        ]

    def __str__(self) -> str:
        return f"job {self.number}"


class JobEntry(models.Model):
    """One entry of a job: its canonical text and the head of the chain after it."""

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="entries")
    sequence = models.PositiveIntegerField()
    entry_id = models.CharField(max_length=80)
    document = models.TextField()
    head = models.CharField(max_length=64)
    received_at = models.DateTimeField()

    class Meta:
        """An id and a place in the chain are taken once."""

        constraints: ClassVar[list[models.BaseConstraint]] = [
            models.UniqueConstraint(fields=["job", "sequence"], name="entry_place_once"),
            models.UniqueConstraint(fields=["job", "entry_id"], name="entry_id_once"),
        ]


class PersonalDatum(models.Model):
    """A name outside the chain, which holds its commitment only. Erased: salt and text blank."""

    class Kind(models.TextChoices):
        """Whose name it is."""

        PERSON = "person", "person"
        OWNER = "owner", "owner"

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="personal")
    commitment = models.CharField(max_length=80)
    salt = models.CharField(max_length=64, blank=True)
    text = models.CharField(max_length=300, blank=True)
    kind = models.CharField(max_length=10, choices=Kind.choices)
    account = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.SET_NULL, null=True, blank=True
    )
    erased_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        """One commitment once in a job."""

        constraints: ClassVar[list[models.BaseConstraint]] = [
            models.UniqueConstraint(fields=["job", "commitment"], name="commitment_once"),
        ]


class Photo(models.Model):
    """A photo of a job; its bytes lie in the shop's folder under their SHA-256."""

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="photos")
    sha256 = models.CharField(max_length=64)
    media_type = models.CharField(max_length=40)
    width_px = models.PositiveIntegerField()
    height_px = models.PositiveIntegerField()
    size_bytes = models.PositiveIntegerField()

    class Meta:
        """The same picture once in a job."""

        constraints: ClassVar[list[models.BaseConstraint]] = [
            models.UniqueConstraint(fields=["job", "sha256"], name="photo_once"),
        ]


class StoredVerdict(models.Model):
    """What was judged, under everything that it rests on, so that it can be computed again."""

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="verdicts")
    head = models.CharField(max_length=64)
    engine_digest = models.CharField(max_length=64)
    shop_digest = models.CharField(max_length=64)
    rule = models.CharField(max_length=20)
    version = models.CharField(max_length=30)
    made_at = models.DateTimeField(auto_now_add=True)
    document = models.JSONField()

    class Meta:
        """One verdict for the same things."""

        constraints: ClassVar[list[models.BaseConstraint]] = [
            models.UniqueConstraint(
                fields=["job", "head", "engine_digest", "shop_digest", "rule", "version"],
                name="verdict_once",
            ),
        ]


class ShopRevision(models.Model):
    """The shop file as it stood from some time on; the newest is in force."""

    number = models.PositiveIntegerField(unique=True)
    text = models.TextField()
    digest = models.CharField(max_length=64)
    person_name = models.CharField(max_length=120, blank=True)
    made_at = models.DateTimeField(auto_now_add=True)
    note = models.CharField(max_length=300, blank=True)


class Parked(models.Model):
    """What a browser sent and the record refused: kept in sight with its author and the reason."""

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="parked")
    entry_id = models.CharField(max_length=80)
    author = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.SET_NULL, null=True, blank=True
    )
    author_name = models.CharField(max_length=120, blank=True)
    document = models.JSONField()
    reason = models.TextField()
    received_at = models.DateTimeField(auto_now_add=True)
    settled_at = models.DateTimeField(null=True, blank=True)
    settled_how = models.CharField(max_length=120, blank=True)

    class Meta:
        """The same entry is parked once."""

        constraints: ClassVar[list[models.BaseConstraint]] = [
            models.UniqueConstraint(fields=["job", "entry_id"], name="parked_once"),
        ]


class KnownHead(models.Model):
    """A head that left the house, on a sheet or in an export: the chain must still pass it."""

    job_number = models.CharField(max_length=40, db_index=True)
    count = models.PositiveIntegerField()
    head = models.CharField(max_length=64)
    reason = models.CharField(max_length=40)
    made_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        """Said once is enough."""

        constraints: ClassVar[list[models.BaseConstraint]] = [
            models.UniqueConstraint(
                fields=["job_number", "head", "reason"], name="known_head_once"
            ),
        ]
