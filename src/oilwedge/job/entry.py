"""An entry of a job: a reading, or something that happened to a part, a gauge or the record."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from enum import Enum
from typing import TypeAlias

from oilwedge.metrology.reading import Reading

__all__ = ["Entry", "Event", "EventKind", "WorkKind"]


class EventKind(Enum):
    """What happened; the value is what a table of readings writes in its column ``event``."""

    CONDITION = "condition"
    SIZE = "size"
    WORK = "work"
    ZERO_CHECK = "zero check"
    CONFIRMED = "confirmed"
    SKIPPED = "skipped"
    NOTE = "note"
    SIGNED = "signed"


class WorkKind(Enum):
    """What was done to a part. All but REFITTED start a new state of it."""

    GROUND = "ground"
    POLISHED = "polished"
    HONED = "honed"
    BORED = "bored"
    RESIZED = "resized"
    MACHINED = "machined"
    REPLACED = "replaced"
    REFITTED = "refitted"

    @property
    def starts_new_state(self) -> bool:
        """Whether readings from before it stop judging."""
        return self is not WorkKind.REFITTED


@dataclass(frozen=True, kw_only=True, slots=True)
class Event:
    """Something that happened, recorded like a reading.

    ``subject`` is the key of a part, a feature or an instrument; ``number`` None means all of
    them. ``value`` depends on the kind: the word of a condition (new, machined, re-used); a size
    as typed
    ("standard", "0.25 mm under"); the word of a :class:`WorkKind`; "passed" or "failed"; for
    CONFIRMED the id of the reading that stands, or empty when the size of the subject does; for
    SKIPPED the place and direction.

    ``step_m`` belongs to SIZE (and to WORK that ends at a size): nominal size now = nominal size
    in the engine file + ``undersize_factor`` of the feature × ``step_m``. It is positive for an
    undersize of a journal, an oversize of a bore and shells for an undersize; 0 for standard.
    """

    id: str
    kind: EventKind
    subject: str = ""
    number: int | None = None
    value: str = ""
    step_m: float | None = None
    work: WorkKind | None = None
    instrument: str = ""
    person: str = ""
    time: datetime.datetime | None = None
    note: str = ""
    origin: str = ""


Entry: TypeAlias = Reading | Event
