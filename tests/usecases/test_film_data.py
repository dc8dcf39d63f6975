"""What a film needs and a file does not say: each datum named once, with its place and its way."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from tests.usecases.crank_made_up import BEARINGS, CRANK, DUTY, SINGLE, engine, with_train

from oilwedge.engine.file import read_engine
from oilwedge.errors import InputError
from oilwedge.usecases.film_data import (
    OIL_PLACE,
    condition_of,
    film_remarks,
    missing_for_film,
    place_in_file,
)

DEMO = Path(__file__).parents[2] / "src" / "oilwedge" / "demo"


def places(**parts: object) -> list[str]:
    return [one.where_in_file for one in missing_for_film(engine=engine(**parts))]


@pytest.mark.parametrize("name", ["four", "three_diesel", "v_twin"])
def test_the_demo_engines_say_everything(name: str) -> None:
    made = read_engine((DEMO / f"{name}.toml").read_text("utf-8"), file=name)
    assert missing_for_film(engine=made) == ()
    assert film_remarks(engine=made) == ()


@pytest.mark.parametrize(
    "key", ["stroke", "rod_length", "bore", "compression_ratio", "piston_set", "pin"]
)
def test_what_the_crank_train_does_not_say(key: str) -> None:
    assert places(without=[key]) == [f"[crank_train] {key}"]


def test_a_rod_needs_two_of_its_three_masses() -> None:
    for key in ("rod", "rod_big_end", "rod_small_end"):
        assert places(without=[key]) == []
    (only,) = missing_for_film(engine=engine(without=["rod_big_end", "rod_small_end"]))
    assert only.where_in_file == "[crank_train] rod, rod_big_end, rod_small_end"
    assert "not split by a rule of thumb" in only.how_to_get


def test_a_trace_for_each_condition_does_without_a_compression_ratio() -> None:
    traced = DUTY.replace('peak_pressure = "50 bar"', 'pressure_trace = "a.csv"')
    assert places(duty=traced, without=["compression_ratio"]) == []
    both = traced + DUTY.replace("full load", "top speed")
    assert places(duty=both, without=["compression_ratio"]) == ["[crank_train] compression_ratio"]
    # asked for the traced one alone, nothing is missing
    made = engine(duty=both, without=["compression_ratio"])
    assert missing_for_film(engine=made, condition="full load") == ()


@pytest.mark.parametrize(
    ("old", "new", "missing"),
    [
        ('width = "40 mm"', "", ["[bearings.rod] width"]),
        ('width = "45 mm"', "", ["[bearings.main] width"]),
        ('groove_width = "4 mm"', "", ["[bearings.main] groove_width"]),
        ('width = "40 mm"', 'width = "40 mm"\ngroove = "hole"', ["[bearings.rod] hole_diameter"]),
        ('width = "40 mm"', 'width = "40 mm"\ngroove = "full"', ["[bearings.rod] groove_width"]),
        ('width = "40 mm"', 'width = "40 mm"\ngroove = "none"', []),
    ],
)
def test_what_a_bearing_does_not_say(old: str, new: str, missing: list[str]) -> None:
    assert places(bearings=BEARINGS.replace(old, new)) == missing


@pytest.mark.parametrize("key", ["speed", "peak_pressure", "oil_pressure", "oil_temperature"])
def test_what_a_condition_does_not_say(key: str) -> None:
    duty = "\n".join(line for line in DUTY.splitlines() if not line.startswith(key))
    (only,) = missing_for_film(engine=engine(duty=duty))
    assert only.where_in_file == f'[duty.conditions."full load"] {key}'
    assert only.what.endswith("at full load")


def test_oil_at_the_freezing_point_is_said() -> None:
    duty = DUTY.replace('oil_temperature = "90 C"', 'oil_temperature = "0 C"')
    assert places(duty=duty) == []


def test_an_engine_without_conditions_and_without_oil() -> None:
    assert places(duty="") == ['[duty.conditions."full load"]']
    assert places(oil="") == [OIL_PLACE]
    sheet = 'data_sheet = { viscosity_40c = "60 mm2/s", viscosity_100c = "10 mm2/s" }'
    assert places(oil=sheet) == []


def test_places_are_asked_for_where_throws_cannot_share_the_bays() -> None:
    assert places(order=(1, 3, 2), throws=(0, 120, 240), mains=3) == [
        "[crank_train] main_places, throw_places"
    ]
    given = (
        'main_places = ["0 mm", "90 mm", "270 mm"]\nthrow_places = ["45 mm", "120 mm", "200 mm"]'
    )
    assert places(order=(1, 3, 2), throws=(0, 120, 240), mains=3, crank=given) == []


def test_a_journal_without_size_is_asked_for() -> None:
    made = engine()
    features = {**made.features}
    del features["rod_journal"]
    features["main_journal"] = replace(
        features["main_journal"], nominal_m=None, low_m=None, high_m=None
    )
    made = replace(made, features=features)
    assert [one.where_in_file for one in missing_for_film(engine=made)] == [
        "[features.rod_journal] size",
        "[features.main_journal] size",
    ]


def test_a_condition_is_found_by_its_name() -> None:
    assert condition_of(engine=engine(), name="full load").speed_rpm == 1000.0
    with pytest.raises(InputError, match=r"did you mean 'full load'"):
        missing_for_film(engine=engine(), condition="full loads")


def test_a_place_has_its_line_where_it_is_in_the_file() -> None:
    made = engine()
    where = place_in_file(engine=made, path=("crank_train", "stroke"))
    assert made.text.splitlines()[(where.line or 0) - 1] == 'stroke = "160 mm"'
    assert where.column == "crank_train.stroke"


def test_remarks_are_short_where_nothing_is_said_and_exact_where_some_is() -> None:
    bare = engine(**SINGLE, without=list(CRANK), bearings="", duty="", oil="")
    assert len(film_remarks(engine=bare)) == 1
    assert "Nothing else needs it" in film_remarks(engine=bare)[0]
    (one,) = film_remarks(engine=engine(without=["pin"]))
    assert one == (
        "For films over a cycle there is no mass of a piston pin yet: [crank_train] pin; weigh it."
    )
    train = replace(engine().running.crank_train, stroke_m=None, rod_kg=None)
    assert "no stroke yet" in film_remarks(engine=with_train(engine(), train))[0]
