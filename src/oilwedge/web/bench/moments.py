"""How points of time stand on a page: by the clock on the wall of the shop's machine."""

from __future__ import annotations

import datetime

SAME_S = 60.0  # clocks that differ by less are called the same


def moment(time: datetime.datetime | None) -> str:
    """Date and time to the minute; empty where there is none."""
    if time is None:
        return ""
    local = time.astimezone() if time.tzinfo is not None else time
    return local.strftime("%Y-%m-%d %H:%M")


def day(time: datetime.datetime) -> str:
    """The date alone."""
    local = time.astimezone() if time.tzinfo is not None else time
    return local.strftime("%Y-%m-%d")


def differ(one: datetime.datetime | None, other: datetime.datetime | None) -> bool:
    """Whether two clocks said something else about the same moment."""
    if one is None or other is None or (one.tzinfo is None) is not (other.tzinfo is None):
        return False
    return abs((one - other).total_seconds()) > SAME_S
