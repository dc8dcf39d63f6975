"""Worked cases of ASTM D341 from public pages, and its own inverse."""

from __future__ import annotations

import math

import numpy as np
import pytest

from oilwedge.film.viscosity_line import ViscosityLine, ViscosityPoint, line_through, z_of

pytestmark = pytest.mark.published


def through(at_40: float, at_100: float) -> ViscosityLine:
    return line_through(
        ViscosityPoint(temperature_c=40.0, kinematic_m2_s=at_40 * 1e-6),
        ViscosityPoint(temperature_c=100.0, kinematic_m2_s=at_100 * 1e-6),
    )


@pytest.mark.parametrize(
    ("at_40", "at_100", "temperature_c", "printed", "tolerance"),
    [
        (404, 28, 60.0, 132.126, 0.0005),  # READ
        (32, 5.4, 80.0, 8.5, 0.05),  # READ
        (32, 5.4, 80.0, 8.533, 0.0005),  # COMPUTED
    ],
)
def test_viscosity_between_the_two_points(
    at_40: float, at_100: float, temperature_c: float, printed: float, tolerance: float
) -> None:
    found = through(at_40, at_100).kinematic_m2_s(np.asarray(temperature_c))
    assert float(found) * 1e6 == pytest.approx(printed, abs=tolerance)


@pytest.mark.parametrize(
    ("at_40", "at_100", "intercept", "slope"),
    [
        (404, 28, 8.69176, 3.31587),  # COMPUTED
        (32, 5.4, 9.5308, 3.7466),  # COMPUTED; with 273 READ 9.5259 and 3.7449
    ],
)
def test_constants_of_the_line(at_40: float, at_100: float, intercept: float, slope: float) -> None:
    line = through(at_40, at_100)
    assert line.intercept == pytest.approx(intercept, abs=1e-4)
    assert line.slope == pytest.approx(slope, abs=1e-4)


@pytest.mark.parametrize("nu", [0.21, 0.3, 0.5, 1.0, 1.5, 2.0, 5.0, 50.0])
def test_the_printed_inverse_gives_the_viscosity_back(nu: float) -> None:
    # READ: ν = x - exp(-0.7487 - 3.295 x + 0.6119 x² - 0.3193 x³), x = Z - 0.7
    x = float(z_of(np.asarray(nu))) - 0.7
    printed = x - math.exp(-0.7487 - 3.295 * x + 0.6119 * x**2 - 0.3193 * x**3)
    assert printed == pytest.approx(nu, rel=5e-4)


def test_over_two_square_millimetres_the_short_form_is_the_same() -> None:
    # READ: for ν over 2 the short form ν + 0.7 suffices
    assert float(z_of(np.asarray(2.0))) == pytest.approx(2.7, rel=5e-4)
