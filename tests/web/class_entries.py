"""Readings for the tests of classes: rod journals of an invented four, as pupils take them."""

from __future__ import annotations

import datetime
import itertools
import random
from collections.abc import Sequence
from typing import Any

from oilwedge.job.entry import Reading

PLACES = tuple(
    (number, place, way)
    for number in (1, 2, 3, 4)
    for place in ("front", "rear")
    for way in ("along", "across")
)
TRUE_MM = {1: 47.972, 2: 47.970, 3: 47.968, 4: 47.974}
FEATURES = "rod_journal"
NOON = datetime.datetime(2031, 3, 1, 12, tzinfo=datetime.UTC)
_IDS = itertools.count()


def reading(place: tuple[int, str, str], mm: float, *, time: datetime.datetime) -> Reading:
    """One reading of a rod journal by the invented micrometer."""
    number, where, way = place
    return Reading(
        id=f"t-{next(_IDS)}",
        feature=FEATURES,
        number=number,
        place=where,
        direction=way,
        value_m=round(mm, 3) * 1e-3,
        text=f"{mm:.3f}",
        unit="mm",
        instrument="mic",
        time=time,
    )


def take(
    job: Any,
    *,
    count: int = 16,
    off_mm: float = 0.0,
    odd: Sequence[int] = (),
    chance: random.Random | None = None,
    start: datetime.datetime | None = None,
) -> None:
    """Measure the first places of a bench; ``odd`` ones by 0.02 mm too much."""
    from django.utils import timezone

    from oilwedge.web.record.store import append_entries

    start = start or timezone.now() - datetime.timedelta(minutes=2)
    entries = []
    for at, place in enumerate(PLACES[:count]):
        scatter = chance.gauss(0.0, 0.001) if chance is not None else 0.0
        mm = TRUE_MM[place[0]] + off_mm + scatter + (0.02 if at in odd else 0.0)
        entries.append(reading(place, mm, time=start + datetime.timedelta(seconds=at)))
    append_entries(job=job, entries=entries)
