"""Kinematic viscosity against temperature, after ASTM D341; SI units at the door, mm²/s inside.

log10 log10 Z = A - B log10 T, T in kelvin, Z = ν + 0.7 + exp(-1.47 - 1.84 ν - 0.51 ν²), ν in mm²/s.
Over 2 mm²/s the last term is under 0.001 and the short form ν + 0.7 is the same. The form holds
from 0.21 mm²/s to 2e7 mm²/s (the upper end recalled). Z is inverted here by Newton's method to
the last digit, so that the two points come back exactly; the standard's own inverse, with
x = Z - 0.7, ν = x - exp(-0.7487 - 3.295 x + 0.6119 x² - 0.3193 x³), agrees with it within 0.03 %.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from oilwedge.errors import Fault, InputError, OutOfRangeError

LEAST_MM2_S = 0.21
MOST_MM2_S = 2e7
ZERO_C_IN_K = 273.15
_NEWTON_STEPS = 8


@dataclass(frozen=True, slots=True, kw_only=True)
class ViscosityPoint:
    """One measured kinematic viscosity, m²/s, and its temperature, °C."""

    temperature_c: float
    kinematic_m2_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ViscosityLine:
    """The straight line of ASTM D341: log10 log10 Z = intercept - slope · log10 T, T in K."""

    intercept: float
    slope: float

    def kinematic_m2_s(self, temperature_c: NDArray[np.float64]) -> NDArray[np.float64]:
        """ν(T) in m²/s, any shape; OutOfRangeError where the form does not hold.

        Range: 0.21 to 2e7 mm²/s. Source: ASTM D341.
        """
        kelvin = np.asarray(temperature_c, dtype=np.float64) + ZERO_C_IN_K
        if not np.all(kelvin > 0.0):
            raise _no_temperature(temperature_c)
        with np.errstate(over="ignore"):
            z = 10.0 ** (10.0 ** (self.intercept - self.slope * np.log10(kelvin)))
        least = z_of(np.asarray(LEAST_MM2_S))
        if not np.all((z >= least) & (z <= MOST_MM2_S + 0.7)):
            where = float(np.ravel(temperature_c)[int(np.argmin((z >= least) & (z <= MOST_MM2_S)))])
            raise OutOfRangeError(
                Fault(
                    given=f"{where:g} °C",
                    allowed="there the oil would be thinner than 0.21 mm²/s or thicker than"
                    " 2e7 mm²/s, where the law of viscosity and temperature does not hold",
                    action="ask for a temperature nearer to those of the data sheet",
                )
            )
        return _nu_of(z) * 1e-6


def z_of(kinematic_mm2_s: NDArray[np.float64]) -> NDArray[np.float64]:
    """Z of ASTM D341, for ν in mm²/s from 0.21 upwards: ν + 0.7 + exp(-1.47 - 1.84 ν - 0.51 ν²)."""
    nu = kinematic_mm2_s
    return np.asarray(nu + 0.7 + np.exp(-1.47 - 1.84 * nu - 0.51 * nu**2))


def _nu_of(z: NDArray[np.float64]) -> NDArray[np.float64]:
    """ν in mm²/s of Z: Newton's method; the slope of Z lies between 0.68 and 1, so it converges."""
    nu = np.maximum(z - 0.7, LEAST_MM2_S)
    for _ in range(_NEWTON_STEPS):
        slope = 1.0 - (1.84 + 1.02 * nu) * np.exp(-1.47 - 1.84 * nu - 0.51 * nu**2)
        nu = nu - (z_of(nu) - z) / slope
    return np.asarray(nu)


def line_through(first: ViscosityPoint, second: ViscosityPoint) -> ViscosityLine:
    """The line of ASTM D341 through two measured points.

    InputError where the temperatures are alike, a value is no viscosity, or the viscosity does
    not fall with temperature; OutOfRangeError for one outside 0.21 to 2e7 mm²/s.
    """
    cold, hot = sorted((first, second), key=lambda point: point.temperature_c)
    for point in (cold, hot):
        _check(point)
    said = " and ".join(
        f"{point.kinematic_m2_s * 1e6:g} mm²/s at {point.temperature_c:g} °C"
        for point in (cold, hot)
    )
    if hot.temperature_c - cold.temperature_c < 1.0:
        raise InputError(
            Fault(
                given=said,
                allowed="two temperatures that differ by 1 °C or more are needed",
                action="data sheets give 40 °C and 100 °C",
            )
        )
    if hot.kinematic_m2_s >= cold.kinematic_m2_s:
        raise InputError(
            Fault(
                given=said,
                allowed="an oil gets thinner as it gets warmer, and this one would not",
                action="look whether the two values are swapped",
            )
        )
    ordinates = [
        math.log10(math.log10(float(z_of(np.asarray(point.kinematic_m2_s * 1e6)))))
        for point in (cold, hot)
    ]
    abscissas = [math.log10(point.temperature_c + ZERO_C_IN_K) for point in (cold, hot)]
    slope = (ordinates[0] - ordinates[1]) / (abscissas[1] - abscissas[0])
    return ViscosityLine(intercept=ordinates[0] + slope * abscissas[0], slope=slope)


def _check(point: ViscosityPoint) -> None:
    nu = point.kinematic_m2_s * 1e6
    if not (math.isfinite(point.temperature_c) and point.temperature_c > -ZERO_C_IN_K):
        raise _no_temperature(point.temperature_c)
    if not (math.isfinite(nu) and nu > 0.0):
        raise InputError(
            Fault(given=f"{nu:g} mm²/s", allowed="a kinematic viscosity is larger than 0")
        )
    if not LEAST_MM2_S <= nu <= MOST_MM2_S:
        raise OutOfRangeError(
            Fault(
                given=f"{nu:g} mm²/s",
                allowed="a kinematic viscosity from 0.21 mm²/s to 2e7 mm²/s can be used",
                action="look at its unit: 1 mm²/s is 1 cSt",
            )
        )


def _no_temperature(given: object) -> InputError:
    return InputError(
        Fault(given=f"{given} °C", allowed="a temperature is a number over -273.15 °C")
    )
