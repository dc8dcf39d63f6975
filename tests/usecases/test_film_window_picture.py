"""Film against clearance as charts."""

from __future__ import annotations

import xml.etree.ElementTree as ElementTree
from dataclasses import replace

import pytest

from oilwedge.usecases.film_window_picture import film_window_picture, window_charts
from oilwedge.usecases.length_face import LengthFace

from .film_window_made_up import FILM_M, curve, kind, window

MM, INCH = LengthFace(), LengthFace(unit="in")


def test_chart_holds_the_curve_limits_and_measured_in_the_unit_asked_for() -> None:
    idle, full = window_charts(kind(), film_m=FILM_M, face=INCH)
    assert idle.title == "Big ends, hot idle"
    assert full.title == "Big ends, full load"
    assert idle.low == pytest.approx(20e-6 / 0.0254)
    assert idle.measured[0].clearance == pytest.approx(40e-6 / 0.0254)
    assert idle.oils[0].films_um[0] is None
    assert idle.oils[0].films_um[3] == pytest.approx(2.0)
    assert idle.chosen_film_um == pytest.approx(1.0)


def test_one_bearing_can_be_drawn_alone() -> None:
    idle, _ = window_charts(kind(), film_m=FILM_M, face=MM, only="big end 2")
    assert [one.name for one in idle.measured] == ["big end 2"]
    assert idle.title == "big end 2, hot idle"


def test_only_the_bearing_whose_film_is_drawn_has_its_dot_on_the_lines() -> None:
    for chart, owner in zip(
        window_charts(kind(), film_m=FILM_M, face=MM), ("big end 1", "big end 2"), strict=True
    ):
        assert all(one.on_line == (one.name == owner) for one in chart.measured)


def test_condition_without_answers_has_no_chart() -> None:
    whole = kind()
    empty = replace(curve(oil="5W-30", top_um=2.0, at_um=40.0), minimum_films_m=(None,) * 10)
    first = replace(whole.conditions[0], curves=(empty,))
    charts = window_charts(
        replace(whole, conditions=(first, whole.conditions[1])), film_m=FILM_M, face=MM
    )
    assert [chart.title for chart in charts] == ["Big ends, full load"]


def test_picture_is_one_drawing_with_every_chart() -> None:
    picture = ElementTree.fromstring(film_window_picture(window(kind(), kind()), face=MM))
    nested = picture.findall("{http://www.w3.org/2000/svg}svg")
    assert len(nested) == 4
    assert len({(one.get("x"), one.get("y")) for one in nested}) == 4
