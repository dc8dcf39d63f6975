"""An entry of a job: a reading, or something that happened to a part, a gauge or the record."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from enum import Enum
from typing import TypeAlias

from oilwedge.metrology.reading import Reading

__all__ = ["Entry", "Event", "EventKind", "Reading", "WorkKind"]


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
    DECISION = "decision"
    ENGINE = "engine file"
    PHOTO = "photo"
    CLOSED = "closed"
    REOPENED = "reopened"
    OWNER = "owner"
    ERASED = "erased"

    @property
    def may_stand_in_a_table(self) -> bool:
        """Whether a person writes it in a table; the others are made by the record itself."""
        return self not in _MADE_BY_THE_RECORD


_MADE_BY_THE_RECORD = frozenset(
    {
        EventKind.ENGINE,
        EventKind.PHOTO,
        EventKind.CLOSED,
        EventKind.REOPENED,
        EventKind.OWNER,
        EventKind.ERASED,
    }
)


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
    SKIPPED the place and direction; for DECISION what was decided, in words.

    Kinds that the record makes itself: ENGINE, from here on the engine file is the one whose
    digest ``value`` is; PHOTO, ``value`` is the SHA-256 of the picture's bytes, ``subject`` and
    ``number`` say what it shows and ``note`` at which place; CLOSED and REOPENED, whether the job
    takes further entries; OWNER, ``person`` is the commitment that stands for the engine's owner;
    ERASED, ``value`` is the commitment whose salt and text are gone.

    ``step_m`` belongs to SIZE (and to WORK that ends at a size): nominal size now = nominal size
    in the engine file + ``undersize_factor`` of the feature × ``step_m``. It is positive for an
    undersize of a journal, an oversize of a bore and shells for an undersize; 0 for standard.

    ``device_time`` is what the clock of the device said; as with a reading, nothing is judged or
    ordered by it.
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
    device_time: datetime.datetime | None = None


Entry: TypeAlias = Reading | Event
