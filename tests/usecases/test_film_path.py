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
from oilwedge.usecases.film_path import FilmPathQuestion, path_document, path_json, solve_path


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
    orbit = solve_path(question, when_compiling=lambda: calls.append(None))
    return path_json(orbit, groove=question.groove)


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
    orbit = solve_path(question, when_compiling=lambda: None)
    text = " ".join(render_terminal(path_document(orbit), columns=80).split())
    assert f"{orbit.minimum_film_m * 1e6:.2f} µm" in text
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
    with pytest.raises(OutOfRangeError, match="half the journal's speed") as caught:
        told(replace(question, loads=loads(tmp_path, 20.0, turn=0.5)))
    assert "\n" not in str(caught.value)


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
