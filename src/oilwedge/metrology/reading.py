"""A reading: one value that somebody read off one instrument at one place, kept as given."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from enum import Enum


class Bound(Enum):
    """Whether the true size is the value read, or only known to lie on one side of it."""

    NONE = "is"
    AT_MOST = "at most"
    AT_LEAST = "at least"


class ReadingForm(Enum):
    """What ``value_m`` of a reading is."""

    ABSOLUTE = "absolute"
    DEVIATION = "deviation from nominal"
    WIDTH = "width of the flattened strip"


@dataclass(frozen=True, kw_only=True, slots=True)
class Reading:
    """One reading; never changed, only replaced by another one that names it.

    ``fitting`` goes up with each remove, clean and refit; ``setting`` names the act of setting
    the gauge that was in force. A strip that is wider than its widest bar is ``AT_MOST`` that
    bar's clearance; one that is not flattened is ``AT_LEAST`` the largest it can show.

    ``device_time`` is what the clock of the device said that the reading was typed on. It is kept
    for the record only: nothing is judged or ordered by it, because such a clock may be wrong by
    hours; that is what ``time`` is for.
    """

    id: str
    feature: str
    number: int
    place: str = ""
    direction: str = ""
    value_m: float
    form: ReadingForm = ReadingForm.ABSOLUTE
    bound: Bound = Bound.NONE
    text: str = ""
    unit: str = ""
    instrument: str = ""
    person: str = ""
    time: datetime.datetime | None = None
    part_temperature_c: float | None = None
    instrument_temperature_c: float | None = None
    fitting: int = 1
    setting: str = "1"
    replaces: str = ""
    note: str = ""
    origin: str = ""
    device_time: datetime.datetime | None = None
