"""What is remembered from reading to reading: unit, instrument, setting, temperatures."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from django.http import HttpRequest

from oilwedge.job.entry import Entry, Reading
from oilwedge.usecases.importing.cells import read_temperature_c
from oilwedge.usecases.measuring import MeasureSet

UNITS = ("mm", "in", "thou", "µm")
_KEY = "measuring"


@dataclass(frozen=True, kw_only=True, slots=True)
class Remembered:
    """What the next reading starts from."""

    unit: str
    instrument: str = ""
    setting: str = "1"
    part_c: str = ""
    instrument_c: str = ""


def remembered(
    request: HttpRequest, *, found: MeasureSet, entries: Sequence[Entry], person: str
) -> Remembered:
    """From this session, else from what the same person last read, else what is usual here."""
    kept: dict[str, Any] = request.session.get(_KEY, {})
    own = [one for one in entries if isinstance(one, Reading) and one.person == person]
    of_feature = [one for one in own if one.feature == found.feature]
    instrument = kept.get("instruments", {}).get(found.feature)
    if instrument is None and of_feature:
        instrument = of_feature[-1].instrument
    known = [one.key for one in found.instruments] + [one.key for one in found.strips]
    if instrument is None:
        in_use = [one.instrument for one in reversed(own) if one.instrument in known]
        instrument = in_use[0] if in_use else known[0] if len(known) == 1 else ""
    if instrument not in known:
        instrument = ""
    unit = kept.get("unit") or next((one.unit for one in reversed(own) if one.unit in UNITS), "")
    if unit not in UNITS:
        titles = {one.key: one.unit for one in found.instruments}
        unit = titles.get(instrument, found.unit)
    return Remembered(
        unit=unit if unit in UNITS else "mm",
        instrument=instrument,
        setting=str(kept.get("setting", "1")),
        part_c=str(kept.get("part_c", "")),
        instrument_c=str(kept.get("instrument_c", "")),
    )


def remember(request: HttpRequest, *, feature: str, values: dict[str, str]) -> None:
    """Keep for this session what a form said; only what it did say."""
    kept: dict[str, Any] = dict(request.session.get(_KEY, {}))
    if values.get("unit") in UNITS:
        kept["unit"] = values["unit"]
    if "instrument" in values:
        kept["instruments"] = {**kept.get("instruments", {}), feature: values["instrument"][:80]}
    for name in ("setting", "part_c", "instrument_c"):
        if name in values:
            kept[name] = values[name][:12]
    request.session[_KEY] = kept


def questions_left(request: HttpRequest, *, job: str, feature: str) -> bool:
    """Whether the questions before a feature were put off in this session."""
    return f"{job}/{feature}" in request.session.get("measuring_later", [])


def leave_questions(request: HttpRequest, *, job: str, feature: str) -> None:
    """Put the questions before a feature off."""
    later = list(request.session.get("measuring_later", ()))[-200:]
    request.session["measuring_later"] = [*later, f"{job}/{feature}"]


def degrees(text: str) -> float | None:
    """A temperature as somebody types it: "21", "21,5 °C", "70 F"; None for nothing."""
    return read_temperature_c(text, unit=None) if text.strip() else None
