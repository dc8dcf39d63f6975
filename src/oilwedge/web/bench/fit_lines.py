"""The fits of a job as lines of a list: grouped by kind, what is wrong before what is right."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from oilwedge.report.state_sign import StateSign
from oilwedge.report.window_sign import Bound, WindowMark, WindowSign
from oilwedge.usecases.length_face import LengthFace
from oilwedge.usecases.opening import Engine
from oilwedge.web.bench.addresses import fit_address
from oilwedge.web.record.models import Job

Json = dict[str, Any]
RIGHT = ("right",)
UNSEEN = ("not_measured", "no_limits")


@dataclass(frozen=True, kw_only=True, slots=True)
class FitLine:
    """One fit: its value over its window, its state in a word and a shape."""

    label: str
    state: StateSign
    words: str
    values: tuple[str, ...]
    window: WindowSign
    limits: str
    address: str


@dataclass(frozen=True, kw_only=True, slots=True)
class FitGroup:
    """The fits of one kind: those to look at, and the right ones, which are folded away."""

    title: str
    wrong: tuple[FitLine, ...]
    right: tuple[FitLine, ...]


def fit_groups(
    job: Job, lines: Sequence[Json], *, engine: Engine, unit: str
) -> tuple[FitGroup, ...]:
    """The measured fits by kind, the kind with the worst one first."""
    by_kind: dict[str, list[Json]] = {}
    for one in lines:  # worst first already
        if one["state"] not in UNSEEN:
            by_kind.setdefault(one["fit"], []).append(one)
    return tuple(
        FitGroup(
            title=engine.fits[kind].title,
            wrong=tuple(_line(job, x, unit=unit) for x in own if x["state"] not in RIGHT),
            right=tuple(_line(job, x, unit=unit) for x in own if x["state"] in RIGHT),
        )
        for kind, own in by_kind.items()
    )


def _line(job: Job, one: Json, *, unit: str) -> FitLine:
    return FitLine(
        label=one["label"],
        state=StateSign(one["sign"]),
        words=one["words"],
        values=tuple(one["value"].split("\n")),
        window=window_from(one["window"]),
        limits=limits_words(one["window"], unit=unit),
        address=fit_address(job, fit=one["fit"], number=one["number"]),
    )


def window_from(document: Json) -> WindowSign:
    """The window of a stored summary."""
    return WindowSign(
        low=document["low"],
        high=document["high"],
        service_low=document["service_low"],
        service_high=document["service_high"],
        marks=tuple(
            WindowMark(
                value=one["value"],
                half_width=one["half_width"],
                bound=Bound[one["bound"].upper()],
            )
            for one in document["marks"]
        ),
    )


def limits_words(window: Json, *, unit: str) -> str:
    """Both limits in numbers; they stand beside the drawing."""
    decimals = LengthFace(unit=unit).decimals

    def said(value: float) -> str:
        return f"{value:.{decimals}f}"

    low, high = window["low"], window["high"]
    parts = []
    if low is not None and high is not None:
        parts.append(f"{said(low)} to {said(high)} {unit}")
    elif high is not None:
        parts.append(f"up to {said(high)} {unit}")
    elif low is not None:
        parts.append(f"from {said(low)} {unit}")
    if window["service_low"] is not None:
        parts.append(f"service from {said(window['service_low'])} {unit}")
    if window["service_high"] is not None:
        parts.append(f"service up to {said(window['service_high'])} {unit}")
    return ", ".join(parts)
