"""What pressure does to viscosity: factors on the viscosity at ambient pressure; SI units.

α is the pressure-viscosity coefficient, 1/Pa: for mineral oil 1.4e-8 to 2.4e-8 from 100 °C to 30 °C
(Neale, table 25).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from oilwedge.errors import Fault, OutOfRangeError

MOST_PA = 5e8
MOST_COEFFICIENT_PER_PA = 1e-7


def barus_factor(
    *, pressure_pa: NDArray[np.float64], coefficient_per_pa: float
) -> NDArray[np.float64]:
    """η/η₀ = exp(α p), the law of Barus (recalled); beyond some 30 MPa it gives too much."""
    pressure = _checked(pressure_pa, coefficient_per_pa)
    return np.asarray(np.exp(coefficient_per_pa * pressure))


def roelands_factor(
    *,
    pressure_pa: NDArray[np.float64],
    coefficient_per_pa: float,
    ambient_viscosity_pa_s: NDArray[np.float64],
) -> NDArray[np.float64]:
    """η/η₀ = exp{E [(1 + 5.1e-9 p)^z - 1]}, E = ln η₀ + 9.67, z = α/(5.1e-9 E); Roelands 1966.

    Starts with the slope of Barus and stays under it. Range: 0 to 500 MPa, η₀ over 0.1 mPa s.
    Recalled.
    """
    pressure = _checked(pressure_pa, coefficient_per_pa)
    energy = np.log(ambient_viscosity_pa_s) + 9.67
    if not np.all(energy > 0.4):
        raise OutOfRangeError(
            Fault(
                given=f"{1e3 * float(np.min(ambient_viscosity_pa_s)):g} mPa s",
                allowed="the law of pressure holds for oils over 0.1 mPa s",
            )
        )
    exponent = coefficient_per_pa / (5.1e-9 * energy)
    return np.asarray(np.exp(energy * ((1.0 + 5.1e-9 * pressure) ** exponent - 1.0)))


def _checked(pressure_pa: NDArray[np.float64], coefficient_per_pa: float) -> NDArray[np.float64]:
    pressure = np.asarray(pressure_pa, dtype=np.float64)
    if not np.all((pressure >= 0.0) & (pressure <= MOST_PA)):
        raise OutOfRangeError(
            Fault(
                given="a pressure under 0 or over 500 MPa",
                allowed="the law of pressure holds from 0 to 500 MPa over ambient",
            )
        )
    if not 0.0 <= coefficient_per_pa <= MOST_COEFFICIENT_PER_PA:
        raise OutOfRangeError(
            Fault(
                given=f"{coefficient_per_pa:g} 1/Pa",
                allowed="a pressure-viscosity coefficient lies between 0 and 1e-7 1/Pa;"
                " mineral oil has 1.4e-8 to 2.4e-8",
            )
        )
    return pressure
