"""The benches of a class with their records, fetched in as many queries for twenty as for one."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from oilwedge.job.entry import Entry
from oilwedge.usecases.measuring import Depth
from oilwedge.web.classroom.models import Seat
from oilwedge.web.record.models import ClassTask, Job, JobEntry
from oilwedge.web.record.store import parsed, says_faults


@dataclass(frozen=True, kw_only=True, slots=True)
class Bench:
    """One bench: its job, whose it is, and which bench it repeats ("" for none)."""

    job: Job
    repeat_of: str

    @property
    def short(self) -> str:
        """The end of its number: "03"."""
        return self.job.number.rpartition("-")[2] or self.job.number

    @property
    def waits(self) -> bool:
        """Whether it has no pupil yet."""
        return self.job.pupil_id is None and not self.job.is_reference and not self.job.closed

    @property
    def name(self) -> str:
        """Whose bench it is, in words for a lead."""
        if self.job.is_reference:
            return "Reference"
        if self.job.pupil is None:
            return "No pupil yet"
        return self.job.pupil.get_full_name() or "(erased)"


@says_faults
def benches_of(task: ClassTask) -> tuple[Bench, ...]:
    """The reference first, then the benches in order; two queries."""
    jobs = Job.objects.filter(task=task).select_related("pupil", "task")
    seats = Seat.objects.filter(job__task=task, repeat_of__isnull=False)
    repeats = dict(seats.values_list("job_id", "repeat_of__number"))
    return tuple(
        Bench(job=job, repeat_of=repeats.get(job.pk, ""))
        for job in jobs.order_by("-is_reference", "serial")
    )


@says_faults
def entries_by_job(counts: Mapping[int, int]) -> dict[int, tuple[Entry, ...]]:
    """The entries of jobs (key: how many of its chain), in one query."""
    found: dict[int, list[Entry]] = {key: [] for key in counts}
    rows = JobEntry.objects.filter(job_id__in=counts).order_by("job_id", "sequence")
    for job_id, sequence, text in rows.values_list("job_id", "sequence", "document"):
        if sequence <= counts[job_id]:
            found[job_id].append(parsed(text))
    return {key: tuple(entries) for key, entries in found.items()}


def task_features(task: ClassTask) -> tuple[str, ...]:
    """The features of the task, in planned order."""
    return tuple(task.features.split())


def task_depth(task: ClassTask) -> Depth:
    """How much of each is measured."""
    return Depth(task.depth)


def reference_of(benches: Sequence[Bench]) -> Bench | None:
    """The teacher's bench, where the class has one."""
    return next((one for one in benches if one.job.is_reference), None)
