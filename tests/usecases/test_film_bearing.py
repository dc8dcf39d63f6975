from __future__ import annotations

import json
import math

import pytest

from oilwedge.errors import InputError
from oilwedge.film.bearing import Groove
from oilwedge.report.document import KeyValues
from oilwedge.usecases.film_bearing import (
    BearingCase,
    Feed,
    MeasuredTyped,
    Rupture,
    read_case,
    solve,
)
from oilwedge.usecases.film_bearing_document import film_document, film_json

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
    assert found.measured.is_plain


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
        ({"measured": MeasuredTyped(groove_width="3mm")}, "only a circumferential or half groove"),
    ],
)
def test_bad_input_gets_one_sentence_with_its_place(change: dict[str, object], words: str) -> None:
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


MEASURED = MeasuredTyped(
    load_angle="30deg",
    taper="8um",
    barrel="-2um",
    out_of_round="3um",
    bore_relief="15um",
    split_angle="100deg",
    tilt="5um",
    tilt_angle="90deg",
    groove=Feed.HALF,
    groove_angle="210deg",
    groove_width="4mm",
    supply_pressure="3bar",
)


def test_the_gap_as_measured_is_read_into_si() -> None:
    found = case(measured=MEASURED, rupture=Rupture.MASS_CONSERVING).measured
    assert not found.is_plain
    assert found.load_angle_rad == pytest.approx(math.radians(30.0))
    shape = found.shape
    assert (shape.journal_taper_m, shape.journal_barrel_m) == pytest.approx((8e-6, -2e-6))
    assert (shape.tilt_x_rad, shape.tilt_y_rad) == pytest.approx((0.0, 5e-6 / 0.025))
    assert shape.split_angle_rad == pytest.approx(math.radians(100.0))
    assert found.feed.angle_rad == pytest.approx(math.radians(120.0))
    assert found.feed.end_angle_rad == pytest.approx(math.radians(300.0))
    assert found.feed.supply_pressure_pa == pytest.approx(3e5)


def test_json_echoes_shape_and_feed_and_says_where_the_film_is_thin() -> None:
    answer = solve(
        case(measured=MEASURED, rupture=Rupture.MASS_CONSERVING), when_compiling=lambda: None
    )
    found = json.loads(json.dumps(film_json(answer), allow_nan=False))
    assert found["shape"] == pytest.approx(
        {
            "taper_um": 8.0,
            "barrel_um": -2.0,
            "out_of_round_um": 3.0,
            "bore_relief_um": 15.0,
            "split_angle_deg": 100.0,
            "tilt_um": 5.0,
            "tilt_angle_deg": 90.0,
            "journal_turns_tried": 36,
        }
    )
    assert (found["groove"], found["groove_span_deg"]) == ("half", pytest.approx(180.0))
    assert found["groove_angle_deg"] == pytest.approx(210.0)
    assert found["load_angle_deg"] == pytest.approx(30.0)
    assert found["minimum_film_place_mm"] == pytest.approx(12.5)
    assert 30.0 < found["minimum_film_angle_deg"] < 90.0
    assert abs(found["convergence"]["mass_error"]) < 1e-6
    pairs = dict(
        next(b for b in film_document(answer).blocks if isinstance(b, KeyValues)).pairs[3:]
    )
    assert "taper 8 µm, thick end at the front; hourglass 2 µm" in pairs["Gap"]
    assert "half groove 4 mm wide in the middle, from 120° to 300°" in pairs["Feed"]
    assert "the worst of 36" in pairs["Turn of the journal"]


def test_a_round_gap_tells_where_it_is_thin_from_the_same_axis() -> None:
    plain = solve(case(measured=MeasuredTyped(load_angle="40deg")), when_compiling=lambda: None)
    axial = solve(
        case(measured=MeasuredTyped(load_angle="40deg", taper="1e-6um")),
        when_compiling=lambda: None,
    )
    first, second = film_json(plain), film_json(axial)
    for key in ("minimum_film_angle_deg", "peak_pressure_angle_deg", "minimum_film_um"):
        assert second[key] == pytest.approx(first[key], rel=1e-3)


@pytest.mark.parametrize(
    ("measured", "words"),
    [
        (MeasuredTyped(taper="5"), "--taper: given '5'; the unit is missing"),
        (MeasuredTyped(taper="90um", tilt="20um"), "must not touch"),
        (MeasuredTyped(out_of_round="-2um"), "0 or more"),
        (MeasuredTyped(split_angle="90deg"), "--split-angle"),
        (MeasuredTyped(tilt_angle="90deg"), "--tilt-angle"),
        (MeasuredTyped(tilt="3mm"), "leans"),
        (MeasuredTyped(groove=Feed.HOLE, groove_width="5mm"), "--groove-angle"),
        (MeasuredTyped(groove=Feed.HALF, groove_angle="180deg"), "--groove-width"),
        (MeasuredTyped(groove_span="180deg"), "--groove-span"),
        (
            MeasuredTyped(
                groove=Feed.HALF, groove_angle="0deg", groove_width="4mm", groove_span="5deg"
            ),
            "10° to 350°",
        ),
    ],
)
def test_bad_measures_get_one_sentence(measured: MeasuredTyped, words: str) -> None:
    with pytest.raises(InputError) as caught:
        solve(case(measured=measured), when_compiling=lambda: None)
    assert words in str(caught.value)
    assert "\n" not in str(caught.value)


def test_a_measured_gap_warms_up_by_the_oil_it_takes_in() -> None:
    oil: dict[str, object] = {"viscosity": "", "oil": "5W-30", "supply_temperature": "90C"}
    line = MeasuredTyped(groove_angle="180deg", out_of_round="2um")
    with pytest.raises(InputError, match="mass-conserving"):
        solve(case(measured=line, **oil), when_compiling=lambda: None)
    answer = solve(
        case(measured=line, rupture=Rupture.MASS_CONSERVING, **oil), when_compiling=lambda: None
    )
    found = film_json(answer)
    assert answer.thinnest is not None
    assert answer.thinnest.film_temperature_c > 90.0
    assert found["groove_angle_deg"] == pytest.approx(180.0)
    assert answer.thinnest.film is answer.film


def test_fresh_oil_is_told_only_by_a_condition_that_makes_none() -> None:
    relieved = MeasuredTyped(bore_relief="20um", split_angle="0deg")
    by_reynolds, kept = (
        film_json(solve(case(measured=relieved, rupture=rupture), when_compiling=lambda: None))
        for rupture in (Rupture.REYNOLDS, Rupture.MASS_CONSERVING)
    )
    assert by_reynolds["fresh_flow_l_min"] is None
    side = kept["side_flow_l_min"]
    assert kept["fresh_flow_l_min"] == pytest.approx(side, rel=1e-6)
    plain = film_json(solve(case(), when_compiling=lambda: None))
    assert plain["fresh_flow_l_min"] is not None
