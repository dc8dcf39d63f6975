from __future__ import annotations

import math
from dataclasses import replace

import pytest

from oilwedge.report.film_angle import (
    FILM_BOTTOM_PX,
    FILM_TOP_PX,
    LEFT_PX,
    RIGHT_PX,
    AngleChart,
    FilmLine,
    angle_figure,
    angle_svg,
    describe_angle,
)
from oilwedge.report.film_ink import WIDTH_PX, Firing

from .drawing_parts import centre, check_drawing, only, parts, points, words

ANGLES = tuple(float(deg) for deg in range(0, 721, 4))


def chart() -> AngleChart:
    """Least film 2 µm at 180°, largest load 12 kN at 540°."""
    films = tuple(6.0 - 4.0 * math.exp(-(((deg - 180.0) / 60.0) ** 2)) for deg in ANGLES)
    loads = tuple(2.0 + 10.0 * math.exp(-(((deg - 540.0) / 60.0) ** 2)) for deg in ANGLES)
    line = FilmLine(angles_deg=ANGLES, films_um=films)
    return AngleChart(
        title="Main <3>",
        film=line,
        loads_kn=loads,
        compared=FilmLine(angles_deg=ANGLES, films_um=tuple(1.5 * film for film in films)),
        chosen_film_um=1.0,
        firings=(Firing(angle_deg=-180.0, cylinder="3"), Firing(angle_deg=0.0, cylinder="1")),
    )


def test_the_words_stay_in_the_frame_and_are_no_markup() -> None:
    check_drawing(angle_svg(chart()))
    assert "Main <3>" in words(angle_svg(chart()))


def test_the_least_film_stands_where_the_data_has_it() -> None:
    x, y = centre(angle_svg(chart()), "least")
    width = WIDTH_PX - LEFT_PX - RIGHT_PX
    assert x == pytest.approx(LEFT_PX + 0.25 * width, abs=0.01)
    # from 1 µm, the film to keep, to 9.45, just above the largest: equal ratios are equally high
    share = math.log(2.0) / math.log(9.45)
    assert y == pytest.approx(FILM_BOTTOM_PX - share * (FILM_BOTTOM_PX - FILM_TOP_PX), abs=0.01)
    assert "Least film 2.0 µm at crank angle 180°" in describe_angle(chart())


def test_film_and_load_share_the_scale_of_angle() -> None:
    svg = angle_svg(chart())
    film, load = points(only(svg, "film")), points(only(svg, "load"))
    assert [x for x, _ in film] == [x for x, _ in load]
    highest = min(load, key=lambda place: place[1])
    assert highest[0] == pytest.approx(LEFT_PX + 0.75 * (WIDTH_PX - LEFT_PX - RIGHT_PX), abs=0.01)


def test_each_firing_is_marked_in_the_cycle_with_its_cylinder() -> None:
    svg = angle_svg(chart())
    tips = sorted(points(one)[0][0] for one in parts(svg, "firing"))
    width = WIDTH_PX - LEFT_PX - RIGHT_PX
    assert tips == pytest.approx([LEFT_PX, LEFT_PX + 0.75 * width], abs=0.01)
    assert {"1", "3"} <= set(words(svg))


def test_the_film_to_keep_and_the_one_to_compare_are_drawn_if_given() -> None:
    svg = angle_svg(chart())
    (_, first), (_, last) = points(only(svg, "chosen-film"))
    assert first == last == pytest.approx(FILM_BOTTOM_PX)
    bare = angle_svg(replace(chart(), compared=None, chosen_film_um=None, firings=()))
    assert not parts(bare, "compared")
    assert not parts(bare, "chosen-film")


def test_a_terminal_sees_both_lines() -> None:
    lines = angle_figure(chart()).ascii_text.split("\n")
    row = next(line for line in lines if "o" in line and "|" in line)
    assert row.index("o") - row.index("|") - 1 == pytest.approx(0.25 * 63, abs=1)
    assert any(line.startswith("load, kN") for line in lines)


def test_what_is_no_line_is_refused() -> None:
    with pytest.raises(ValueError, match="two points"):
        FilmLine(angles_deg=(0.0,), films_um=(1.0,))
    with pytest.raises(ValueError, match="finite"):
        FilmLine(angles_deg=(0.0, 1.0), films_um=(1.0, math.nan))
    with pytest.raises(ValueError, match="above 0"):
        FilmLine(angles_deg=(0.0, 1.0), films_um=(1.0, -1.0))
    line = FilmLine(angles_deg=(0.0, 1.0), films_um=(1.0, 2.0))
    with pytest.raises(ValueError, match="unlike length"):
        AngleChart(title="x", film=line, loads_kn=(1.0,) * 3)
