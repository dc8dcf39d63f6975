from __future__ import annotations

from dataclasses import replace

import pytest

from oilwedge.report.film_comparison import (
    LABEL_PX,
    ROW_PX,
    TOP_PX,
    VALUE_PX,
    ComparedBearing,
    FilmComparison,
    comparison_figure,
    comparison_svg,
    describe_comparison,
)
from oilwedge.report.film_ink import WIDTH_PX

from .drawing_parts import check_drawing, parts, points, words

ROWS = (
    ComparedBearing(name="big end 1", film_um=2.0, low_um=1.5, high_um=2.5, mid_limit_um=3.0),
    ComparedBearing(name="main <1>", film_um=4.0, mid_limit_um=3.5),
    ComparedBearing(name="main bearing 2", film_um=None, note="not measured"),
)


def drawn() -> FilmComparison:
    return FilmComparison(title="All & each", bearings=ROWS, chosen_film_um=1.0)


def across(film: float) -> float:
    return LABEL_PX + (WIDTH_PX - VALUE_PX - 10.0 - LABEL_PX) * film / 4.0


def test_the_words_stay_in_the_frame_and_are_no_markup() -> None:
    svg = comparison_svg(drawn())
    check_drawing(svg)
    assert {"All & each", "main <1>", "not measured"} <= set(words(svg))


def test_dots_rings_and_whiskers_share_one_scale_from_zero() -> None:
    svg = comparison_svg(drawn())
    dots = [float(one.get("cx", "")) for one in parts(svg, "as-measured")]
    rings = [float(one.get("cx", "")) for one in parts(svg, "mid-limit")]
    (whisker,) = (points(one) for one in parts(svg, "whisker"))
    assert dots == pytest.approx([across(2.0), across(4.0)], abs=0.01)
    assert rings == pytest.approx([across(3.0), across(3.5)], abs=0.01)
    assert [x for x, _ in whisker] == pytest.approx([across(1.5), across(2.5)], abs=0.01)


def test_bearings_stand_in_their_order() -> None:
    heights = [float(one.get("cy", "")) for one in parts(comparison_svg(drawn()), "as-measured")]
    assert heights == pytest.approx([TOP_PX + 0.5 * ROW_PX, TOP_PX + 1.5 * ROW_PX])


def test_many_bearings_still_fit_with_their_names_whole() -> None:
    many = tuple(
        ComparedBearing(name=f"main bearing {n}", film_um=1.0 + n, note="") for n in range(1, 14)
    )
    svg = comparison_svg(FilmComparison(title="x", bearings=many))
    check_drawing(svg)
    assert "main bearing 13" in words(svg)


def test_the_thinnest_is_found_and_all_is_said() -> None:
    thinnest = drawn().thinnest
    assert thinnest is not None
    assert thinnest.name == "big end 1"
    said = describe_comparison(drawn())
    assert "big end 1: 2.0 µm (1.5 to 2.5), at mid-limit 3.0." in said
    assert "main bearing 2: not measured." in said


def test_a_terminal_sees_the_dot_before_the_mid_limit() -> None:
    row = comparison_figure(drawn()).ascii_text.split("\n")[1]
    assert row.startswith("big end 1")
    assert row.rindex("o") < row.rindex("m")
    assert row.endswith("| 2.0")


def test_what_compares_nothing_is_refused() -> None:
    with pytest.raises(ValueError, match="one bearing"):
        replace(drawn(), bearings=())
    with pytest.raises(ValueError, match="the film of one"):
        FilmComparison(title="x", bearings=(ROWS[2],))
    with pytest.raises(ValueError, match="at least 0"):
        ComparedBearing(name="x", film_um=-1.0)


def test_one_bearing_is_enough() -> None:
    check_drawing(comparison_svg(FilmComparison(title="One", bearings=ROWS[:1])))


def test_a_film_that_is_no_figure_has_a_cross_and_a_question_mark_instead_of_a_dot() -> None:
    doubtful = replace(ROWS[0], stands=False)
    given = replace(drawn(), bearings=(doubtful, *ROWS[1:]))
    svg = comparison_svg(given)
    check_drawing(svg)
    assert len(parts(svg, "as-measured")) == len(parts(comparison_svg(drawn()), "as-measured")) - 1
    assert len(parts(svg, "no-figure")) == 4  # two strokes in the row, two in the key
    assert "? 2.0" in words(svg)
    assert "no figure to lean on" in describe_comparison(given)


def test_a_band_whose_low_end_is_a_bound_has_no_tick_there() -> None:
    closed = replace(drawn(), bearings=ROWS[:1])
    open_ = replace(closed, bearings=(replace(ROWS[0], low_open=True),))
    assert comparison_svg(closed).count("<path") - comparison_svg(open_).count("<path") == 1
    assert "(under 1.5 to 2.5)" in describe_comparison(open_)
