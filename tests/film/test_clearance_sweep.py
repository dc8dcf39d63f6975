"""A bearing's film against its clearance, beside single bearings solved one by one."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from oilwedge.errors import OutOfRangeError
from oilwedge.film.bearing_case import BearingCase
from oilwedge.film.clearance_sweep import NoAnswer, family_over, sweep_clearances
from oilwedge.film.cycle_film import solve_cycle
from oilwedge.film.hot_clearance import HotFit
from oilwedge.film.load_history import LoadHistory
from oilwedge.film.oil import Oil
from oilwedge.film.path_groove import PathGroove

OIL = Oil(name="invented", density_kg_m3_at_15c=870.0, nu40_m2_s=68e-6, nu100_m2_s=10.5e-6)
THIN = Oil(name="thin", density_kg_m3_at_15c=850.0, nu40_m2_s=35e-6, nu100_m2_s=6.5e-6)
COLD_M = np.linspace(20e-6, 120e-6, 21)


def history(gas: float) -> LoadHistory:
    angle = np.linspace(0.0, 4.0 * np.pi, 361)
    fire = gas * np.exp(-(((angle - 1.0) / 0.35) ** 2))
    spin = np.full(angle.size, 400.0)
    return LoadHistory(
        angle_rad=angle,
        force_x_n=4000.0 * np.cos(angle) - fire,
        force_y_n=5000.0 * np.sin(angle),
        journal_speed_rad_s=spin,
        turning_speed_rad_s=400.0,
    )


@pytest.fixture(scope="module")
def case() -> BearingCase:
    return BearingCase(
        history=history(18000.0),
        without_gas=history(0.0),
        diameter_m=0.048,
        width_m=0.02,
        supply_temperature_c=95.0,
        supply_pressure_pa=3.5e5,
        groove=PathGroove.HALF,
        groove_width_m=0.003,
    )


@pytest.mark.parametrize("oil", [OIL, THIN], ids=lambda one: one.name)
def test_sweep_stands_where_single_bearings_stand(case: BearingCase, oil: Oil) -> None:
    family = family_over(case=case, oils=(OIL, THIN), cold_clearance_m=COLD_M)
    swept = sweep_clearances(family=family, oil=oil, cold_clearance_m=COLD_M)
    for place in (2, 8, 14, 20):
        alone = solve_cycle(case=case, oil=oil, cold_clearance_m=float(COLD_M[place]))
        assert swept.why[place] is None
        found = (
            (swept.minimum_film_m, alone.minimum_film_m, 0.01),
            (swept.film_temperature_c, alone.film_temperature_c, 1e-3),
            (swept.friction_power_w, alone.mean_friction_power_w, 0.005),
            (swept.oil_flow_m3_s, alone.oil_flow_m3_s, 0.005),
            (swept.peak_pressure_pa, alone.orbit.peak_pressure_pa, 0.01),
        )
        for column, single, within in found:
            assert column[place] == pytest.approx(single, rel=within)


def test_film_is_thin_at_both_ends(case: BearingCase) -> None:
    wide = np.linspace(10e-6, 300e-6, 30)
    family = family_over(case=case, oils=(OIL,), cold_clearance_m=wide)
    swept = sweep_clearances(family=family, oil=OIL, cold_clearance_m=wide)
    films = np.nan_to_num(swept.minimum_film_m)
    top = int(films.argmax())
    assert 0 < top < films.size - 1
    warm = swept.film_temperature_c[~np.isnan(swept.film_temperature_c)]
    assert (np.diff(warm) < 0.0).all()


def test_closed_bearing_has_no_answer_and_says_why(case: BearingCase) -> None:
    fit = HotFit(
        journal_expansion_per_k=12e-6,
        housing_expansion_per_k=12e-6,
        shell_expansion_per_k=12e-6,
        shell_wall_m=1.5e-3,
        journal_over_oil_k=60.0,
        housing_over_oil_k=0.0,
    )
    warm = replace(case, hot_fit=fit)
    family = family_over(case=warm, oils=(OIL,), cold_clearance_m=COLD_M)
    swept = sweep_clearances(family=family, oil=OIL, cold_clearance_m=COLD_M)
    assert swept.why[0] is NoAnswer.CLOSED
    assert np.isnan(swept.minimum_film_m[0])
    assert swept.why[-1] is None


def test_film_that_would_get_too_hot_is_no_answer_and_says_so(case: BearingCase) -> None:
    """Tight bearings in hot oil, each beside its single film: that one is refused too."""
    hot = replace(case, supply_temperature_c=175.0)
    cold_m = np.linspace(6e-6, 60e-6, 28)
    family = family_over(case=hot, oils=(OIL,), cold_clearance_m=cold_m)
    swept = sweep_clearances(family=family, oil=OIL, cold_clearance_m=cold_m)
    tight = [place for place in range(28) if swept.why[place] is not None]
    assert tight == list(range(len(tight)))
    assert 2 <= len(tight) <= 14
    for place in tight:
        assert swept.why[place] is NoAnswer.TOO_HOT
        assert np.isnan(swept.minimum_film_m[place])
        assert np.isnan(swept.film_temperature_c[place])
        with pytest.raises(OutOfRangeError, match="the film would get hotter than 200"):
            solve_cycle(case=hot, oil=OIL, cold_clearance_m=float(cold_m[place]))
    first = len(tight)
    alone = solve_cycle(case=hot, oil=OIL, cold_clearance_m=float(cold_m[first]))
    assert swept.film_temperature_c[first] == pytest.approx(alone.film_temperature_c, rel=1e-3)


def test_nothing_but_closed_bearings_is_refused(case: BearingCase) -> None:
    with pytest.raises(OutOfRangeError, match="clearance left"):
        family_over(case=case, oils=(OIL,), cold_clearance_m=np.array([-1e-6, 0.0]))


def test_oil_supplied_hotter_than_usual_has_its_answer_at_every_clearance_that_has_one(
    case: BearingCase,
) -> None:
    """The table reaches as far as the films do: 185 °C in, a wide clearance and a little more."""
    hot = replace(case, supply_temperature_c=185.0, history=history(4000.0))
    wide = np.array([60e-6, 90e-6, 120e-6])
    family = family_over(case=hot, oils=(OIL,), cold_clearance_m=wide)
    swept = sweep_clearances(family=family, oil=OIL, cold_clearance_m=wide)
    for place, cold_m in enumerate(wide):
        alone = solve_cycle(case=hot, oil=OIL, cold_clearance_m=float(cold_m))
        assert swept.why[place] is None
        assert swept.minimum_film_m[place] == pytest.approx(alone.minimum_film_m, rel=0.01)


def test_a_clearance_beyond_the_table_says_on_which_side(case: BearingCase) -> None:
    """Wider than any in it the film would be thinner; narrower, stiffer than its orbits."""
    family = family_over(case=case, oils=(OIL,), cold_clearance_m=np.linspace(50e-6, 60e-6, 3))
    swept = sweep_clearances(
        family=family, oil=OIL, cold_clearance_m=np.array([18e-6, 55e-6, 400e-6])
    )
    assert swept.why == (NoAnswer.TOO_STIFF, None, NoAnswer.TOO_THIN)
