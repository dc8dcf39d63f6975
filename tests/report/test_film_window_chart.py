from __future__ import annotations

from dataclasses import replace

import pytest

from oilwedge.report.film_ink import WIDTH_PX
from oilwedge.report.film_window_chart import (
    BOTTOM_PX,
    LEFT_PX,
    RIGHT_PX,
    SIGN_PX,
    TOP_PX,
    MeasuredGap,
    OilLine,
    WindowChart,
    describe_window_chart,
    film_at,
    window_chart_svg,
    window_figure,
)

from .drawing_parts import centre, check_drawing, only, parts, points, words

GAPS = (0.02, 0.04, 0.06, 0.08, 0.10, 0.12)


def chart() -> WindowChart:
    return WindowChart(
        title="Big ends & <more>",
        unit="mm",
        decimals=3,
        clearances=GAPS,
        oils=(
            OilLine(name="5W-30", films_um=(None, 2.0, 2.4, 2.0, 1.6, 1.2)),
            OilLine(name="10W-40 <b>", films_um=(2.0, 3.0, 3.2, 3.0, 2.8, 2.4)),
        ),
        measured=(MeasuredGap(name="big end 2", clearance=0.07, half_width=0.01),),
        low=0.03,
        high=0.06,
        service=0.11,
        chosen_film_um=1.0,
    )


def across(gap: float) -> float:
    return LEFT_PX + (WIDTH_PX - LEFT_PX - RIGHT_PX) * (gap - 0.02) / 0.10


def up(film: float) -> float:
    return BOTTOM_PX - (BOTTOM_PX - TOP_PX) * film / 4.0


def test_the_words_stay_in_the_frame_and_are_no_markup() -> None:
    svg = window_chart_svg(chart())
    check_drawing(svg)
    assert {"Big ends & <more>", "10W-40 <b>"} <= set(words(svg))


def test_each_oil_is_a_line_through_its_data_with_its_own_dashes() -> None:
    thin, thick = parts(window_chart_svg(chart()), "oil")
    expected = [
        (across(gap), up(film)) for gap, film in zip(GAPS, (2, 3, 3.2, 3, 2.8, 2.4), strict=True)
    ]
    for place, true in zip(points(thick), expected, strict=True):
        assert place == pytest.approx(true, abs=0.01)
    assert len(points(thin)) == 5  # no answer at the first clearance
    assert thin.get("stroke-dasharray") != thick.get("stroke-dasharray")


def test_the_window_sign_is_on_the_scale_of_the_chart() -> None:
    svg = window_chart_svg(chart())
    for kind, value in (("low", 0.03), ("high", 0.06)):
        assert points(only(svg, kind))[1][0] == pytest.approx(across(value), abs=0.01)
    assert points(only(svg, "service"))[0][0] == pytest.approx(across(0.11), abs=0.01)
    assert centre(svg, "measured") == pytest.approx((across(0.07), SIGN_PX), abs=0.01)


def test_the_measured_clearance_has_its_band_and_a_dot_on_each_line() -> None:
    svg = window_chart_svg(chart())
    band = only(svg, "measured-band")
    assert float(band.get("x", "")) == pytest.approx(across(0.06), abs=0.01)
    assert float(band.get("width", "")) == pytest.approx(across(0.08) - across(0.06), abs=0.01)
    heights = sorted(float(dot.get("cy", "")) for dot in parts(svg, "on-line"))
    assert heights == pytest.approx(sorted([up(2.2), up(3.1)]), abs=0.01)


def test_a_clearance_off_the_chart_is_an_arrow_at_its_edge() -> None:
    far = MeasuredGap(name="big end 3", clearance=0.5, half_width=0.01)
    svg = window_chart_svg(replace(chart(), measured=(far,)))
    check_drawing(svg)
    assert len(parts(svg, "measured-beyond")) == 1
    assert not parts(svg, "measured")


def test_between_points_the_film_runs_straight_and_outside_there_is_none() -> None:
    oil = chart().oils[1]
    assert film_at(chart(), oil, 0.05) == pytest.approx(3.1)
    assert film_at(chart(), oil, 0.5) is None
    assert film_at(chart(), chart().oils[0], 0.03) is None


def test_it_says_numbers_limits_and_what_it_is_not() -> None:
    said = describe_window_chart(chart())
    assert "5W-30: 1.2 to 2.4 µm." in said
    assert "big end 2: 0.070 mm ± 0.010." in said
    assert "does not overrule the maker's limits" in window_figure(chart()).caption


def test_a_terminal_sees_limits_under_the_lines() -> None:
    lines = window_figure(chart()).ascii_text.split("\n")
    sign = next(line for line in lines if "[" in line)
    assert (sign.index("[") - 7) / 63 == pytest.approx(0.1, abs=0.02)
    assert (sign.index("o") - 7) / 63 == pytest.approx(0.5, abs=0.02)
    assert (sign.index("#") - 7) / 63 == pytest.approx(0.9, abs=0.02)


def test_what_is_no_chart_is_refused() -> None:
    with pytest.raises(ValueError, match="two points"):
        replace(chart(), clearances=())
    with pytest.raises(ValueError, match="two points"):
        replace(chart(), clearances=(0.1,))
    with pytest.raises(ValueError, match="one film for each clearance"):
        replace(chart(), oils=(OilLine(name="x", films_um=(1.0,)),))
    with pytest.raises(ValueError, match="one to 5 oils"):
        replace(chart(), oils=())
    with pytest.raises(ValueError, match="two points"):
        replace(chart(), oils=(OilLine(name="x", films_um=(None,) * 5 + (1.0,)),))


def test_a_bearing_whose_lines_these_are_not_has_no_dot_on_them() -> None:
    other = MeasuredGap(name="big end 3", clearance=0.07, half_width=0.01, on_line=False)
    svg = window_chart_svg(replace(chart(), measured=(other,)))
    assert not parts(svg, "on-line")
    assert len(parts(svg, "measured")) == 1
