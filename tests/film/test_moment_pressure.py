"""Pressure over the film at one moment of a path."""

from __future__ import annotations

import math

import numpy as np
import pytest

from oilwedge.errors import OutOfRangeError
from oilwedge.film.load_history import LoadHistory
from oilwedge.film.moment_pressure import MomentPressure, moment_pressure
from oilwedge.film.orbit import solve_orbit
from oilwedge.film.path_groove import NO_GROOVE, GroovePlace, PathGroove

DIAMETER, WIDTH = 0.048, 0.019


def at(
    load_deg: float, *, groove: GroovePlace = NO_GROOVE, turned_deg: float = 0.0
) -> MomentPressure:
    turn, load = math.radians(turned_deg), math.radians(load_deg + turned_deg)
    return moment_pressure(
        eccentricity_x=0.8 * math.cos(turn),
        eccentricity_y=0.8 * math.sin(turn),
        force_x_n=9000.0 * math.cos(load),
        force_y_n=9000.0 * math.sin(load),
        diameter_m=DIAMETER,
        width_m=WIDTH,
        groove=groove,
    )


def carried(found: MomentPressure) -> tuple[float, float]:
    """The force of a pressure, by the trapezoidal rule (COMPUTED apart from the solver's cells)."""
    across = np.trapezoid(found.pressures_pa, found.places_m, axis=1)
    radius = DIAMETER / 2.0
    along_x = np.trapezoid(across * np.cos(found.angles_rad), found.angles_rad) * radius
    along_y = np.trapezoid(across * np.sin(found.angles_rad), found.angles_rad) * radius
    return float(along_x), float(along_y)


@pytest.mark.parametrize("load_deg", [0.0, 35.0, -60.0, 90.0, 140.0, -175.0, 180.0])
def test_the_pressure_carries_the_load_in_size_and_direction(load_deg: float) -> None:
    x, y = carried(at(load_deg))
    assert math.hypot(x, y) == pytest.approx(9000.0, rel=0.02)
    off = math.remainder(math.atan2(y, x) - math.radians(load_deg), 2.0 * math.pi)
    assert abs(off) < math.radians(1.0)


def test_a_bearing_that_is_turned_has_the_same_film() -> None:
    plain, turned = at(35.0), at(35.0, turned_deg=110.0)
    assert turned.peak_pa == pytest.approx(plain.peak_pa, rel=1e-9)
    assert turned.angles_rad - plain.angles_rad == pytest.approx(math.radians(110.0))


def test_two_lands_carry_half_the_load_each_with_nothing_between() -> None:
    found = at(35.0, groove=GroovePlace(kind=PathGroove.FULL, width_m=0.004))
    assert found.places_m[0] == 0.0
    assert found.places_m[-1] == pytest.approx(WIDTH)
    middle = len(found.places_m) // 2
    assert found.places_m[middle] - found.places_m[middle - 1] == pytest.approx(0.004)
    assert not found.pressures_pa[:, middle - 1 : middle + 1].any()
    x, y = carried(found)
    assert math.hypot(x, y) == pytest.approx(9000.0, rel=0.02)


@pytest.mark.parametrize("load_deg", [0.0, 35.0, -60.0, 140.0, 180.0])
@pytest.mark.parametrize("kind", [PathGroove.HALF, PathGroove.HOLE])
def test_with_a_half_groove_or_hole_it_carries_the_load_too(
    kind: PathGroove, load_deg: float
) -> None:
    found = at(load_deg, groove=GroovePlace(kind=kind, width_m=0.004, angle_rad=0.3))
    x, y = carried(found)
    assert math.hypot(x, y) == pytest.approx(9000.0, rel=0.04)
    off = math.remainder(math.atan2(y, x) - math.radians(load_deg), 2.0 * math.pi)
    assert abs(off) < math.radians(1.5)


def test_a_half_groove_is_free_of_pressure_and_costs_it_elsewhere() -> None:
    half = GroovePlace(kind=PathGroove.HALF, width_m=0.004)
    found = at(10.0, groove=half)
    around = np.abs(np.angle(np.exp(1j * found.angles_rad))) < math.radians(88.0)
    middle = np.abs(found.places_m - WIDTH / 2.0) < 0.0019
    assert not found.pressures_pa[np.ix_(around, middle)].any()
    assert found.peak_pa > 1.3 * at(10.0).peak_pa
    away = at(10.0, groove=GroovePlace(kind=PathGroove.HALF, width_m=0.004, angle_rad=math.pi))
    assert away.peak_pa == pytest.approx(at(10.0).peak_pa, rel=0.02)


def test_its_peak_is_that_of_the_journals_path() -> None:
    angle = np.linspace(0.0, 2.0 * np.pi, 361)
    load = 6000.0 + 2000.0 * np.cos(angle)
    history = LoadHistory(
        angle_rad=angle,
        force_x_n=load,
        force_y_n=np.zeros(angle.size),
        journal_speed_rad_s=np.full(angle.size, 300.0),
        turning_speed_rad_s=300.0,
    )
    orbit = solve_orbit(
        history=history,
        diameter_m=DIAMETER,
        width_m=WIDTH,
        diametral_clearance_m=50e-6,
        viscosity_pa_s=0.01,
    )
    n = int(orbit.peak_pressures_pa.argmax())
    found = moment_pressure(
        eccentricity_x=float(orbit.eccentricity_x[n]),
        eccentricity_y=float(orbit.eccentricity_y[n]),
        force_x_n=float(np.interp(orbit.angle_rad[n], angle, load)),
        force_y_n=0.0,
        diameter_m=DIAMETER,
        width_m=WIDTH,
    )
    # The map's own error of the peak is up to 0.5 % here; the mesh of a drawing adds as much.
    assert found.peak_pa == pytest.approx(orbit.peak_pressure_pa, rel=0.015)


def test_no_load_has_no_pressure_to_show() -> None:
    with pytest.raises(OutOfRangeError, match="above 0"):
        moment_pressure(
            eccentricity_x=0.5, eccentricity_y=0.0, force_x_n=0.0, force_y_n=0.0,
            diameter_m=DIAMETER, width_m=WIDTH,
        )  # fmt: skip


def test_a_journal_outside_its_clearance_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match="clearance"):
        moment_pressure(
            eccentricity_x=1.0, eccentricity_y=0.1, force_x_n=1.0, force_y_n=0.0,
            diameter_m=DIAMETER, width_m=WIDTH,
        )  # fmt: skip


def test_a_groove_lies_at_its_angle_and_turns_with_its_bearing() -> None:
    half = GroovePlace(kind=PathGroove.HALF, width_m=0.004, angle_rad=math.radians(70.0))
    found = at(10.0, groove=half)
    off = np.angle(np.exp(1j * (found.angles_rad - half.angle_rad)))
    middle = np.abs(found.places_m - WIDTH / 2.0) < 0.0019
    assert not found.pressures_pa[np.ix_(np.abs(off) < math.radians(88.0), middle)].any()
    assert found.pressures_pa[:, middle].any()
    turned_half = GroovePlace(
        kind=PathGroove.HALF, width_m=0.004, angle_rad=half.angle_rad + math.radians(130.0)
    )
    turned = at(10.0, groove=turned_half, turned_deg=130.0)
    assert turned.peak_pa == pytest.approx(found.peak_pa, rel=1e-6)
