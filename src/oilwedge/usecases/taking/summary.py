"""What was read in a set, and how far the plan is. No limits: they must not steer the hand."""

from __future__ import annotations

import math
import re
import statistics
from collections.abc import Sequence

from oilwedge.metrology.reading import Bound, Reading, ReadingForm
from oilwedge.units import format_length, to_unit
from oilwedge.usecases.reading_text import reading_text
from oilwedge.usecases.taking.bench import Bench, Progress, Slot

_DECIMALS = {"mm": 4, "in": 5, "µm": 1, "thou": 2, "cm": 5, "m": 7, "ft": 6}


def shown(value_m: float, unit: str) -> str:
    """A length in the unit in which it was typed."""
    return format_length(value_m=value_m, unit=unit or "mm", decimals=_DECIMALS.get(unit, 4))


def _decimals(reading: Reading, unit: str) -> int:
    """As many decimals as were typed; more only where the unit or a turn added makes them."""
    most = _DECIMALS.get(unit, 4)
    found = re.search(r"[.,](\d+)", reading.text)
    typed = len(found[1]) if found else 0
    value = to_unit(value_si=reading.value_m, unit=unit)
    for decimals in range(typed, most):
        if math.isclose(round(value, decimals), value, rel_tol=0.0, abs_tol=10.0 ** -(most + 2)):
            return decimals
    return max(typed, most)


def _mean_text(readings: Sequence[Reading], unit: str) -> str:
    """Their mean with the decimals that were typed, and one more where it is needed."""
    unit = unit or "mm"
    decimals = max(_decimals(reading, unit) for reading in readings)
    mean_m = statistics.fmean(reading.value_m for reading in readings)
    finer = format_length(value_m=mean_m, unit=unit, decimals=decimals + 1)
    if len(readings) > 1 and not finer.partition(" ")[0].endswith("0"):
        return finer
    return format_length(value_m=mean_m, unit=unit, decimals=decimals)


def set_lines(bench: Bench, done: Progress, slot: Slot) -> list[str]:
    """The result of a complete set: the mean, and what each place showed."""
    title = bench.engine.features[slot.feature].label(slot.number)
    by_spot = [
        (spot, list(done.taken[spot]))
        for spot in dict.fromkeys(one.spot for one in bench.slots if one.set == slot.set)
        if spot in done.taken
    ]
    readings = [reading for _, found in by_spot for reading in found]
    if not readings:
        return [f"{title}: nothing was read."]
    unit = readings[0].unit
    lines = [f"{title}: complete."]
    exact = [reading for reading in readings if reading.bound is Bound.NONE]
    forms = {reading.form for reading in exact}
    if exact and len(forms) == 1:
        lines[0] = f"{title}: complete; mean {_kind(exact[0])}{_mean_text(exact, unit)}"
    for spot, found in by_spot:
        where = ", ".join(part for part in spot[2:] if part) or "reading"
        lines.append(f"  {where:<18} {_place_text(found, unit)}")
    return lines


def _kind(reading: Reading) -> str:
    words = {
        ReadingForm.ABSOLUTE: "",
        ReadingForm.DEVIATION: "deviation from nominal ",
        ReadingForm.WIDTH: "width of the strip ",
    }
    return words[reading.form]


def _place_text(readings: Sequence[Reading], unit: str) -> str:
    exact = [reading for reading in readings if reading.bound is Bound.NONE]
    words = [reading.text for reading in readings if reading.bound is not Bound.NONE]
    if len({reading.form for reading in exact}) > 1:
        return "; ".join(reading_text(reading) for reading in readings)
    if exact:
        text = _mean_text(exact, unit)
        words.insert(0, text + (f" (mean of {len(exact)})" if len(exact) > 1 else ""))
    return "; ".join(words)


def typed_lines(bench: Bench, done: Progress, slot: Slot) -> list[str]:
    """What was typed for a set so far, as typed."""
    lines = []
    for one in bench.slots:
        reading = done.reading(one) if one.set == slot.set else None
        if reading is not None:
            lines.append(f"  {one.where or 'reading':<18} {reading_text(reading)}")
    return lines or ["Nothing was typed for this set yet."]


def where_line(bench: Bench, done: Progress, slot: Slot | None) -> str:
    """How far the plan is."""
    taken = sum(done.reading(one) is not None for one in bench.slots)
    left = sum(done.is_open(one) for one in bench.slots)
    skipped = len(bench.slots) - taken - left
    text = f"{taken} of {len(bench.slots)} readings taken, {left} to go"
    if skipped:
        text += f", {skipped} left out"
    return f"{text}; now {bench.label(slot)}." if slot is not None else f"{text}."
