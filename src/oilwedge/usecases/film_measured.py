"""The gap as measured, where oil comes in and how the load lies, from what a person typed."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from oilwedge.errors import Fault, InputError, Where
from oilwedge.film.feed_place import AT_LARGEST_GAP, Feed, FeedPlace
from oilwedge.film.film_shape import ROUND, FilmShape
from oilwedge.unit_table import Dimension
from oilwedge.units import format_number, parse_quantity

if TYPE_CHECKING:
    from oilwedge.film.shaped_film import ShapedFilm

__all__ = [
    "Feed",
    "Measured",
    "MeasuredTyped",
    "feed_words",
    "measured_json",
    "read_measured",
    "shape_words",
]

_PLAIN = (Feed.AXIAL, Feed.CIRCUMFERENTIAL, Feed.NONE)


@dataclass(frozen=True, kw_only=True, slots=True)
class MeasuredTyped:
    """Quantities as typed, each with its unit; empty where they are not given.

    Lengths of the shape are diametral. Angles count from the x axis, fixed to the bearing, in the
    direction of rotation; the load lies along it unless ``load_angle`` says otherwise.
    """

    load_angle: str = ""
    taper: str = ""
    barrel: str = ""
    out_of_round: str = ""
    bore_relief: str = ""
    split_angle: str = ""
    tilt: str = ""
    tilt_angle: str = ""
    groove: Feed = Feed.AXIAL
    groove_angle: str = ""
    groove_span: str = ""
    groove_width: str = ""
    supply_pressure: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class Measured:
    """Shape, feed and load angle in SI units."""

    shape: FilmShape = ROUND
    feed: FeedPlace = AT_LARGEST_GAP
    load_angle_rad: float = 0.0

    @property
    def is_plain(self) -> bool:
        """Whether it is the round bearing of the tables, in which no angle matters."""
        return self.shape.is_round and self.feed.kind in _PLAIN and self.feed.angle_rad is None


def read_measured(typed: MeasuredTyped, *, width_m: float) -> Measured:
    """Read it; InputError, placed at the option, for what cannot be used."""
    for option, value, needed, by in (
        ("--split-angle", typed.split_angle, typed.bore_relief, "--bore-relief"),
        ("--tilt-angle", typed.tilt_angle, typed.tilt, "--tilt"),
    ):
        if value and not needed:
            raise _placed(option, value, f"it says where {by} is, which is not given")
    lean = _value(typed.tilt, Dimension.LENGTH, "--tilt") / width_m
    towards = _value(typed.tilt_angle, Dimension.ANGLE, "--tilt-angle")
    split = 0.5 * math.pi
    if typed.split_angle:
        split = _value(typed.split_angle, Dimension.ANGLE, "--split-angle")
    return Measured(
        shape=FilmShape(
            journal_taper_m=_value(typed.taper, Dimension.LENGTH, "--taper"),
            journal_barrel_m=_value(typed.barrel, Dimension.LENGTH, "--barrel"),
            journal_out_of_round_m=_value(typed.out_of_round, Dimension.LENGTH, "--out-of-round"),
            bore_relief_m=_value(typed.bore_relief, Dimension.LENGTH, "--bore-relief"),
            split_angle_rad=split,
            tilt_x_rad=lean * math.cos(towards),
            tilt_y_rad=lean * math.sin(towards),
        ),
        feed=_feed(typed),
        load_angle_rad=_value(typed.load_angle, Dimension.ANGLE, "--load-angle"),
    )


def _feed(typed: MeasuredTyped) -> FeedPlace:
    if typed.groove_span and typed.groove is not Feed.HALF:
        raise _placed("--groove-span", typed.groove_span, "only a half groove spans an angle")
    if typed.groove in (Feed.HALF, Feed.HOLE) and not typed.groove_angle:
        raise _placed("--groove-angle", "", f"the feed '{typed.groove.value}' needs its place")
    width = _value(typed.groove_width, Dimension.LENGTH, "--groove-width")
    if typed.groove in (Feed.HALF, Feed.HOLE) and not width:
        raise _placed("--groove-width", "", "a half groove needs its width, a hole its diameter")
    start = end = None
    if typed.groove_angle:
        start = _value(typed.groove_angle, Dimension.ANGLE, "--groove-angle")
    if typed.groove is Feed.HALF and start is not None:
        span = math.pi
        if typed.groove_span:
            span = _value(typed.groove_span, Dimension.ANGLE, "--groove-span")
        if not math.radians(10.0) <= span <= math.radians(350.0):
            raise _placed("--groove-span", typed.groove_span, "a half groove spans 10° to 350°")
        start, end = start - 0.5 * span, start + 0.5 * span
    return FeedPlace(
        kind=typed.groove,
        angle_rad=start,
        end_angle_rad=end,
        width_m=width,
        supply_pressure_pa=_value(typed.supply_pressure, Dimension.PRESSURE, "--supply-pressure"),
    )


def _placed(option: str, given: str, allowed: str) -> InputError:
    return InputError(Fault(where=Where(column=option), given=given, allowed=allowed))


def _value(text: str, dimension: Dimension, option: str) -> float:
    """0 for a text that is empty."""
    if not text.strip():
        return 0.0
    try:
        return parse_quantity(text, dimension=dimension).value_si
    except InputError as error:
        raise error.at(Where(column=option)) from None


def measured_json(
    measured: Measured, *, width_m: float, film: ShapedFilm | None, turns: int
) -> dict[str, object]:
    """What was asked beyond the round bearing, and where in the bearing its answers lie."""
    shape, feed = measured.shape, measured.feed
    lean = math.hypot(shape.tilt_x_rad, shape.tilt_y_rad)
    angle, end = feed.angle_rad, feed.end_angle_rad
    span = None
    if angle is not None and end is not None:
        angle, span = 0.5 * (angle + end), end - angle
    return {
        "load_angle_deg": math.degrees(measured.load_angle_rad),
        "groove_angle_deg": None if angle is None else math.degrees(angle),
        "groove_span_deg": None if span is None else math.degrees(span),
        "groove_width_mm": feed.width_m * 1e3,
        "shape": {
            "taper_um": shape.journal_taper_m * 1e6,
            "barrel_um": shape.journal_barrel_m * 1e6,
            "out_of_round_um": shape.journal_out_of_round_m * 1e6,
            "bore_relief_um": shape.bore_relief_m * 1e6,
            "split_angle_deg": math.degrees(shape.split_angle_rad),
            "tilt_um": lean * width_m * 1e6,
            "tilt_angle_deg": math.degrees(math.atan2(shape.tilt_y_rad, shape.tilt_x_rad)),
            "journal_turns_tried": turns,
        },
        "minimum_film_place_mm": None if film is None else film.minimum_film_place_m * 1e3,
        "peak_pressure_place_mm": None if film is None else film.peak_pressure_place_m * 1e3,
        "journal_turn_deg": None if film is None else math.degrees(film.journal_turn_rad),
    }


def feed_words(feed: FeedPlace) -> str:
    """Where and at what pressure the oil comes in."""
    pressure = f"{feed.supply_pressure_pa / 1e5:g} bar above the surroundings"
    width = f"{feed.width_m * 1e3:g} mm"
    if feed.kind is Feed.AXIAL and feed.angle_rad is None:
        return f"axial groove over the full width, at the largest gap, {pressure}"
    if feed.kind is Feed.AXIAL:
        return f"axial groove over the full width, at {_deg(feed.angle_rad)}, {pressure}"
    if feed.kind is Feed.CIRCUMFERENTIAL:
        return f"circumferential groove, two lands, {pressure}"
    if feed.kind is Feed.HOLE:
        return f"oil hole of {width} in the middle, at {_deg(feed.angle_rad)}, {pressure}"
    if feed.kind is Feed.HALF:
        return (
            f"half groove {width} wide in the middle, from {_deg(feed.angle_rad)} to"
            f" {_deg(feed.end_angle_rad)}, {pressure}"
        )
    return f"no groove, both ends open, {pressure}"


def shape_words(shape: FilmShape, *, width_m: float) -> str:
    """What departs from a round parallel gap, in words; diametral."""
    lean = math.hypot(shape.tilt_x_rad, shape.tilt_y_rad) * width_m
    towards = math.atan2(shape.tilt_y_rad, shape.tilt_x_rad)
    parts = []
    if shape.journal_taper_m:
        end = "front" if shape.journal_taper_m > 0.0 else "rear"
        parts.append(f"taper {_um(abs(shape.journal_taper_m))}, thick end at the {end}")
    if shape.journal_barrel_m:
        word = "barrel" if shape.journal_barrel_m > 0.0 else "hourglass"
        parts.append(f"{word} {_um(abs(shape.journal_barrel_m))}")
    if shape.journal_out_of_round_m:
        parts.append(f"out of round {_um(shape.journal_out_of_round_m)}")
    if shape.bore_relief_m:
        split = _deg(shape.split_angle_rad)
        parts.append(f"bore {_um(shape.bore_relief_m)} wider at the split, which is at {split}")
    if lean:
        parts.append(f"front end off by {_um(lean)} towards {_deg(towards)}")
    return "; ".join(parts) or "round, straight and parallel"


def _um(length_m: float) -> str:
    return f"{length_m * 1e6:g} µm"


def _deg(angle_rad: float | None) -> str:
    degrees = 0.0 if angle_rad is None else math.degrees(angle_rad)
    return f"{format_number(value=degrees, decimals=0)}°"
