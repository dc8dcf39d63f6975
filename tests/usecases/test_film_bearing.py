from __future__ import annotations

import json
import math

import pytest

from oilwedge.errors import InputError
from oilwedge.report.document import KeyValues
from oilwedge.usecases.film_bearing import (
    BearingCase,
    Groove,
    Rupture,
    film_document,
    film_json,
    read_case,
    solve,
)

TYPED = {
    "diameter": "50mm",
    "width": "25mm",
    "clearance": "50um",
    "viscosity": "10mPa.s",
    "speed": "3000rpm",
    "load": "5kN",
}


def case(**change: object) -> BearingCase:
    return read_case(**(TYPED | change))  # type: ignore[arg-type]


def test_what_is_typed_is_read_into_si() -> None:
    found = case()
    assert found.bearing.diameter_m == pytest.approx(0.05)
    assert found.bearing.radial_clearance_m == pytest.approx(25e-6)
    assert found.oil == pytest.approx(0.01)
    assert found.speed_rad_s == pytest.approx(100 * math.pi)
    assert found.load_n == pytest.approx(5000.0)
    assert (found.rupture, found.bearing.groove) == (Rupture.REYNOLDS, Groove.AXIAL)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"clearance": "0 um"}, "--clearance: given '0 um'; a length of more than 0"),
        ({"clearance": "-5 um"}, "--clearance: given '-5 um'; a length of more than 0"),
        ({"clearance": "50"}, "--clearance: given '50'; the unit is missing"),
        ({"speed": "0rpm"}, "--speed: given '0rpm'; a speed of rotation of more than 0"),
        ({"viscosity": "10 cSt"}, "--viscosity: given '10 cSt'; 'cSt' is a unit of kinematic"),
        ({"viscosity": ""}, "The oil is needed once"),
        ({"oil": "5W-30"}, "The oil is needed once"),
        ({"supply_temperature": "90C"}, "The oil is needed once"),
        ({"viscosity": "", "oil": "5W-30"}, "--supply-temperature"),
        ({"load": "heavy"}, "--load: given 'heavy'; a number is needed"),
        ({"width": "25 m"}, "widths of 0.02 to 4 diameters"),
        ({"groove_width": "3mm"}, "only a circumferential groove"),
    ],
)
def test_bad_input_gets_one_sentence_with_its_place(change: dict[str, str], words: str) -> None:
    with pytest.raises(InputError) as caught:
        case(**change)
    assert words in str(caught.value)
    assert "\n" not in str(caught.value)


def test_json_has_the_agreed_keys_and_the_film_of_its_sommerfeld_number() -> None:
    film = solve(case(), when_compiling=lambda: None)
    found = json.loads(json.dumps(film_json(film), allow_nan=False))
    assert found["sommerfeld_number"] == pytest.approx(1000**2 * 0.01 * 50 / 4e6, rel=1e-12)
    assert found["minimum_film_um"] == pytest.approx(25 * (1 - found["eccentricity_ratio"]))
    assert found["film_temperature_c"] is None
    assert found["convergence"]["converged"] is True
    assert abs(found["convergence"]["load_error"]) < 1e-6
    assert {
        "attitude_angle_deg",
        "peak_pressure_mpa",
        "friction_power_w",
        "side_flow_l_min",
        "groove_flow_l_min",
    } <= set(found)
    assert found["friction_power_w"] == pytest.approx(found["friction_moment_n_m"] * 100 * math.pi)
    assert found["side_flow_l_min"] == pytest.approx(film.film.side_flow_m3_s * 60e3)


def test_the_page_says_feed_and_rupture_and_does_not_overrule() -> None:
    film = solve(case(), when_compiling=lambda: None)
    document = film_document(film)
    pairs = next(block for block in document.blocks if isinstance(block, KeyValues)).pairs
    text = " ".join(" ".join(pair) for pair in pairs)
    assert "axial groove over the full width, at the largest gap, 0 bar" in text
    assert "Reynolds condition" in text
    assert "load met to" in text
    assert "6.01 µm" in text


def test_compiling_is_told_only_where_the_cache_is_missing(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    calls: list[int] = []
    for compiled, told in ((True, 0), (False, 1)):

        def answer(*, groove: Groove, rupture: Rupture, compiled: bool = compiled) -> bool:
            return compiled

        monkeypatch.setattr("oilwedge.film.compiled.is_compiled", answer)
        solve(case(), when_compiling=lambda: calls.append(1))
        assert len(calls) == told


def test_an_oil_by_its_grade_gives_a_band_and_the_thin_end_on_top() -> None:
    typed = case(viscosity="", oil="5W-30", supply_temperature="90C")
    answer = solve(typed, when_compiling=lambda: None)
    found = json.loads(json.dumps(film_json(answer), allow_nan=False))
    assert found["film_temperature_c"] > 90.0
    assert found["heat_balance"]["supply_temperature_c"] == pytest.approx(90.0)
    assert abs(found["heat_balance"]["residual_k"]) <= 0.01
    assert found["minimum_film_um"] < found["thickest_oil"]["minimum_film_um"]
    pairs = next(b for b in film_document(answer).blocks if isinstance(b, KeyValues)).pairs
    assert {"Film temperature", "With the thickest"} <= {name for name, _ in pairs}


def test_a_whole_data_sheet_gives_one_oil() -> None:
    sheet = ("40C=68 mm2/s; 100C=10.5 mm2/s; 15C=870 kg/m3; HTHS=3.1 mPa.s",)
    typed = case(viscosity="", data_sheet=sheet, supply_temperature="90C")
    answer = solve(typed, when_compiling=lambda: None)
    assert answer.thinnest is answer.thickest
    assert answer.thinnest is not None
    assert answer.thinnest.film is answer.film
