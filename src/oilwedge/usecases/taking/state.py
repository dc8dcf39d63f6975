"""Where a session of taking readings stands; frozen, one after each line that was typed."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import Enum

from oilwedge.errors import Fault
from oilwedge.job.entry import Entry
from oilwedge.metrology.reading import ReadingForm
from oilwedge.usecases.importing.value import TypedValue


class Mode(Enum):
    """What the next value does."""

    NEXT = "fill the next open place"
    REPLACE = "replace the reading of this place"
    REPEAT = "read this place once more"


class Ask(Enum):
    """What is being asked."""

    VALUE = "value"
    SIZE = "size"
    CONDITION = "condition"
    INSTRUMENT = "instrument"
    STRIP_READY = "strip ready"
    UNIT = "unit of the values"
    SIGN = "larger or smaller"
    TURN = "length of a turn"
    CONFIRM = "impossible value"
    STEP = "is it this size"
    END = "nothing is left"


@dataclass(frozen=True, kw_only=True, slots=True)
class Held:
    """A value that was typed and waits for an answer before it is stored."""

    ask: Ask
    text: str = ""
    typed: TypedValue | None = None
    form: ReadingForm = ReadingForm.ABSOLUTE
    turns: int = 0
    fault: Fault | None = None
    step_text: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class State:
    """The record so far, the place in the plan, and what is remembered from line to line."""

    entries: tuple[Entry, ...] = ()
    position: int = 0
    mode: Mode = Mode.NEXT
    held: Held | None = None
    unit: str = ""
    person: str = ""
    part_c: float | None = None
    instrument_c: float | None = None
    instruments: Mapping[str, str] = field(default_factory=dict)  # by feature
    fittings: Mapping[tuple[str, int], int] = field(default_factory=dict)
    setting: int = 1
    turn_m: float | None = None
    passed: frozenset[str] = frozenset()  # questions answered for this session
    last_id: str = ""
    replaces: str = ""
    ended: bool = False


@dataclass(frozen=True, kw_only=True, slots=True)
class Tick:
    """What comes from outside with each line: the time and ids for what will be stored."""

    now: datetime.datetime
    ids: tuple[str, str]
    typed: str = ""  # the line as it came, before it was cleaned


@dataclass(frozen=True, kw_only=True, slots=True)
class Step:
    """The answer to a line: the new state, what to say, what to store before saying it."""

    state: State
    messages: tuple[str, ...] = ()
    entries: tuple[Entry, ...] = ()
