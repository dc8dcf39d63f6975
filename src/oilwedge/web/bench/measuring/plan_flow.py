"""What is measured on a job: its sets in planned order, one set, and all of it for a script."""

from __future__ import annotations

import functools
from collections.abc import Mapping, Sequence
from typing import Any

from django.utils import timezone

from oilwedge.job.entry import Entry
from oilwedge.report.place_drawing import (
    Direction,
    Place,
    PlaceDrawing,
    PlaceShape,
    place_svg,
)
from oilwedge.usecases.measuring import (
    Depth,
    MeasureSet,
    SetProgress,
    SlotView,
    measure_set,
    sets,
    situation_json,
    situation_of,
)
from oilwedge.usecases.planning.plan import Plan, make_plan
from oilwedge.usecases.reading_text import size_taken
from oilwedge.web.record.judged import current_shop, engine_of, engine_of_digest
from oilwedge.web.record.models import Job
from oilwedge.web.record.store import entries_of, people_of


def depth_of(job: Job) -> Depth:
    """How much is measured: what a class task says, else the quick plan."""
    return Depth(job.task.depth) if job.task is not None else Depth.QUICK


@functools.lru_cache(maxsize=64)
def _plan(engine_digest: str, shop_digest: str, depth: Depth) -> Plan:
    del shop_digest  # part of the key: another shop plans with other instruments
    return make_plan(engine=engine_of_digest(engine_digest), shop=current_shop(), depth=depth)


def sets_of(job: Job) -> tuple[SetProgress, ...]:
    """Every set of a job's plan in its order; for a class only those of its task."""
    depth = depth_of(job)
    found = sets(
        engine=engine_of(job),
        shop=current_shop(),
        entries=entries_of(job),
        depth=depth,
        plan=_plan(job.engine_id, current_shop().digest, depth),
    )
    wanted = job.task.features.split() if job.task is not None else []
    return tuple(one for one in found if not wanted or one.feature in wanted)


def next_open(
    planned: Sequence[SetProgress], *, after: tuple[str, int] | None = None
) -> SetProgress | None:
    """The next set with an open place: behind ``after``, then from the front."""
    keys = [(one.feature, one.number) for one in planned]
    start = keys.index(after) + 1 if after in keys else 0
    return next((one for one in (*planned[start:], *planned[:start]) if not one.complete), None)


def set_of(job: Job, *, feature: str, number: int) -> MeasureSet:
    """One set of a job as its record stands; UnknownNameError for one that is not there."""
    return measure_set(
        engine=engine_of(job),
        shop=current_shop(),
        entries=entries_of(job),
        feature=feature,
        number=number,
        today=timezone.localdate(),
        depth=depth_of(job),
    )


def drawing_of(found: MeasureSet, *, here: SlotView | None) -> str:
    """The picture of a set, with the mark at one of its places."""
    places: dict[str, Place] = {}
    directions: dict[str, Direction] = {}
    for slot in found.slots:
        if slot.place and slot.position is not None:
            places[slot.place] = Place(name=slot.place, position=slot.position)
        if slot.direction and slot.angle_deg is not None:
            angle = slot.angle_deg
            directions[slot.direction] = Direction(name=slot.direction, angle_deg=angle)
    return place_svg(
        PlaceDrawing(
            shape=PlaceShape(found.shape.value),
            places=tuple(places.values()),
            directions=tuple(directions.values()),
            here_place=here.place if here is not None else "",
            here_direction=here.direction if here is not None else "",
        )
    )


def reading_json(
    slot: SlotView, *, people: Mapping[str, str], nominal_m: float | None = None
) -> dict[str, Any] | None:
    """The reading that stands at a place, as it was typed and by whom."""
    reading = slot.reading
    if reading is None:
        return None
    unit = "" if reading.text.rstrip().endswith(reading.unit) else reading.unit
    words = reading.bound.value != "is" and any(sign.isalpha() for sign in reading.text)
    return {
        "id": reading.id,
        "text": size_taken(reading, nominal_m=nominal_m)
        or (reading.text if words or not unit else f"{reading.text} {unit}"),
        "by": people.get(reading.person, ""),
    }


def slots_json(found: MeasureSet, *, people: Mapping[str, str]) -> list[dict[str, Any]]:
    """The places of a set and what stands there."""
    return [
        {
            "id": slot.id,
            "place": slot.place,
            "direction": slot.direction,
            "series": slot.series,
            "label": slot.label,
            "state": slot.state.value,
            "reading": reading_json(slot, people=people, nominal_m=found.nominal_m),
        }
        for slot in found.slots
    ]


def script_plan(
    job: Job, *, account_id: int, account_name: str, wanted: Sequence[tuple[str, int]]
) -> dict[str, Any]:
    """Sets of a job as the page's script takes them: what is the same for all numbers once."""
    entries = entries_of(job)
    people = people_of(job)
    features: dict[str, Any] = {}
    drawings: dict[str, str] = {}
    listed = []
    for key, number in wanted:
        found = set_of(job, feature=key, number=number)
        situation = _situation(job, found, entries)
        label = situation.pop("label")
        if key not in features:
            features[key] = _feature_json(job, found, situation, entries, drawings)
        one = {
            "feature": key,
            "number": number,
            "title": found.title,
            "label": label,
            "nominal_m": found.nominal_m,
            "fitting": found.fitting,
            "parts": [{"part": part.part, "title": part.title} for part in found.parts_to_ask],
            "size": found.size_to_ask,
            "slots": slots_json(found, people=people),
        }
        if situation != features[key]["situation"]:
            one["situation"] = situation
        listed.append(one)
    return {
        "job": job.number,
        "account": account_id,
        "name": account_name,
        "count": job.count,
        "head": job.head,
        "closed": job.closed,
        "features": features,
        "drawings": {drawn: svg for svg, drawn in drawings.items()},
        "sets": listed,
    }


def _situation(
    job: Job, found: MeasureSet, entries: Sequence[Entry], instrument: str = ""
) -> dict[str, Any]:
    found_json = situation_json(
        situation_of(
            engine=engine_of(job),
            shop=current_shop(),
            entries=entries,
            feature=found.feature,
            number=found.number,
            instrument=instrument,
        )
    )
    del found_json["metres"]  # the script knows them
    return found_json


def _feature_json(
    job: Job,
    found: MeasureSet,
    situation: dict[str, Any],
    entries: Sequence[Entry],
    drawings: dict[str, str],
) -> dict[str, Any]:
    svg = drawing_of(found, here=None)
    strips = []
    for strip in found.strips:
        own = _situation(job, found, entries, strip.key)
        strips.append(
            {
                "key": strip.key,
                "title": strip.title,
                "bars": bar_texts(strip.bars_m),
                "situation": {"band_m": own["band_m"], "strip_m": own["strip_m"]},
            }
        )
    return {
        "how": found.how,
        "shape": found.shape.value,
        "unit": found.unit,
        "usual": found.usual_instrument,
        "before": list(found.before_strip),
        "drawing": drawings.setdefault(svg, f"d{len(drawings)}"),
        "situation": situation,
        "instruments": [
            {
                "key": one.key,
                "title": one.title,
                "unit": one.unit,
                "overdue": one.overdue,
                **_own_finest(one.finest, usual=situation["finest"]),
            }
            for one in found.instruments
        ],
        "strips": strips,
        "sizes": list(size_words(job, feature=found.feature)),
        "factor": engine_of(job).features[found.feature].undersize_factor,
    }


def _own_finest(finest: Mapping[str, str], *, usual: Mapping[str, str]) -> dict[str, Any]:
    return {} if dict(finest) == dict(usual) else {"finest": dict(finest)}


def bar_texts(bars_m: Sequence[float]) -> list[str]:
    """The bars of a strip's wrapper as they are touched: "0.038 mm"."""
    return [f"{1000.0 * clearance_m:.3f} mm" for clearance_m in bars_m]


_STEPS = ("0.25 mm", "0.50 mm", "0.75 mm", "0.010 in", "0.020 in", "0.030 in")


def size_words(job: Job, *, feature: str) -> tuple[str, ...]:
    """The sizes to choose from: standard, and the usual steps on the usual side."""
    factor = engine_of(job).features[feature].undersize_factor
    side = "over" if factor == 1 else "under"
    return ("standard", *(f"{step} {side}" for step in _STEPS))
