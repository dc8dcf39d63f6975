"""From an engine's films to what is drawn of them."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from oilwedge.engine.running import Groove
from oilwedge.usecases.film_cycle_answer import BearingFilm
from oilwedge.usecases.film_drawings import (
    bearing_words,
    comparison_of,
    film_over_angle,
    journal_path,
    load_diagram,
    worst_pressure,
)
from oilwedge.usecases.film_sheet import hole_note

from .film_made_up import LEAST_DEG, engine_film


def bearing(key: str) -> BearingFilm:
    found = engine_film().bearing(key)
    assert found is not None
    return found


def test_the_path_is_in_micrometres_and_holds_the_least_film_of_every_step() -> None:
    one = bearing("rod 2")
    orbit = replace(
        one.film.orbit,
        minimum_film_m=1.9e-6,
        minimum_film_angle_rad=math.radians(LEAST_DEG + 3.0),  # between two steps
    )
    one = replace(one, film=replace(one.film, orbit=orbit))
    drawn = journal_path(one, condition="full load", chosen_film_m=1e-6)
    assert drawn.path.radial_clearance_um == pytest.approx(25.0)
    assert min(drawn.path.films_um) == pytest.approx(1.9)
    assert drawn.path.angles_deg[drawn.path.least] == pytest.approx(LEAST_DEG + 3.0)
    assert drawn.compared is not None
    assert drawn.compared.radial_clearance_um == pytest.approx(20.0)
    assert drawn.chosen_film_um == pytest.approx(1.0)


def test_film_and_load_stand_at_the_same_angles() -> None:
    one = bearing("rod 2")
    drawn = film_over_angle(one, condition="full load", chosen_film_m=1e-6)
    assert min(drawn.film.films_um) == pytest.approx(2.0)
    assert drawn.film.angles_deg[drawn.film.least] == pytest.approx(LEAST_DEG)
    assert max(drawn.loads_kn) == pytest.approx(one.load.largest_n / 1000.0)
    assert [(mark.angle_deg, mark.cylinder) for mark in drawn.firings] == [(0.0, "2")]


def test_a_main_shows_all_cylinders_that_fire_and_the_block_above() -> None:
    drawn = journal_path(bearing("main 1"), condition="full load", chosen_film_m=1e-6)
    assert [mark.cylinder for mark in drawn.firings] == ["1", "3", "4", "2"]
    assert bearing_words(bearing("main 1").load).top == "block"
    assert bearing_words(bearing("rod 1").load).top == "rod"


def test_a_half_groove_is_drawn_in_the_upper_half() -> None:
    main = bearing("main 1")
    assert main.load.data.groove is Groove.HALF
    drawn = journal_path(main, condition="full load", chosen_film_m=1e-6)
    assert drawn.groove_deg == (-90.0, 90.0)
    assert journal_path(bearing("rod 1"), condition="x", chosen_film_m=1e-6).groove_deg is None


def test_the_polar_load_is_the_history_in_kilonewtons() -> None:
    load = bearing("main 1").load
    drawn = load_diagram(load, condition="full load")
    assert drawn.force_x_kn == pytest.approx(tuple(load.history.force_x_n / 1000.0))
    assert drawn.force_y_kn == pytest.approx(tuple(load.history.force_y_n / 1000.0))


def test_the_pressure_map_carries_the_load_of_its_moment() -> None:
    one = bearing("rod 2")
    drawn = worst_pressure(one, condition="full load")
    n = int(one.film.orbit.peak_pressures_pa.argmax())
    history = one.load.history
    assert drawn.crank_angle_deg == pytest.approx(math.degrees(history.angle_rad[n]))
    angles = np.radians(drawn.angles_deg)
    across = np.trapezoid(np.asarray(drawn.pressures_mpa), np.asarray(drawn.places_mm), axis=1)
    radius_mm = one.load.diameter_m * 500.0
    force_x = float(np.trapezoid(across * np.cos(angles), angles)) * radius_mm
    force_y = float(np.trapezoid(across * np.sin(angles), angles)) * radius_mm
    size = math.hypot(history.force_x_n[n], history.force_y_n[n])
    assert force_x == pytest.approx(history.force_x_n[n], abs=0.03 * size)
    assert force_y == pytest.approx(history.force_y_n[n], abs=0.03 * size)
    assert drawn.places_mm[-1] == pytest.approx((one.load.data.width_m or 0.0) * 1000.0)


def test_the_pressure_map_points_to_its_load_and_to_the_thinnest_film() -> None:
    """The invented path goes 1° round the bearing for 2° of the crank."""
    one = bearing("rod 2")
    drawn = worst_pressure(one, condition="full load")
    n = int(one.film.orbit.peak_pressures_pa.argmax())
    off = math.radians(drawn.thinnest_deg - 0.5 * drawn.crank_angle_deg)
    assert math.remainder(off, 2.0 * math.pi) == pytest.approx(0.0, abs=1e-9)
    force = complex(one.load.history.force_x_n[n], one.load.history.force_y_n[n])
    towards = complex(
        math.cos(math.radians(drawn.load_deg)), math.sin(math.radians(drawn.load_deg))
    )
    assert abs(force / abs(force) - towards) < 1e-9


def test_the_split_is_drawn_where_the_shape_has_it() -> None:
    one = bearing("rod 2")
    for split_deg in (90.0, 60.0):
        shape = replace(one.shape, split_angle_rad=math.radians(split_deg))
        drawn = journal_path(replace(one, shape=shape), condition="x", chosen_film_m=1e-6)
        assert drawn.split_deg == pytest.approx(split_deg)


def test_the_comparison_keeps_the_engines_order_and_names_who_has_no_answer() -> None:
    drawn = comparison_of(engine_film())
    assert drawn is not None
    assert [one.name for one in drawn.bearings] == [
        "big end 1", "big end 2", "main bearing 1", "main bearing 2",
    ]  # fmt: skip
    thinnest = drawn.thinnest
    assert thinnest is not None
    assert (thinnest.name, thinnest.film_um) == ("big end 2", pytest.approx(2.0))
    assert thinnest.mid_limit_um == pytest.approx(3.0)
    assert drawn.bearings[-1].note == "no answer"


def test_nothing_is_compared_where_nothing_has_an_answer() -> None:
    assert comparison_of(replace(engine_film(), bearings=())) is None


def test_an_oil_hole_is_closed_in_the_drawings_as_in_the_path() -> None:
    one = bearing("rod 2")
    data = replace(one.load.data, groove=Groove.HOLE, hole_diameter_m=0.004)
    holed = replace(one, load=replace(one.load, data=data))
    plain = worst_pressure(one, condition="full load")
    assert worst_pressure(holed, condition="full load").peak_mpa == pytest.approx(plain.peak_mpa)
    assert journal_path(holed, condition="x", chosen_film_m=1e-6).hole_deg is None
    assert "as if the oil hole were closed" in hole_note(holed)
    assert hole_note(one) == ""


def test_a_half_groove_parts_the_pressure_of_a_load_on_it() -> None:
    one = bearing("rod 2")  # its load presses on the rod's half
    data = replace(one.load.data, groove=Groove.HALF, groove_width_m=0.004)
    grooved = replace(one, load=replace(one.load, data=data))
    drawn = worst_pressure(grooved, condition="full load")
    assert drawn.peak_mpa > 1.2 * worst_pressure(one, condition="full load").peak_mpa


def test_a_half_groove_is_drawn_about_its_middle() -> None:
    one = bearing("main 1")
    for middle in (0.0, 180.0):
        data = replace(one.load.data, groove=Groove.HALF, groove_angle_deg=middle)
        turned = replace(one, load=replace(one.load, data=data))
        drawn = journal_path(turned, condition="full load", chosen_film_m=1e-6)
        assert drawn.groove_deg == (middle - 90.0, middle + 90.0)
