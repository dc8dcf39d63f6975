"""Viscosity index after ASTM D2270, from the kinematic viscosities at 40 and 100 °C (SI).

With Y = ν(100 °C) and U = ν(40 °C) in mm²/s, L and H the viscosities at 40 °C of the two reference
series that have the same Y: VI = 100 (L - U)/(L - H) up to 100, above it
VI = 100 + (10^N - 1)/0.00715 with N = (log10 H - log10 U)/log10 Y. L and H are quadratics of Y,
piece by piece (coefficients recalled, checked by the standard's worked examples and by their
meeting within 0.2 % where one piece ends, which is 0.3 in VI). Not defined under Y = 2 mm²/s; over
55 mm²/s our coefficients could not be checked, and it is refused.
"""

from __future__ import annotations

import bisect
import math

from oilwedge.errors import Fault, InputError, OutOfRangeError

LEAST_AT_100C_MM2_S = 2.0
MOST_AT_100C_MM2_S = 55.0

# Each row: up to this Y, L = a Y² + b Y + c, H = d Y² + e Y + f. RECALLED.
_PIECES = (
    (3.8, 1.14673, 1.7576, -0.109, 0.84155, 1.5521, -0.077),
    (4.4, 3.38095, -15.4952, 33.196, 0.78571, 1.7929, -0.183),
    (5.0, 2.5000, -7.2143, 13.812, 0.82143, 1.5679, 0.119),
    (6.4, 0.10100, 16.6350, -45.469, 0.04985, 9.1613, -18.557),
    (7.0, 3.35714, -23.5643, 78.466, 0.22619, 7.7369, -16.656),
    (7.7, 0.01191, 21.4750, -72.870, 0.79762, -0.7321, 14.610),
    (9.0, 0.41858, 16.1558, -56.040, 0.05794, 10.5156, -28.240),
    (12.0, 0.88779, 7.5527, -16.600, 0.26665, 6.7015, -10.810),
    (15.0, 0.76720, 10.7972, -38.180, 0.20073, 8.4658, -22.490),
    (18.0, 0.97305, 5.3135, -2.200, 0.28889, 5.9741, -4.930),
    (22.0, 0.97256, 5.2500, -0.980, 0.24504, 7.4160, -16.730),
    (28.0, 0.91413, 7.4759, -21.820, 0.20323, 9.1267, -34.230),
    (40.0, 0.87031, 9.7157, -50.770, 0.18411, 10.1015, -46.750),
    (55.0, 0.84703, 12.6752, -133.310, 0.17029, 11.4866, -80.620),
)
_ENDS = [row[0] for row in _PIECES]


def reference_viscosities_mm2_s(at_100c_mm2_s: float) -> tuple[float, float]:
    """L and H of ASTM D2270, mm²/s, for ν(100 °C) from 2 to 55 mm²/s; else OutOfRangeError."""
    y = at_100c_mm2_s
    if not LEAST_AT_100C_MM2_S <= y <= MOST_AT_100C_MM2_S:
        raise OutOfRangeError(
            Fault(
                given=f"{y:g} mm²/s at 100 °C",
                allowed="a viscosity index is worked out here from 2 to 55 mm²/s",
            )
        )
    _, a, b, c, d, e, f = _PIECES[bisect.bisect_left(_ENDS, y)]
    return a * y * y + b * y + c, d * y * y + e * y + f


def viscosity_index(*, at_40c_m2_s: float, at_100c_m2_s: float) -> float:
    """VI after ASTM D2270 (not rounded) from ν(40 °C) and ν(100 °C) in m²/s.

    >>> round(viscosity_index(at_40c_m2_s=73.30e-6, at_100c_m2_s=8.86e-6))
    92
    """
    u, y = at_40c_m2_s * 1e6, at_100c_m2_s * 1e6
    low, high = reference_viscosities_mm2_s(y)
    if not (math.isfinite(u) and u > y):
        raise InputError(
            Fault(
                given=f"{u:g} mm²/s at 40 °C and {y:g} mm²/s at 100 °C",
                allowed="an oil gets thinner as it gets warmer, and this one would not",
                action="look whether the two values are swapped",
            )
        )
    if u >= high:
        return 100.0 * (low - u) / (low - high)
    power = (math.log10(high) - math.log10(u)) / math.log10(y)
    return 100.0 + (math.pow(10.0, power) - 1.0) / 0.00715


def at_40c_from_index_m2_s(*, index: float, at_100c_m2_s: float) -> float:
    """ν(40 °C) in m²/s of an oil with this VI and ν(100 °C): ASTM D2270 solved for U."""
    y = at_100c_m2_s * 1e6
    low, high = reference_viscosities_mm2_s(y)
    if index <= 100.0:
        return (low - index * (low - high) / 100.0) * 1e-6
    power = math.log10(1.0 + 0.00715 * (index - 100.0))
    return high / math.pow(y, power) * 1e-6
