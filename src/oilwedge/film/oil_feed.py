"""How much fresh oil a bearing takes in over a cycle, and where it comes from.

Side flow, what the moving journal presses out of the ends, at each moment::

    Q_s = D L C |v| (1 − 0.223 (L/D)²),    v = F (C/R)²/(μ L D) M                           (1)

v is the squeeze velocity in axes that turn at half the journal's speed (:mod:`.mobility`). Without
its bracket, (1) is exact for the short bearing with half a film; in a steady state v = ωε/2 and it
is Ocvirk's 2πε R C N L. The bracket is that of the side flow in ISO 7902-2 (RECALLED). Range: L/D
up to 1.

With a groove all round, a land is fresh on its outer half only: of what a land presses out, half
goes back into the groove. What the supply pressure p_s presses through the gap besides::

    Q_p = G C³ p_s (1 + 1.5 ε²)/μ                                                          (2)

full groove  G = π D/(6 a), two lands each a wide (standard derivation);
half groove  half of that;
hole         G = π/(6 q ln(L/d)), q = 1.204 + 0.368 d/L − 1.046 (d/L)² + 1.942 (d/L)³
             (ISO 7902-2 for a hole of diameter d, RECALLED; ln and 6 are those of radial flow).

(1 + 1.5 ε²) C³ is the mean of gap³ round the bearing: exact for the full groove; for half groove
and hole it means that their place is not told apart. The wedge's own pressure at groove or hole is
left out.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

from oilwedge.film.path_groove import GroovePlace, PathGroove

Array = NDArray[np.float64]


def lands(*, place: GroovePlace, width_m: float) -> tuple[int, float]:
    """How many lands carry the load side by side, and how wide each is in m."""
    if place.kind is PathGroove.FULL:
        return 2, 0.5 * (width_m - place.width_m)
    return 1, width_m


def side_flow_m3_s(
    *,
    place: GroovePlace,
    diameter_m: float,
    width_m: float,
    radial_clearance_m: ArrayLike,
    squeeze_speed_per_s: ArrayLike,
) -> Array:
    """Fresh oil in m³/s that the ends lose by (1); |v| in 1/s of one land; shapes broadcast."""
    land_m = lands(place=place, width_m=width_m)[1]
    narrow = 1.0 - 0.223 * (land_m / diameter_m) ** 2
    swept_m2 = diameter_m * land_m * narrow
    return np.asarray(swept_m2 * np.asarray(radial_clearance_m) * np.asarray(squeeze_speed_per_s))


def feed_flow_m3_s(
    *,
    place: GroovePlace,
    diameter_m: float,
    width_m: float,
    radial_clearance_m: ArrayLike,
    viscosity_pa_s: ArrayLike,
    supply_pressure_pa: float,
    gap_number: ArrayLike,
) -> Array:
    """Oil in m³/s that the supply pressure presses through by (2).

    ``gap_number``: the cycle's mean of 1 + 1.5 ε²; shapes broadcast.
    """
    shape = _feed_shape(place, diameter_m, width_m) * supply_pressure_pa
    gap_m3 = np.asarray(radial_clearance_m) ** 3 * np.asarray(gap_number)
    return np.asarray(shape * gap_m3 / np.asarray(viscosity_pa_s))


def _feed_shape(place: GroovePlace, diameter_m: float, width_m: float) -> float:
    """G of (2)."""
    if place.kind is PathGroove.NONE:
        return 0.0
    if place.kind is PathGroove.HOLE:
        d = place.width_m / width_m
        q = 1.204 + 0.368 * d - 1.046 * d**2 + 1.942 * d**3
        return math.pi / (6.0 * q * -math.log(d))
    whole = math.pi * diameter_m / (3.0 * (width_m - place.width_m))
    return whole if place.kind is PathGroove.FULL else 0.5 * whole
