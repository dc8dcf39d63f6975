from __future__ import annotations

import math
from dataclasses import replace

import pytest

from oilwedge.report.film_ink import Firing
from oilwedge.report.film_polar import (
    CENTRE,
    RADIUS_PX,
    PolarLoad,
    describe_polar,
    polar_figure,
    polar_svg,
)

from .drawing_parts import centre, check_drawing, only, parts, points, words

ANGLES = tuple(float(deg) for deg in range(0, 721, 3))


def load() -> PolarLoad:
    """Largest load 18 kN at crank angle 90°, pressing to the right."""
    size = [6.0 + 12.0 * math.exp(-(((deg - 90.0) / 40.0) ** 2)) for deg in ANGLES]
    turns = [math.radians(deg) for deg in ANGLES]
    return PolarLoad(
        title="Big end <1>",
        angles_deg=ANGLES,
        force_x_kn=tuple(f * math.cos(turn) for f, turn in zip(size, turns, strict=True)),
        force_y_kn=tuple(f * math.sin(turn) for f, turn in zip(size, turns, strict=True)),
        firings=(Firing(angle_deg=360.0, cylinder="1"),),
    )


def test_the_words_stay_in_the_frame_and_are_no_markup() -> None:
    check_drawing(polar_svg(load()))
    assert "Big end <1>" in words(polar_svg(load()))


def test_the_largest_load_is_marked_on_the_scale_of_the_circles() -> None:
    svg = polar_svg(load())
    rings = [float(one.get("r", "")) for one in parts(svg, "round-load")]
    assert rings == pytest.approx([RADIUS_PX / 2.0, RADIUS_PX])
    assert {"10", "20 kN"} <= set(words(svg))
    x, y = centre(svg, "largest")
    assert (x - CENTRE[0], CENTRE[1] - y) == pytest.approx((RADIUS_PX * 18.0 / 20.0, 0.0), abs=0.01)


def test_the_first_axis_points_up_and_the_second_right() -> None:
    places = points(only(polar_svg(load()), "load"))
    assert places[0][0] == pytest.approx(CENTRE[0])
    assert places[0][1] < CENTRE[1]
    assert places[30][0] > CENTRE[0]


def test_firing_is_marked_on_the_line() -> None:
    tip = points(only(polar_svg(load()), "firing"))[0]
    assert tip[0] == pytest.approx(CENTRE[0])
    assert tip[1] < CENTRE[1]


def test_it_says_the_largest_load_and_where_it_presses() -> None:
    said = describe_polar(load())
    assert "largest load is 18 kN at crank angle 90°, 90° round the bearing" in said
    assert "the smallest is 6.0 kN" in said


def test_a_terminal_sees_the_largest_load_at_the_right() -> None:
    lines = polar_figure(load()).ascii_text.split("\n")
    row = next(line for line in lines[1:] if line.endswith("o"))
    assert row.index("o") == 46


def test_what_is_no_load_is_refused() -> None:
    with pytest.raises(ValueError, match="two points"):
        PolarLoad(title="x", angles_deg=(), force_x_kn=(), force_y_kn=())
    with pytest.raises(ValueError, match="two points"):
        PolarLoad(title="x", angles_deg=(0.0,), force_x_kn=(1.0,), force_y_kn=(1.0,))
    with pytest.raises(ValueError, match="above 0 somewhere"):
        replace(load(), force_x_kn=(0.0,) * len(ANGLES), force_y_kn=(0.0,) * len(ANGLES))
