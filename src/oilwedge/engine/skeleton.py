"""A commented engine file to start from: the layout filled in, sizes and limits left to write."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass

from oilwedge.engine.catalogue import Catalogue, FitTraits, catalogue
from oilwedge.engine.layout import Caps, LayoutKind, Per
from oilwedge.engine.model import Feature, Fit, Judged, LimitsSource, Shape, WayKind
from oilwedge.engine.skeleton_running import write_running
from oilwedge.engine.usual import UsualLayout, usual_layout
from oilwedge.errors import EngineFileError, Fault

LARGEST_CYLINDERS = 32
_CHECK = "common practice, check yours"
_STAND_IN = "NOT known for this layout: stands here only so that the file can be read; write yours"


@dataclass(frozen=True, kw_only=True, slots=True)
class SkeletonAnswers:
    """What is asked before a skeleton is written; None: take what is usual."""

    kind: LayoutKind
    cylinders: int
    name: str = "engine without a name"
    units: str = "mm"  # or "in"
    main_bearings: int | None = None
    caps: Caps = Caps.SEPARATE
    strokes: int = 4
    v_angle_deg: float | None = None
    firing_order: tuple[int, ...] | None = None
    throw_angles_deg: tuple[float, ...] | None = None
    cam_bearings: int | None = None
    intake_valves: int | None = None
    exhaust_valves: int | None = None


def write_skeleton(*, answers: SkeletonAnswers) -> str:
    """An engine file that passes the check as it is; what is to be filled in is commented out.

    Raises EngineFileError for a number of cylinders that is not from 1 to 32.
    """
    if not 1 <= answers.cylinders <= LARGEST_CYLINDERS:
        raise EngineFileError(
            Fault(
                given=str(answers.cylinders),
                allowed=f"the number of cylinders is from 1 to {LARGEST_CYLINDERS}",
            )
        )
    kinds = catalogue()
    fits = [
        fit for fit in kinds.fits.values() if fit.per is not Per.CAM_BEARING or answers.cam_bearings
    ]
    blocks = [
        *_identity(answers),
        *_layout(answers),
        *_marks(),
        *_sizes(fits, answers=answers, kinds=kinds),
        *_fits(fits, answers=answers, kinds=kinds),
        *_supplies(answers),
    ]
    return "\n".join(blocks) + "\n"


def _text(value: str) -> str:
    return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")


def _identity(answers: SkeletonAnswers) -> list[str]:
    return [
        "# An engine file for oilwedge. Lines that begin with # are comments: take the # away and",
        "# fill in what the maker's manual says. Write every figure with its unit, as the manual",
        '# does: "47.97 mm", "1.8886 in", "1.5 thou", "38 µm". Like journals are written once.',
        "# Check the file at any time with: oilwedge engine check FILE",
        "format = 1",
        "",
        "[engine]",
        f"name = {_text(answers.name)}",
        'rule = "simple"   # or "safety margin": right only when it is proved',
        f"units = {_text(answers.units)}",
        '# notes = "..."',
    ]


def _layout(answers: SkeletonAnswers) -> list[str]:
    usual = usual_layout(kind=answers.kind, cylinders=answers.cylinders, strokes=answers.strokes)
    source = _CHECK if usual.known else _STAND_IN
    order = answers.firing_order or usual.firing_order
    angles = answers.throw_angles_deg or usual.throw_angles_deg
    lines = [
        "",
        "[layout]",
        f"kind = {_text(answers.kind.value)}",
        f"cylinders = {answers.cylinders}",
        'numbering = "1 at the front"',
        f"firing_order = {list(order)}{'' if answers.firing_order else f'   # {source}'}",
        "# one angle for each crank pin, clockwise, seen from the front:",
        f"throw_angles = {_angles(angles)}{'' if answers.throw_angles_deg else f'   # {source}'}",
        *_banks(answers, usual=usual, throws=len(angles)),
        f"main_bearings = {_mains(answers, usual=usual, throws=len(angles))}",
        f"caps = {_text(answers.caps.value)}   # separate, girdle or bedplate",
        f"strokes = {answers.strokes}",
    ]
    for key in ("cam_bearings", "intake_valves", "exhaust_valves"):
        count = getattr(answers, key)
        lines.append(f"{key} = {count}" if count else f"# {key} = {answers.cylinders}")
    return lines


def _angles(angles: Iterable[float]) -> str:
    return "[" + ", ".join(f'"{angle:g} deg"' for angle in angles) + "]"


def _mains(answers: SkeletonAnswers, *, usual: UsualLayout, throws: int) -> str:
    if answers.main_bearings is not None:
        return str(answers.main_bearings)
    return f"{min(usual.main_bearings, throws + 1)}   # {_CHECK}"


def _banks(answers: SkeletonAnswers, *, usual: UsualLayout, throws: int) -> list[str]:
    if answers.kind is LayoutKind.IN_LINE:
        return []
    numbers = range(1, answers.cylinders + 1)
    banks = [list(numbers[0::2]), list(numbers[1::2])]
    lines = [
        "# the first bank is the one on the right, seen from the front:",
        f"banks = {banks}   # {_CHECK}",
    ]
    if answers.kind is LayoutKind.V:
        angle = answers.v_angle_deg if answers.v_angle_deg is not None else usual.v_angle_deg
        note = "" if answers.v_angle_deg is not None else f"   # {_CHECK}"
        lines.insert(0, f'v_angle = "{angle or 90.0:g} deg"{note}')
    if 2 * throws == answers.cylinders:
        pairs = [[n, n + 1] for n in numbers[0::2]]
        lines.append(f"rods_on_throw = {pairs}   # {_CHECK}")
    return lines


def _marks() -> list[str]:
    return [
        "",
        "[marks]   # how the parts are marked: look before you take anything apart",
        '# front = "arrow on the main caps points to the front"',
        '# rod_caps = "number on rod and cap, both on one side"',
        '# main_caps = "1 at the front"',
        '# pistons = "notch to the front"',
    ]


def _sizes(fits: list[Fit], *, answers: SkeletonAnswers, kinds: Catalogue) -> list[str]:
    used = dict.fromkeys(key for fit in fits for key in fit.features)
    unit = answers.units
    lines = [
        "",
        "# --- sizes: [low, high] as new; or nominal with tolerance or with an ISO class ---",
    ]
    for key in used:
        feature = kinds.features[key]
        if feature.positive:
            lines += _size(feature, unit=unit)
    return lines


def _size(feature: Feature, *, unit: str) -> list[str]:
    lines = [
        "",
        f"[features.{feature.key}]   # {feature.title}",
        f'# size = ["? {unit}", "? {unit}"]',
    ]
    if feature.form_judged:
        lines.append(f'# length = "? {unit}"')
    if feature.key == "piston_skirt":
        lines.append('# measured_at = "height above the lower edge of the skirt, from the manual"')
    if feature.shape is Shape.OUTSIDE and feature.form_judged:
        lines.append('# material = "steel"')
    return lines


def _fits(fits: list[Fit], *, answers: SkeletonAnswers, kinds: Catalogue) -> list[str]:
    unit = answers.units
    lines = [
        "",
        '# --- fits: no limits given yet. build = [low, high]; "" for a side without limit; ---',
        "# --- service: up to where a re-used part may go; from: document and page.         ---",
    ]
    for fit in fits:
        traits = kinds.traits.get(fit.key, FitTraits())
        lines += ["", f"[fits.{fit.key}]   # {fit.title}"]
        if fit.practice_text:
            lines.append(f"# for orientation: {fit.practice_text}")
        if fit.limits_source is LimitsSource.SIZE:
            lines.append("# without build limits here, the size above is the limit")
        one = traits.upper_only or fit.judged is not Judged.SIZE
        value = f'"? {unit}"' if one else f'["? {unit}", "? {unit}"]'
        lines += [f"# build = {value}", f'# service = "? {unit}"', '# from = "manual, page"']
        if fit.judged is Judged.TAPER:
            lines.append('# meaning = "whole length"   # or "per length" with length = "25 mm"')
        if traits.runout:
            lines.append('# meaning = "total reading"   # or "bend", half of it')
        if any(way.kind is WayKind.STRIP for way in fit.ways):
            lines += ["# a number that differs:", f"# [fits.{fit.key}.numbers.3]"]
    return lines


def _supplies(answers: SkeletonAnswers) -> list[str]:
    step = '"0.25 mm", "0.50 mm"' if answers.units == "mm" else '"0.010 in", "0.020 in"'
    return [
        "",
        "# --- on offer, tightening ---",
        "[grades.rod_shells]",
        f'# marks = [{{ mark = "A", wall = "? {answers.units}" }}]',
        f"# undersizes = [{step}]",
        "",
        "[fasteners.rod_bolts]   # the maker's manual comes first",
        '# thread = "?"',
        '# stages = ["? N m", "? deg"]',
        '# reuse = "once"   # or "free", or "3 times"',
        "",
        "[fasteners.main_bolts]",
        '# thread = "?"',
        '# stages = ["? N m"]',
        "",
        *write_running(units=answers.units),
    ]
