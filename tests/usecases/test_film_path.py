"""The journal's path from what a person typed."""

from __future__ import annotations

import json
import math
from dataclasses import replace
from pathlib import Path

import pytest

from oilwedge.errors import InputError, OutOfRangeError
from oilwedge.film.path_groove import GroovePlace, PathGroove
from oilwedge.report.terminal import render_terminal
from oilwedge.usecases.film_path import EndsChoice, FilmPathQuestion, Route, Rupture, solve_path
from oilwedge.usecases.film_path_document import path_document
from oilwedge.usecases.film_path_json import path_json


def loads(folder: Path, force: float, *, turn: float = 0.0) -> Path:
    rows = ["angle [deg],fx [N],fy [N]"]
    for angle in range(0, 720, 5):
        place = turn * math.radians(angle)
        rows.append(f"{angle},{force * math.cos(place):.6f},{force * math.sin(place):.6f}")
    file = folder / "loads.csv"
    file.write_text("\n".join(rows), encoding="utf-8")
    return file


@pytest.fixture
def question(tmp_path: Path) -> FilmPathQuestion:
    return FilmPathQuestion(
        loads=loads(tmp_path, 5000.0),
        diameter="50mm",
        width="25mm",
        clearance="50um",
        viscosity="10mPa.s",
        speed="3000rpm",
    )


def told(question: FilmPathQuestion) -> dict[str, object]:
    calls: list[None] = []
    return path_json(solve_path(question, when_compiling=lambda: calls.append(None)))


def test_answer_holds_what_was_promised(question: FilmPathQuestion) -> None:
    values = told(question)
    for name in (
        "minimum_film_um",
        "minimum_film_angle_deg",
        "peak_pressure_mpa",
        "mean_friction_power_w",
    ):
        assert isinstance(values[name], float)
    assert values["converged"] is True
    path = values["path"]
    assert isinstance(path, list)
    assert path[0]["angle_deg"] == 0.0
    assert path[-1]["angle_deg"] == pytest.approx(720.0)
    assert path[0]["film_um"] == pytest.approx(values["minimum_film_um"], rel=1e-3)
    json.dumps(values, allow_nan=False)


def test_person_reads_film_and_conditions(question: FilmPathQuestion) -> None:
    answer = solve_path(question, when_compiling=lambda: None)
    text = " ".join(render_terminal(path_document(answer), columns=80).split())
    assert f"{answer.orbit.minimum_film_m * 1e6:.2f} µm" in text
    assert "no groove, ends open" in text
    assert "does not overrule the maker's limits" in text


def test_thicker_oil_keeps_a_thicker_film(question: FilmPathQuestion) -> None:
    thin, thick = told(question), told(replace(question, viscosity="20 mPa s"))
    assert thick["minimum_film_um"] > thin["minimum_film_um"]  # type: ignore[operator]
    assert thick["mean_friction_power_w"] > thin["mean_friction_power_w"]  # type: ignore[operator]


@pytest.mark.parametrize("name", ["diameter", "width", "clearance", "viscosity", "speed"])
@pytest.mark.parametrize("value", ["0", "-1"])
def test_nothing_or_less_is_refused_at_its_option(
    question: FilmPathQuestion, name: str, value: str
) -> None:
    units = {"viscosity": "mPa s", "speed": "rpm"}
    with pytest.raises(InputError, match="more than 0") as caught:
        told(replace(question, **{name: f"{value} {units.get(name, 'mm')}"}))  # type: ignore[arg-type]
    assert str(caught.value).startswith(f"--{name}: ")


def test_missing_unit_is_refused(question: FilmPathQuestion) -> None:
    with pytest.raises(InputError, match=r"--clearance: .*unit is missing"):
        told(replace(question, clearance="0.05"))


def test_light_load_at_half_speed_is_said_to_thin(
    question: FilmPathQuestion, tmp_path: Path
) -> None:
    values = told(replace(question, loads=loads(tmp_path, 20.0, turn=0.5)))
    assert values["converged"] is False
    assert isinstance(values["residual"], float)
    assert values["residual"] > 1e-4
    fault = values["fault"]
    assert isinstance(fault, str)
    assert "half the journal's speed" in fault
    assert "\n" not in fault
    json.dumps(values, allow_nan=False)


def test_whole_film_of_the_same_physics_refuses_a_load_that_thins_without_running(
    question: FilmPathQuestion, tmp_path: Path
) -> None:
    cycles: list[int] = []
    with pytest.raises(OutOfRangeError, match="half the journal's speed"):
        solve_path(
            replace(question, route=Route.TRANSIENT, loads=loads(tmp_path, 20.0, turn=0.5)),
            when_compiling=lambda: None,
            when_cycle=lambda cycle, residual: cycles.append(cycle),
        )
    assert cycles == []


def test_lines_asked_for_are_those_of_the_whole_film(question: FilmPathQuestion) -> None:
    coarse, usual = (
        told(replace(question, route=Route.TRANSIENT, lines=lines)) for lines in (90, 180)
    )
    assert isinstance(coarse["grid"], dict)
    assert isinstance(usual["grid"], dict)
    assert (coarse["grid"]["around"], usual["grid"]["around"]) == (90, 180)
    assert coarse["minimum_film_um"] != usual["minimum_film_um"]


def test_lines_that_no_grid_has_are_refused(question: FilmPathQuestion) -> None:
    with pytest.raises(OutOfRangeError, match="24 to 2000 lines"):
        told(replace(question, route=Route.TRANSIENT, lines=3))


def test_load_above_any_film_is_said(question: FilmPathQuestion, tmp_path: Path) -> None:
    with pytest.raises(OutOfRangeError, match="above what this film carries"):
        told(replace(question, loads=loads(tmp_path, 9e7)))


def test_a_half_groove_under_the_load_thins_the_film_and_one_above_leaves_it(
    question: FilmPathQuestion,
) -> None:
    plain = told(question)["minimum_film_um"]
    under, above = (
        told(
            replace(question, groove=GroovePlace(kind=PathGroove.HALF, width_m=4e-3, angle_rad=at))
        )
        for at in (0.0, math.pi)
    )
    assert isinstance(plain, float)
    assert isinstance(under["minimum_film_um"], float)
    assert under["minimum_film_um"] < 0.7 * plain
    assert above["minimum_film_um"] == pytest.approx(plain, rel=0.02)
    assert under["groove"] == "half"
    assert "half groove 4.0 mm wide in the middle, about 0°" in str(under["conditions"])


def test_share_under_a_chosen_film_is_told(question: FilmPathQuestion) -> None:
    film_um = told(question)["minimum_film_um"]
    assert isinstance(film_um, float)
    above, below = (
        told(replace(question, film=f"{film_um * part}um"))["share_below_chosen"]
        for part in (1.01, 0.99)
    )
    assert (above, below) == (1.0, 0.0)
    assert told(question)["share_below_chosen"] is None


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"rupture": Rupture.MASS_CONSERVING}, "--rupture: given 'mass-conserving'"),
        ({"ends": EndsChoice.FLOODED}, "--ends: given 'flooded'"),
        ({"supply_pressure": "3bar"}, "--supply-pressure: given '3bar'"),
        ({"route": Route.TRANSIENT, "supply_pressure": "3bar"}, "needs a groove"),
        (
            {
                "route": Route.TRANSIENT,
                "groove": GroovePlace(kind=PathGroove.HOLE, width_m=0.005),
            },
            "--groove: given 'hole'",
        ),
        (
            {
                "route": Route.TRANSIENT,
                "rupture": Rupture.MASS_CONSERVING,
                "ends": EndsChoice.OPEN,
            },
            "come in somewhere",
        ),
    ],
)
def test_what_a_route_does_not_solve_is_refused(
    question: FilmPathQuestion, changed: dict[str, object], words: str
) -> None:
    with pytest.raises(InputError) as caught:
        told(replace(question, **changed))  # type: ignore[arg-type]
    assert words in str(caught.value)


def test_whole_film_tells_the_quick_route_beside_it(question: FilmPathQuestion) -> None:
    values = told(replace(question, route=Route.TRANSIENT))
    assert values["route"] == "transient"
    assert values["converged"] is True
    quick, whole = values["mobility_minimum_film_um"], values["minimum_film_um"]
    assert quick == told(question)["minimum_film_um"]
    assert isinstance(quick, float)
    assert isinstance(whole, float)
    difference = values["mobility_difference_percent"]
    assert difference == pytest.approx((quick / whole - 1.0) * 100.0)
    assert isinstance(difference, float)
    assert abs(difference) < 2.0
    assert values["mass_error"] is None
    assert isinstance(values["oil_flow_l_min"], float)
    json.dumps(values, allow_nan=False)


def test_film_that_keeps_its_oil_stands_in_oil_and_says_so(question: FilmPathQuestion) -> None:
    question = replace(question, route=Route.TRANSIENT, rupture=Rupture.MASS_CONSERVING)
    cycles: list[int] = []
    answer = solve_path(
        question,
        when_compiling=lambda: None,
        when_cycle=lambda cycle, residual: cycles.append(cycle),
    )
    values = path_json(answer)
    assert values["ends"] == "flooded"
    assert "ends flooded" in str(values["conditions"])
    assert abs(float(str(values["mass_error"]))) < 1e-6
    assert cycles == list(range(1, answer.orbit.cycles + 1))
    text = " ".join(render_terminal(path_document(answer), columns=80).split())
    assert "By the mobility route" in text
    assert "Oil not accounted for" in text


def test_groove_under_pressure_feeds_a_film_with_open_ends(question: FilmPathQuestion) -> None:
    values = told(
        replace(
            question,
            route=Route.TRANSIENT,
            rupture=Rupture.MASS_CONSERVING,
            groove=GroovePlace(kind=PathGroove.FULL, width_m=0.004),
            supply_pressure="4 bar",
        )
    )
    assert values["ends"] == "open"
    assert "at 4.0 bar over the surroundings" in str(values["conditions"])
    assert float(str(values["oil_flow_l_min"])) > 0.0
