"""Film against clearance as JSON."""

from __future__ import annotations

import json
from typing import Any

from oilwedge.usecases.film_window_json import film_window_json

from .film_window_made_up import window


def told() -> Any:
    return json.loads(json.dumps(film_window_json(window()), allow_nan=False))


def test_ranges_stand_by_condition_and_for_all() -> None:
    one = told()["kinds"][0]
    idle, full = (condition["oils"][0]["kept"] for condition in one["conditions"])
    assert (round(idle["low_mm"], 6), round(idle["high_mm"], 6)) == (0.02, 0.06)
    assert (round(full["low_mm"], 6), round(full["high_mm"], 6)) == (0.02, 0.08)
    everywhere = one["kept_everywhere"]["5W-30"]
    assert (round(everywhere["low_mm"], 6), round(everywhere["high_mm"], 6)) == (0.02, 0.06)


def test_points_without_an_answer_are_null() -> None:
    oil = told()["kinds"][0]["conditions"][0]["oils"][0]
    assert oil["minimum_film_um"][0] is None
    assert oil["minimum_film_um"][3] == 2.0
    assert oil["no_answer"] == "the parts touch when hot"


def test_limits_measured_and_meaning_are_there() -> None:
    one = told()["kinds"][0]
    assert one["service_limit_mm"] == 0.08
    assert one["measured"][1]["bearing"] == "big end 2"
    assert "does not overrule" in told()["meaning"]
