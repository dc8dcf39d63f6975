"""The films of an engine as strict JSON in the units of its names."""

from __future__ import annotations

import json
import math
from dataclasses import replace
from typing import Any

import pytest

from oilwedge.usecases.film_cycle_answer import EngineFilm, LeftOut
from oilwedge.usecases.film_cycle_json import film_cycle_json

from .film_cycle_made_up import bearing_film, engine_film

LOST = LeftOut(key="main 2", title="main bearing 2", why="not measured")


def strict(*films: EngineFilm) -> dict[str, Any]:
    def refuse(word: str) -> float:
        raise AssertionError(f"{word} is no JSON")

    text = json.dumps(film_cycle_json(films), allow_nan=False)
    found: dict[str, Any] = json.loads(text, parse_constant=refuse)
    return found


@pytest.fixture
def condition() -> dict[str, Any]:
    film = engine_film(bearing_film("rod 1", film_um=0.8, middle_um=1.0), left_out=(LOST,))
    found: dict[str, Any] = strict(film)["conditions"][0]
    return found


def test_units_are_those_of_the_names(condition: dict[str, Any]) -> None:
    (bearing,) = condition["bearings"]
    film = bearing["film"]
    assert film["minimum_film_um"] == pytest.approx(0.8)
    assert film["minimum_film_angle_deg"] == pytest.approx(370.0)
    assert film["hot_clearance_mm"] == pytest.approx(0.040)
    assert film["largest_eccentricity_ratio"] == pytest.approx(0.96)
    assert film["peak_pressure_mpa"] == pytest.approx(90.0)
    assert film["viscosity_mpa_s"] == pytest.approx(6.0)
    assert film["oil_flow_l_min"] == pytest.approx(0.18)
    assert film["oil_flow_l_min"] == pytest.approx(
        film["side_flow_l_min"] + film["feed_flow_l_min"]
    )
    assert bearing["clearance_mm"] == pytest.approx(0.040)
    assert bearing["mid_limit_mm"] == pytest.approx(0.035)
    assert bearing["band"]["minimum_film_um"]["low"] == pytest.approx(0.56)
    assert bearing["load"]["largest_kn"] == pytest.approx(
        math.hypot(1.0, 0.5)
    )  # 1 kN along x, 0.5 kN along y
    assert condition["torque"]["mean_n_m"] == pytest.approx(100.0)


def test_change_is_negative_where_the_film_is_thinner(condition: dict[str, Any]) -> None:
    assert condition["bearings"][0]["change_from_mid_limit"] == pytest.approx(-0.2)


def test_path_and_load_run_over_the_same_cycle(condition: dict[str, Any]) -> None:
    bearing = condition["bearings"][0]
    assert {len(column) for column in bearing["path"].values()} == {73}
    assert {len(bearing["load"][key]) for key in ("angle_deg", "fx_n", "fy_n")} == {73}
    assert min(bearing["path"]["film_um"]) == pytest.approx(0.8, rel=1e-4)


def test_bearing_without_answer_is_there_with_its_reason(condition: dict[str, Any]) -> None:
    assert condition["left_out"] == [
        {"bearing": "main 2", "title": "main bearing 2", "why": "not measured"}
    ]
    assert condition["thinnest"] == "rod 1"


def test_what_is_not_known_is_null() -> None:
    bare = replace(bearing_film(middle_um=None), band=None, thinnest_share=None)
    (bearing,) = strict(engine_film(bare))["conditions"][0]["bearings"]
    for key in ("band", "at_mid_limit", "change_from_mid_limit", "thinnest_share", "reference"):
        assert bearing[key] is None


def test_each_condition_is_an_entry() -> None:
    film = engine_film(bearing_film())
    idle = replace(film, condition=replace(film.condition, name="hot idle"))
    assert [one["condition"] for one in strict(film, idle)["conditions"]] == [
        "full load",
        "hot idle",
    ]


def test_meaning_goes_along() -> None:
    assert "does not overrule the maker's limits" in strict(engine_film())["meaning"]
