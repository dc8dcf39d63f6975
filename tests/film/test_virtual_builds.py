"""Virtual builds against builds solved one by one, and what is said where none can be."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from oilwedge.errors import InputError, OutOfRangeError
from oilwedge.film import build_films
from oilwedge.film.bearing_case import case_orbit
from oilwedge.film.build_films import solve_builds
from oilwedge.film.build_sample import BuildInputs, inputs_of, sobol_points
from oilwedge.film.cycle_film import solve_cycle
from oilwedge.film.hot_clearance import HotFit
from oilwedge.film.oil_band import band_of_grade, band_of_oil
from oilwedge.film.orbit_family import OrbitFamily, solve_family
from oilwedge.film.path_groove import PathGroove
from oilwedge.film.virtual_builds import (
    BuildBands,
    Factor,
    Spread,
    draw_builds,
)
from oilwedge.tables.oil_grades import find_grade

from .cycle_made_up import CLEARANCE, NEWTONIAN, OIL, loaded, made_up, measured

SPREAD = Spread()
NO_SPREAD = Spread(viscosity=0.0, supply_temperature_k=0.0, gas_pressure=0.0, mass=0.0)
KNOWN = band_of_oil(NEWTONIAN)
IRON = HotFit(
    journal_expansion_per_k=12e-6,
    housing_expansion_per_k=11e-6,
    shell_expansion_per_k=12e-6,
    shell_wall_m=1.5e-3,
    journal_over_oil_k=10.0,
    housing_over_oil_k=0.0,
)


def some_inputs(count: int, spread: Spread = SPREAD) -> BuildInputs:
    points = sobol_points(dimensions=5, count=count, seed=11)
    return inputs_of(bearing=measured(), oil=KNOWN, spread=spread, points=points)


@pytest.mark.parametrize(
    "changed",
    [
        {},
        {"hot_fit": IRON},
        {"groove": PathGroove.FULL, "groove_width_m": 3e-3, "hole_diameter_m": 0.0},
        {"groove": PathGroove.HALF, "groove_width_m": 4e-3, "hole_diameter_m": 0.0},
    ],
)
def test_each_build_is_the_one_that_is_solved_by_itself(changed: dict[str, object]) -> None:
    """Brute force: clearance, supply, gas and masses drawn, every film from its own orbits."""
    case = made_up(**changed)
    found = solve_builds(case=case, inputs=some_inputs(24, replace(SPREAD, viscosity=0.0)))
    inputs = some_inputs(24, replace(SPREAD, viscosity=0.0))
    assert found.inside.all()
    for place in range(24):
        own = replace(
            case,
            supply_temperature_c=float(inputs.supply_temperature_c[place]),
            history=loaded(
                gas=float(inputs.gas_scale[place]), mass=float(inputs.mass_scale[place])
            ),
        )
        alone = solve_cycle(
            case=own, oil=NEWTONIAN, cold_clearance_m=float(inputs.cold_clearance_m[place])
        )
        assert found.hot_clearance_m[place] == pytest.approx(alone.hot_clearance_m, rel=1e-9)
        assert found.film_temperature_c[place] == pytest.approx(alone.film_temperature_c, abs=0.03)
        for many, one in (
            (found.minimum_film_m, alone.minimum_film_m),
            (found.friction_power_w, alone.mean_friction_power_w),
            (found.oil_flow_m3_s, alone.oil_flow_m3_s),
            (found.peak_pressure_pa, alone.orbit.peak_pressure_pa),
        ):
            assert many[place] == pytest.approx(one, rel=2e-3)


def test_a_build_of_thicker_oil_runs_at_that_viscosity() -> None:
    spread = Spread(viscosity=0.1, supply_temperature_k=0.0, gas_pressure=0.0, mass=0.0)
    points = np.full((200, 5), 0.5)
    points[:, 1] = np.linspace(0.05, 0.95, 200)
    inputs = inputs_of(bearing=measured(clearance_u_m=0.0), oil=KNOWN, spread=spread, points=points)
    found = solve_builds(case=made_up(), inputs=inputs)
    for place in (0, 90, 199):
        warm = float(found.film_temperature_c[place])
        viscosity = NEWTONIAN.dynamic_viscosity_pa_s(warm) * float(inputs.oil.scale[place])
        direct = case_orbit(
            case=made_up(),
            history=loaded(),
            hot_clearance_m=CLEARANCE,
            viscosity_pa_s=viscosity,
        )
        assert found.minimum_film_m[place] == pytest.approx(direct.minimum_film_m, rel=1e-3)
        heat = float(NEWTONIAN.volumetric_heats_j_m3_k(warm))
        carried = 2.0 * heat * found.oil_flow_m3_s[place] * (warm - 100.0)
        assert carried == pytest.approx(found.friction_power_w[place], rel=0.003)


def bands(seed: int = 1, workers: int = 2) -> BuildBands:
    bearings = (
        measured(),
        measured(case=made_up(width_m=0.024), clearance_u_m=1e-6),
        measured(case=made_up(history=loaded(size=1.2), without_gas=loaded(gas=0.0, size=1.2))),
    )
    return draw_builds(
        bearings=bearings,
        oil=KNOWN,
        spread=SPREAD,
        count=1000,
        seed=seed,
        sensitivity_base=256,
        workers=workers,
    )


def test_a_seed_gives_the_same_bands_with_any_number_of_threads() -> None:
    assert bands(workers=1) == bands(workers=3)
    other = bands(seed=2)
    assert other != bands()
    assert other.thinnest_film_m.median == pytest.approx(bands().thinnest_film_m.median, rel=0.01)


def test_bands_are_the_percentiles_of_builds_solved_one_by_one() -> None:
    """100 builds of one bearing, all orbits direct, against the percentiles of the same draws."""
    spread = replace(SPREAD, viscosity=0.0)
    found = draw_builds(
        bearings=(measured(),), oil=KNOWN, spread=spread, count=100, sensitivity_base=16, seed=3
    )
    points = sobol_points(dimensions=5, count=100, seed=3)[:, [4, 0, 1, 2, 3]]
    inputs = inputs_of(bearing=measured(), oil=KNOWN, spread=spread, points=points)
    films, temperatures = [], []
    for clearance, supply, gas, mass in zip(
        inputs.cold_clearance_m,
        inputs.supply_temperature_c,
        inputs.gas_scale,
        inputs.mass_scale,
        strict=True,
    ):
        case = made_up(
            supply_temperature_c=float(supply), history=loaded(gas=float(gas), mass=float(mass))
        )
        alone = solve_cycle(case=case, oil=NEWTONIAN, cold_clearance_m=float(clearance))
        films.append(alone.minimum_film_m)
        temperatures.append(alone.film_temperature_c)
    band = found.bearings[0]
    for got, values in ((band.minimum_film_m, films), (band.film_temperature_c, temperatures)):
        low, median, high = np.quantile(values, (0.025, 0.5, 0.975))
        assert (got.low, got.median, got.high) == pytest.approx((low, median, high), rel=1e-3)
        assert not any((got.low_is_bound, got.median_is_bound, got.high_is_bound))
    assert band.outside == 0


def test_what_bearings_share_is_shared() -> None:
    """Twins but for a clearance without uncertainty: in each build they differ by nothing."""
    twin = measured(clearance_u_m=0.0)
    found = draw_builds(
        bearings=(twin, twin), oil=KNOWN, spread=SPREAD, count=256, sensitivity_base=64
    )
    assert found.thinnest_film_m == found.bearings[0].minimum_film_m
    assert found.bearings[0] == found.bearings[1]
    assert found.thinnest_shares == (1.0, 0.0)


def test_twins_have_each_a_clearance_of_their_own() -> None:
    """The least of two that are independent and alike: under x with 1 − (1 − F(x))².

    So its quantile at p is that of one at 1 − √(1 − p) (order statistics; any textbook, RECALLED).
    """
    twin = measured()
    found = draw_builds(
        bearings=(twin, twin), oil=KNOWN, spread=NO_SPREAD, count=4096, sensitivity_base=16
    )
    assert found.thinnest_shares == pytest.approx((0.5, 0.5), abs=0.02)
    points = np.full((4096, 5), 0.5)
    points[:, 0] = (np.arange(4096) + 0.5) / 4096.0
    inputs = inputs_of(bearing=twin, oil=KNOWN, spread=NO_SPREAD, points=points)
    one = solve_builds(case=twin.case, inputs=inputs).minimum_film_m
    least = np.quantile(one, [1.0 - math.sqrt(1.0 - p) for p in (0.025, 0.5, 0.975)])
    band, alone = found.thinnest_film_m, found.bearings[1].minimum_film_m
    width = alone.high - alone.low
    assert (band.low, band.median, band.high) == pytest.approx(tuple(least), abs=0.02 * width)
    assert band.median < alone.median - 0.1 * width


def test_the_engine_is_as_thin_as_its_thinnest_bearing() -> None:
    found = bands()
    assert sum(found.thinnest_shares) == pytest.approx(1.0)
    assert found.thinnest_shares[2] > 0.5
    assert found.thinnest_film_m.median <= min(
        band.minimum_film_m.median for band in found.bearings
    )
    assert found.count == 1000
    assert found.seed == 1


def test_only_what_is_uncertain_matters() -> None:
    found = draw_builds(
        bearings=(measured(case=made_up(supply_pressure_pa=0.0)),),
        oil=KNOWN,
        spread=replace(NO_SPREAD, gas_pressure=0.1),
        count=200,
        sensitivity_base=512,
    ).bearings[0]
    by_factor = {s.factor: s for s in found.sensitivities}
    assert set(by_factor) == set(Factor)
    clearance, gas = by_factor[Factor.CLEARANCE], by_factor[Factor.GAS_PRESSURE]
    assert clearance.total + gas.total == pytest.approx(1.0, abs=0.05)
    assert found.matters_most is max(by_factor, key=lambda f: by_factor[f].total)
    for factor in (Factor.VISCOSITY, Factor.SUPPLY_TEMPERATURE, Factor.MASS):
        assert by_factor[factor].first == by_factor[factor].total == 0.0
    totals = [s.total for s in found.sensitivities]
    assert totals == sorted(totals, reverse=True)


def test_what_matters_is_what_moves_the_film_and_not_its_temperature() -> None:
    """Small spreads: the shares of variance are (∂h/∂x u)², by differences of single films."""
    spread = replace(NO_SPREAD, supply_temperature_k=0.5, gas_pressure=0.05, mass=0.01)
    found = draw_builds(
        bearings=(measured(clearance_u_m=1e-6),),
        oil=KNOWN,
        spread=spread,
        count=100,
        sensitivity_base=1024,
    ).bearings[0]

    def moved(
        clearance_m: float = 0.0, supply_k: float = 0.0, gas: float = 0.0, mass: float = 0.0
    ) -> tuple[float, float]:
        case = made_up(
            supply_temperature_c=100.0 + supply_k, history=loaded(gas=1.0 + gas, mass=1.0 + mass)
        )
        one = solve_cycle(case=case, oil=NEWTONIAN, cold_clearance_m=CLEARANCE + clearance_m)
        return one.minimum_film_m, one.film_temperature_c

    by_factor = {
        Factor.CLEARANCE: np.subtract(moved(clearance_m=1e-6), moved(clearance_m=-1e-6)),
        Factor.SUPPLY_TEMPERATURE: np.subtract(moved(supply_k=0.5), moved(supply_k=-0.5)),
        Factor.GAS_PRESSURE: np.subtract(moved(gas=0.05), moved(gas=-0.05)),
        Factor.MASS: np.subtract(moved(mass=0.01), moved(mass=-0.01)),
    }
    squares = np.array(list(by_factor.values())) ** 2
    film, warm = (squares / squares.sum(axis=0)).T
    assert np.abs(film - warm).max() > 0.2  # so that the one is not taken for the other
    totals = {s.factor: s.total for s in found.sensitivities}
    firsts = {s.factor: s.first for s in found.sensitivities}
    for factor, share in zip(by_factor, film, strict=True):
        assert totals[factor] == pytest.approx(share, abs=0.03)
        assert firsts[factor] == pytest.approx(share, abs=0.06)


def test_a_grade_is_less_sure_than_a_data_sheet() -> None:
    grade = band_of_grade(find_grade("10W-40"))
    one, other = (
        draw_builds(
            bearings=(measured(),), oil=oil, spread=SPREAD, count=512, sensitivity_base=256
        ).bearings[0]
        for oil in (band_of_oil(OIL), grade)
    )
    width = one.minimum_film_m.high - one.minimum_film_m.low
    assert other.minimum_film_m.high - other.minimum_film_m.low > 1.2 * width
    first = {s.factor: s.first for s in other.sensitivities}
    assert (
        first[Factor.VISCOSITY] > {s.factor: s.first for s in one.sensitivities}[Factor.VISCOSITY]
    )


def test_the_share_under_a_chosen_film_is_that_of_the_builds() -> None:
    plain = bands().bearings[0]
    chosen = measured(case=made_up(chosen_film_m=plain.minimum_film_m.median))
    found = draw_builds(
        bearings=(chosen,), oil=KNOWN, spread=SPREAD, count=1000, sensitivity_base=64
    )
    assert found.bearings[0].share_under_chosen == pytest.approx(0.5, abs=0.03)


def heavy(scale: float) -> BuildBands:
    case = made_up(
        history=loaded(size=scale),
        without_gas=loaded(gas=0.0, size=scale),
        supply_temperature_c=150.0,
    )
    spread = Spread(viscosity=0.15, supply_temperature_k=15.0, gas_pressure=0.1, mass=0.1)
    return draw_builds(
        bearings=(measured(case=case, clearance_u_m=8e-6),),
        oil=KNOWN,
        spread=spread,
        count=400,
        sensitivity_base=64,
    )


def test_builds_that_cannot_be_answered_are_counted_and_percentiles_are_bounds() -> None:
    found = heavy(13.0).bearings[0]
    assert 0.025 * 400 < found.outside < 200
    film, warm = found.minimum_film_m, found.film_temperature_c
    assert film.low_is_bound
    assert not film.high_is_bound
    assert warm.high_is_bound
    assert math.isfinite(film.low)
    assert 0.0 < film.low < film.median < film.high
    for band in (found.friction_power_w, found.oil_flow_m3_s, found.peak_pressure_pa):
        assert math.isfinite(band.low)
        assert band.low < band.high


def test_a_build_whose_film_gets_too_hot_has_no_answer() -> None:
    """Tight builds in hot oil, each against its own film: there the single one is refused."""
    case = made_up(supply_temperature_c=180.0)
    points = np.full((16, 5), 0.5)
    points[:, 0] = np.linspace(0.05, 0.95, 16)
    bearing = measured(case=case, cold_clearance_m=18e-6, clearance_u_m=4e-6)
    inputs = inputs_of(bearing=bearing, oil=KNOWN, spread=NO_SPREAD, points=points)
    found = solve_builds(case=case, inputs=inputs)
    for place in range(16):
        clearance = float(inputs.cold_clearance_m[place])
        if found.inside[place]:
            alone = solve_cycle(case=case, oil=NEWTONIAN, cold_clearance_m=clearance)
            assert found.film_temperature_c[place] == pytest.approx(
                alone.film_temperature_c, abs=0.03
            )
            continue
        with pytest.raises(OutOfRangeError, match="the film would get hotter than 200"):
            solve_cycle(case=case, oil=NEWTONIAN, cold_clearance_m=clearance)
        assert found.film_temperature_c[place] == 180.0  # a lower bound
        assert np.isnan(found.friction_power_w[place])
        at_200 = case_orbit(
            case=case,
            history=case.history,
            hot_clearance_m=clearance,
            viscosity_pa_s=NEWTONIAN.dynamic_viscosity_pa_s(200.0),
        )
        assert found.minimum_film_m[place] >= at_200.minimum_film_m * (1.0 - 2e-3)
    assert 3 <= int(found.inside.sum()) <= 13


def test_beyond_the_thick_end_of_the_table_no_film_is_put_too_thin(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """With a table that begins too late, what stands for a build must bound its film from above."""

    def late(*, log_reach: tuple[float, float], **asked: Any) -> OrbitFamily:
        low, high = log_reach
        return solve_family(log_reach=(0.5 * (low + high), high), **asked)

    monkeypatch.setattr(build_films, "solve_family", late)
    points = np.full((12, 5), 0.5)
    points[:, 0] = np.linspace(0.02, 0.98, 12)
    bearing = measured(clearance_u_m=8e-6)
    inputs = inputs_of(bearing=bearing, oil=KNOWN, spread=NO_SPREAD, points=points)
    found = solve_builds(case=bearing.case, inputs=inputs)
    assert found.inside[-1]
    assert not found.inside[:3].any()
    for place in np.flatnonzero(~found.inside):
        clearance = float(inputs.cold_clearance_m[place])
        alone = solve_cycle(case=bearing.case, oil=NEWTONIAN, cold_clearance_m=clearance)
        assert alone.minimum_film_m <= found.minimum_film_m[place] <= 0.5 * clearance


def test_builds_without_clearance_when_hot_count_as_outside() -> None:
    closing = replace(IRON, journal_over_oil_k=40.0)
    bearing = measured(case=made_up(hot_fit=closing), cold_clearance_m=44e-6, clearance_u_m=9e-6)
    found = draw_builds(
        bearings=(bearing,), oil=KNOWN, spread=SPREAD, count=400, sensitivity_base=16
    ).bearings[0]
    points = sobol_points(dimensions=5, count=400, seed=1)[:, [4, 0, 1, 2, 3]]
    inputs = inputs_of(bearing=bearing, oil=KNOWN, spread=SPREAD, points=points)
    over = inputs.supply_temperature_c - 20.0
    hot = (
        inputs.cold_clearance_m
        + 51e-3 * 11e-6 * over
        - 3e-3 * 12e-6 * over
        - 48e-3 * 12e-6 * (over + 40.0)
    )
    seized = int((hot <= 0.0).sum())
    assert 10 < seized <= found.outside < 200
    assert found.minimum_film_m.low_is_bound
    assert found.minimum_film_m.low == pytest.approx(0.0, abs=0.3e-6)
    assert not found.minimum_film_m.high_is_bound


def test_where_no_build_keeps_a_clearance_the_bearing_would_seize() -> None:
    closing = replace(IRON, journal_over_oil_k=80.0, housing_over_oil_k=-40.0)
    with pytest.raises(InputError, match="no clearance is left in any build"):
        solve_builds(
            case=made_up(hot_fit=closing),
            inputs=inputs_of(
                bearing=measured(cold_clearance_m=20e-6, clearance_u_m=1e-6),
                oil=KNOWN,
                spread=SPREAD,
                points=sobol_points(dimensions=5, count=64, seed=1),
            ),
        )


def test_loads_that_no_build_carries_are_refused() -> None:
    with pytest.raises(OutOfRangeError, match="load is above what the film carries"):
        heavy(5000.0)


@pytest.mark.parametrize("count", [0, 99, 1_000_001])
def test_too_few_or_too_many_builds_are_refused(count: int) -> None:
    with pytest.raises(InputError, match="100 to 1000000 builds"):
        draw_builds(bearings=(measured(),), oil=KNOWN, spread=SPREAD, count=count)


def test_no_bearing_is_no_engine() -> None:
    with pytest.raises(InputError, match="at least one bearing"):
        draw_builds(bearings=(), oil=KNOWN, spread=SPREAD)
