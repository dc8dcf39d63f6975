"""What a class keeps of its benches beside their jobs."""

from __future__ import annotations

from django.db import models

from oilwedge.web.record.models import Job


class Seat(models.Model):
    """How a bench of a class comes to its pupil.

    ``invitation_hash``: the hash of the token of the link that waits for a pupil; who accepts it
    gets the bench. It is kept as text, for invitations are no part of a backup. ``repeat_of``: the
    bench whose parts somebody else measures here once more.
    """

    job = models.OneToOneField(Job, on_delete=models.PROTECT, related_name="seat")
    invitation_hash = models.CharField(max_length=64, blank=True, db_index=True)
    repeat_of = models.ForeignKey(
        Job, on_delete=models.PROTECT, null=True, blank=True, related_name="repeats"
    )

    def __str__(self) -> str:
        return f"seat of {self.job}"
