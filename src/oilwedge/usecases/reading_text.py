"""A reading in words: what was typed, and what it was taken as where that is not the same."""

from __future__ import annotations

import math
import re

from oilwedge.errors import UnitError
from oilwedge.metrology.reading import Bound, Reading, ReadingForm
from oilwedge.units import Dimension, format_length, parse_quantity

_DECIMALS = {"mm": 3, "in": 4, "µm": 0, "thou": 1}
_WHOLE = re.compile(r"\s*[+\-−–]?\s*\d+\s*")


def reading_text(reading: Reading) -> str:
    """ "47.972 mm" as typed; "972, taken as 47.972 mm" where only digits were typed."""
    typed = reading.text.strip()
    bare = reading.bound is not Bound.NONE or typed.endswith(reading.unit)
    plain = typed if bare else f"{typed} {reading.unit}".strip()
    if not _WHOLE.fullmatch(reading.text) or reading.form is ReadingForm.WIDTH:
        return plain
    try:
        said = parse_quantity(typed, dimension=Dimension.LENGTH, default_unit=reading.unit or "mm")
    except UnitError:
        return plain
    if math.isclose(said.value_si, reading.value_m, rel_tol=1e-9, abs_tol=1e-12):
        return plain
    decimals = _DECIMALS.get(reading.unit, 4)
    value = format_length(value_m=reading.value_m, unit=reading.unit or "mm", decimals=decimals)
    sign = "+" if reading.form is ReadingForm.DEVIATION and reading.value_m > 0 else ""
    return f"{typed}, taken as {sign}{value}"


def size_taken(reading: Reading, *, nominal_m: float | None) -> str:
    """ "972 → 47.972 mm", "-12 → 47.968 mm": digits or a deviation with the size they stand for.

    Empty where the size itself was typed, and for a deviation of which no nominal is known.
    """
    typed, unit = reading.text.strip(), reading.unit or "mm"
    if reading.bound is not Bound.NONE:
        return ""
    if reading.form is ReadingForm.DEVIATION:
        if nominal_m is None:
            return ""
        size_m = nominal_m + reading.value_m
    elif ", taken as " in reading_text(reading):
        size_m = reading.value_m
    else:
        return ""
    large = {"thou": "in", "µm": "mm"}.get(unit, unit)
    size = format_length(value_m=size_m, unit=large, decimals=_DECIMALS.get(large, 4))
    return f"{typed} → {size}"
