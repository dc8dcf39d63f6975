"""A bearing of an invented engine as the film's science takes it."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

import oilwedge
from oilwedge.engine.file import read_engine
from oilwedge.engine.model import Engine, SizeRange
from oilwedge.engine.running import BearingData, Groove
from oilwedge.film.cycle_film import solve_cycle
from oilwedge.film.hot_clearance import hot_clearance_m
from oilwedge.film.path_groove import PathGroove
from oilwedge.tables.expansion import expansion_coefficient
from oilwedge.usecases.crank_loads import EngineLoads, engine_loads
from oilwedge.usecases.film_case import Cased, bearing_case
from oilwedge.usecases.film_oil import chosen_oil

DEMO = Path(oilwedge.__file__).parent / "demo"


@pytest.fixture(scope="module")
def four() -> Engine:
    return read_engine((DEMO / "four.toml").read_text(encoding="utf-8"), file="four.toml")


@pytest.fixture(scope="module")
def loads(four: Engine) -> EngineLoads:
    return engine_loads(engine=four, condition="full load", folder=DEMO)


def cased(engine: Engine, loads: EngineLoads, key: str, **data: object) -> Cased:
    load = loads.bearing(key)
    changed: BearingData = replace(load.data, **data)  # type: ignore[arg-type]
    return bearing_case(
        engine=engine, loads=loads, load=replace(load, data=changed), chosen_film_m=2e-6
    )


def test_case_has_what_the_file_says(four: Engine, loads: EngineLoads) -> None:
    case = cased(four, loads, "main 3").case
    assert case.width_m == pytest.approx(0.0195)
    assert case.groove is PathGroove.HALF
    assert case.groove_width_m == pytest.approx(0.0035)
    assert case.supply_temperature_c == pytest.approx(110.0)
    assert case.supply_pressure_pa == pytest.approx(3.5e5)
    assert case.chosen_film_m == 2e-6
    assert case.roughness_m == pytest.approx((0.12**2 + 0.35**2) ** 0.5 * 1e-6)


def test_a_half_groove_lies_where_the_file_says(four: Engine, loads: EngineLoads) -> None:
    assert cased(four, loads, "main 3").case.place.angle_rad == 0.0
    turned = cased(four, loads, "main 3", groove_angle_deg=180.0).case
    assert turned.place.angle_rad == pytest.approx(math.pi)


def test_a_half_groove_in_the_cap_leaves_less_film_under_firing(
    four: Engine, loads: EngineLoads
) -> None:
    """Firing presses the crank into the cap; the groove there parts the film that carries it."""
    oil = chosen_oil(engine=four).oil
    block, cap = (
        solve_cycle(
            case=cased(four, loads, "main 2", groove_angle_deg=angle).case,
            oil=oil,
            cold_clearance_m=38e-6,
        )
        for angle in (0.0, 180.0)
    )
    assert cap.minimum_film_m < 0.8 * block.minimum_film_m


def test_without_both_roughnesses_there_is_no_film_ratio(four: Engine, loads: EngineLoads) -> None:
    assert cased(four, loads, "rod 1", shell_roughness_m=None).case.roughness_m is None


def test_parts_of_one_material_and_warmth_keep_their_clearance(
    four: Engine, loads: EngineLoads
) -> None:
    steel = {
        **four.features,
        "rod_journal": replace(four.features["rod_journal"], material="steel"),
    }
    case = cased(
        replace(four, features=steel),
        loads,
        "rod 1",
        housing_material="steel",
        journal_temperature_over_oil_k=0.0,
        housing_temperature_over_oil_k=0.0,
    ).case
    assert case.hot_fit is not None
    hot = hot_clearance_m(
        cold_clearance_m=35e-6, diameter_m=0.048, fit=case.hot_fit, oil_temperature_c=110.0
    )
    # One material at one temperature grows as a whole, gap and all: 90 K of 11 to 12 ppm/K.
    assert float(hot) == pytest.approx(35e-6, rel=2e-3)


def test_light_alloy_housing_opens_the_clearance_and_says_so(
    four: Engine, loads: EngineLoads
) -> None:
    iron = cased(four, loads, "main 1", housing_material="cast iron")
    light = cased(four, loads, "main 1", housing_material="aluminium")
    assert iron.case.hot_fit is not None
    assert light.case.hot_fit is not None
    assert light.case.hot_fit.housing_expansion_per_k == pytest.approx(
        expansion_coefficient("aluminium").value_per_k
    )
    open_m, closed_m = (
        float(
            hot_clearance_m(
                cold_clearance_m=38e-6, diameter_m=0.055, fit=one, oil_temperature_c=110.0
            )
        )
        for one in (light.case.hot_fit, iron.case.hot_fit)
    )
    assert open_m > closed_m + 30e-6
    assert any("grow freely" in text for text in light.assumptions)
    assert not any("grow freely" in text for text in iron.assumptions)


def test_wall_is_that_of_the_shell_else_half_of_what_is_between(
    four: Engine, loads: EngineLoads
) -> None:
    fit = cased(four, loads, "rod 1").case.hot_fit
    assert fit is not None
    assert fit.shell_wall_m == pytest.approx(1.5e-3)  # of 1.497 to 1.503 mm in its file
    bare = {key: one for key, one in four.features.items() if key != "rod_upper_wall"}
    between = cased(replace(four, features=bare), loads, "rod 1").case.hot_fit
    assert between is not None
    assert between.shell_wall_m == pytest.approx(1.5e-3, abs=0.02e-3)


def test_a_shell_of_another_size_has_a_wall_of_its_own(four: Engine, loads: EngineLoads) -> None:
    wall = four.features["rod_upper_wall"]
    thicker = replace(wall, exceptions={2: SizeRange(low_m=1.747e-3, high_m=1.753e-3)})
    engine = replace(four, features={**four.features, "rod_upper_wall": thicker})
    fits = [cased(engine, loads, key).case.hot_fit for key in ("rod 1", "rod 2")]
    assert [fit.shell_wall_m for fit in fits if fit is not None] == pytest.approx([1.5e-3, 1.75e-3])


def test_each_part_grows_by_its_own_material_and_warmth(four: Engine, loads: EngineLoads) -> None:
    features = {
        **four.features,
        "rod_journal": replace(four.features["rod_journal"], material="cast iron"),
    }
    fit = cased(
        replace(four, features=features),
        loads,
        "rod 1",
        housing_material="aluminium",
        journal_temperature_over_oil_k=12.0,
        housing_temperature_over_oil_k=-5.0,
    ).case.hot_fit
    assert fit is not None
    found = (
        fit.journal_expansion_per_k,
        fit.housing_expansion_per_k,
        fit.shell_expansion_per_k,
    )
    parts = ("cast iron", "aluminium", "steel")
    assert found == tuple(expansion_coefficient(part).value_per_k for part in parts)
    assert len(set(found)) == 3
    assert (fit.journal_over_oil_k, fit.housing_over_oil_k) == (12.0, -5.0)


def test_loads_with_and_without_gas_keep_their_places(four: Engine, loads: EngineLoads) -> None:
    load = loads.bearing("rod 1")
    case = cased(four, loads, "rod 1").case
    assert case.history is load.history
    assert case.without_gas is load.without_gas
    # In the dead centre of firing gas presses on the rod, and the masses alone pull at it.
    top = int(np.argmin(np.abs(load.history.angle_rad)))
    assert case.history.force_x_n[top] != pytest.approx(case.without_gas.force_x_n[top])


def test_nothing_known_of_the_shells_is_said(four: Engine, loads: EngineLoads) -> None:
    bare = {
        key: one
        for key, one in four.features.items()
        if key not in ("rod_upper_wall", "rod_housing_bore")
    }
    found = cased(replace(four, features=bare), loads, "rod 1")
    assert any("How thick the shells of the big ends are" in text for text in found.assumptions)


def test_hole_is_left_out_of_the_film_and_says_so(four: Engine, loads: EngineLoads) -> None:
    found = cased(four, loads, "rod 1", groove=Groove.HOLE, hole_diameter_m=5e-3)
    assert found.case.hole_diameter_m == pytest.approx(5e-3)
    assert any("oil hole" in text for text in found.assumptions)


def test_oil_pressure_that_nobody_gives_is_said(four: Engine, loads: EngineLoads) -> None:
    without = replace(loads, condition=replace(loads.condition, oil_pressure_pa=None))
    assert any("oil pressure" in text for text in cased(four, without, "rod 1").assumptions)
    assert not any("oil pressure" in text for text in cased(four, loads, "rod 1").assumptions)
