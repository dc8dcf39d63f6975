from __future__ import annotations

import math
from dataclasses import replace

import pytest

from oilwedge.report.film_ink import WIDTH_PX
from oilwedge.report.film_pressure import (
    BOTTOM_PX,
    LEFT_PX,
    RIGHT_PX,
    TOP_PX,
    PressureMap,
    cut_opposite,
    describe_pressure,
    pressure_figure,
    pressure_svg,
)

from .drawing_parts import centre, check_drawing, only, parts, points, words

ANGLES = tuple(float(deg) for deg in range(0, 361, 5))
PLACES = tuple(float(mm) for mm in range(21))


def pressure(deg: float, mm: float) -> float:
    """A peak of 40 MPa at 200° and 5 mm from the front, nothing outside ±40° and the ends."""
    round_it = max(0.0, math.cos(math.radians((deg - 200.0) * 90.0 / 40.0)))
    along = max(0.0, 1.0 - abs(mm - 5.0) / (5.0 if mm < 5.0 else 15.0))
    return 40.0 * (round_it if abs(deg - 200.0) < 40.0 else 0.0) * along


def drawn() -> PressureMap:
    return PressureMap(
        title="Big end 1: pressure & <place>",
        crank_angle_deg=372.0,
        angles_deg=ANGLES,
        places_mm=PLACES,
        pressures_mpa=tuple(tuple(pressure(deg, mm) for mm in PLACES) for deg in ANGLES),
        load_deg=190.0,
        thinnest_deg=215.0,
    )


def across(deg: float) -> float:
    return LEFT_PX + (WIDTH_PX - LEFT_PX - RIGHT_PX) * deg / 360.0


def test_the_words_stay_in_the_frame_and_are_no_markup() -> None:
    check_drawing(pressure_svg(drawn()))
    assert "Big end 1: pressure & <place>" in words(pressure_svg(drawn()))


def test_the_peak_stands_where_the_data_has_it_front_end_above() -> None:
    x, y = centre(pressure_svg(drawn()), "peak")
    assert x == pytest.approx(across(200.0), abs=0.01)
    assert y == pytest.approx(TOP_PX + (BOTTOM_PX - TOP_PX) * 5.0 / 20.0, abs=0.01)
    assert "40 MPa, 200° round the bearing, 5.0 mm from its front end" in describe_pressure(drawn())


def test_a_level_line_runs_where_the_pressure_is_at_its_level() -> None:
    levels = drawn().levels_mpa
    assert levels == pytest.approx((10.0, 20.0, 30.0))
    outlines = parts(pressure_svg(drawn()), "level")
    for level, outline in zip(levels, outlines[1:], strict=True):  # the first: edge of pressure
        at_middle = [
            (x - LEFT_PX) / (WIDTH_PX - LEFT_PX - RIGHT_PX) * 360.0
            for x, y in points(outline)
            if abs(y - (TOP_PX + 30.0)) < 0.06
        ]
        assert at_middle
        assert pressure(min(at_middle), 5.0) == pytest.approx(level, abs=0.6)


def test_load_and_thinnest_place_are_pointed_at_also_from_another_turn() -> None:
    svg = pressure_svg(replace(drawn(), load_deg=190.0 - 720.0))
    for kind, angle in (("load", 190.0), ("thinnest", 215.0)):
        (head,) = list(only(svg, kind))
        assert points(head)[0][0] == pytest.approx(across(angle), abs=0.01)


def test_pointers_follow_where_the_sheet_is_cut() -> None:
    cut = 90.0
    angles = tuple(deg + cut for deg in ANGLES)
    turned = replace(
        drawn(),
        angles_deg=angles,
        pressures_mpa=tuple(tuple(pressure(deg % 360.0, mm) for mm in PLACES) for deg in angles),
        thinnest_deg=40.0,
    )
    svg = pressure_svg(turned)
    for kind, angle in (("load", 190.0 - cut), ("thinnest", 360.0 + 40.0 - cut)):
        (head,) = list(only(svg, kind))
        assert points(head)[0][0] == pytest.approx(across(angle), abs=0.01)
    assert centre(svg, "peak")[0] == pytest.approx(across(200.0 - cut), abs=0.01)


def test_a_bearing_is_cut_away_from_what_matters() -> None:
    for angle in range(-400, 400, 17):
        cut = cut_opposite(float(angle))
        assert cut % 90.0 == 0.0
        assert 135.0 <= angle - cut <= 225.0


def test_a_terminal_sees_the_peak() -> None:
    lines = pressure_figure(drawn()).ascii_text.split("\n")
    row = next(n for n, line in enumerate(lines[1:], 1) if "P" in line)
    assert lines[row].index("P") == pytest.approx(59 * 200 / 360, abs=1)
    assert row - 1 == pytest.approx(8 * 5.0 / 20.0, abs=1)


def test_a_terminal_sees_the_front_end_above() -> None:
    """1 mm from the front a fifth of the peak, rounded down; as far from the rear a fifteenth."""
    rows = pressure_figure(drawn()).ascii_text.split("\n")[1:10]
    column = round(59 * 200 / 360)
    assert rows[0][column] in ("1", "2")
    assert rows[-1][column] == "."


def test_what_is_no_map_is_refused() -> None:
    good = drawn()
    with pytest.raises(ValueError, match="two points"):
        replace(good, angles_deg=(), pressures_mpa=())
    with pytest.raises(ValueError, match="two points"):
        replace(good, places_mm=(1.0,))
    with pytest.raises(ValueError, match="one pressure for each"):
        replace(good, pressures_mpa=good.pressures_mpa[:-1])
    with pytest.raises(ValueError, match="above 0 somewhere"):
        replace(good, pressures_mpa=tuple((0.0,) * len(PLACES) for _ in ANGLES))
    with pytest.raises(ValueError, match="once round"):
        replace(good, angles_deg=tuple(2.0 * deg for deg in ANGLES))
