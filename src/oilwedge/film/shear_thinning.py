"""How a multigrade oil thins in fast shear, from one number of its data sheet (HTHS).

The thickener of a multigrade oil gives way in fast shear; what is left is a second, lower level.
Two levels, after Cross with exponent 1:

    η(γ) = η₀ [f + (1 - f)/(1 + γ/γc)],  f = η∞/η₀

A data sheet gives one point, HTHS at 150 °C and 1e6 1/s, and a model with two constants needs one
assumption more. Ours: the test lies in the middle of the fall, γc(150 °C) = 1e6 1/s, so that
f = 2h - 1 with h = HTHS/η₀(150 °C). At other temperatures the molecules relax in proportion to η₀/T
(Rouse): γc(T) = 1e6 · [η₀(150 °C)/η₀(T)] · [T/423.15 K].

Exact at the HTHS point, and everywhere between no thinning and f. Away from that point the ratio is
a fair guess and not a measurement; it can be off by up to (1 - f)/2. Range: h over 0.5 up to 1.
Rouse's law and Cross's form are recalled; the choice of γc is judgement of this house.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from oilwedge.errors import Fault, InputError, OutOfRangeError

HIGH_SHEAR_C = 150.0
HIGH_SHEAR_PER_S = 1e6
MOST_RATIO = 1.03
"""How far HTHS may lie over our viscosity without shear: the spread of density and of the law."""
_HIGH_SHEAR_K = HIGH_SHEAR_C + 273.15


@dataclass(frozen=True, slots=True, kw_only=True)
class Thinning:
    """Second level ``floor`` = η∞/η₀ (ratio), and η₀ at 150 °C in Pa s, to shift by temperature."""

    floor: float
    low_shear_150c_pa_s: float

    def ratio(
        self,
        *,
        shear_rate_per_s: NDArray[np.float64],
        low_shear_pa_s: NDArray[np.float64],
        temperature_c: NDArray[np.float64],
    ) -> NDArray[np.float64]:
        """η/η₀ at this shear rate, where η₀ is ``low_shear_pa_s``; shapes broadcast."""
        warmth = (np.asarray(temperature_c) + 273.15) / _HIGH_SHEAR_K
        critical = HIGH_SHEAR_PER_S * self.low_shear_150c_pa_s / low_shear_pa_s * warmth
        falling = (1.0 - self.floor) / (1.0 + np.asarray(shear_rate_per_s) / critical)
        return np.asarray(self.floor + falling)


def thinning_from_high_shear(
    *, high_shear_150c_pa_s: float, low_shear_150c_pa_s: float
) -> Thinning:
    """The model through the HTHS point; units Pa s, both at 150 °C.

    HTHS up to 3 % over the viscosity without shear is an oil that does not thin (floor 1).
    InputError for more, OutOfRangeError for half of it or less.
    """
    h = high_shear_150c_pa_s / low_shear_150c_pa_s
    said = f"{high_shear_150c_pa_s * 1e3:g} mPa s in fast shear at 150 °C"
    without = f"{low_shear_150c_pa_s * 1e3:.2f} mPa s"
    if not (math.isfinite(h) and 0.0 < h <= MOST_RATIO):
        raise InputError(
            Fault(
                given=said,
                allowed="it is over 0 and not over the viscosity without shear, which the other"
                f" values of this oil put at {without}",
                action="look at the HTHS value, the density and the value at 100 °C",
            )
        )
    if h <= 0.5:
        raise OutOfRangeError(
            Fault(
                given=said,
                allowed="the model of thinning holds down to half of the viscosity without shear,"
                f" here {without}",
                action="look at the HTHS value and its unit, mPa s",
            )
        )
    return Thinning(floor=min(1.0, 2.0 * h - 1.0), low_shear_150c_pa_s=low_shear_150c_pa_s)
