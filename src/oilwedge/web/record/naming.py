"""Names that come with entries from elsewhere, put outside the chain before they are stored."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from oilwedge.job.entry import Entry
from oilwedge.web.record.models import Job
from oilwedge.web.record.store import people_of, person_commitment


def with_commitments(
    *, job: Job, entries: Sequence[Entry], names: Mapping[str, str]
) -> tuple[Entry, ...]:
    """The entries with a commitment in the place of each person.

    ``names`` gives the full name for a short one; who is not in it keeps what stands there.
    """
    people = {entry.person for entry in entries if entry.person}
    made = {
        person: person_commitment(job=job, text=names.get(person, person))
        for person in sorted(people)
    }
    return tuple(
        replace(entry, person=made[entry.person]) if entry.person else entry for entry in entries
    )


def without_commitments(
    *, job: Job, entries: Sequence[Entry], names: Mapping[str, str]
) -> tuple[Entry, ...]:
    """The entries as a table would tell them: with the short name in the place of a commitment."""
    short = {full: key for key, full in names.items()}
    known = {one: short.get(text, text) for one, text in people_of(job).items()}
    return tuple(replace(entry, person=known.get(entry.person, entry.person)) for entry in entries)
