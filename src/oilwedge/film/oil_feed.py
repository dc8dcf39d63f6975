"""How much fresh oil a bearing takes in over a cycle, and where it comes from.

What the moving journal presses out of the ends is the side flow of its path (:mod:`.orbit`), and as
much comes in fresh. With a groove all round, the path counts all four edges of its two lands; what
the two inner ones lose goes back into the groove, so that half is fresh. What the supply pressure
p_s presses through the gap besides::

    Q_p = G C³ p_s (1 + 1.5 ε²)/μ                                                          (1)

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


def fresh_share(place: GroovePlace) -> float:
    """The ratio of fresh oil to a path's side flow, which counts all edges of all lands."""
    return 0.5 if place.kind is PathGroove.FULL else 1.0


def mean_gap_number(*, angle_rad: Array, path: Array) -> float:
    """The mean of 1 + 1.5 ε², a ratio, over a path (angles in rad × 2)."""
    span = float(angle_rad[-1] - angle_rad[0])
    return 1.0 + 1.5 * float(np.trapezoid((path**2).sum(axis=1), angle_rad)) / span


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
    """Oil in m³/s that the supply pressure presses through by (1).

    ``gap_number``: the cycle's mean of 1 + 1.5 ε²; shapes broadcast.
    """
    shape = _feed_shape(place, diameter_m, width_m) * supply_pressure_pa
    gap_m3 = np.asarray(radial_clearance_m) ** 3 * np.asarray(gap_number)
    return np.asarray(shape * gap_m3 / np.asarray(viscosity_pa_s))


def _feed_shape(place: GroovePlace, diameter_m: float, width_m: float) -> float:
    """G of (1)."""
    if place.kind is PathGroove.NONE:
        return 0.0
    if place.kind is PathGroove.HOLE:
        d = place.width_m / width_m
        q = 1.204 + 0.368 * d - 1.046 * d**2 + 1.942 * d**3
        return math.pi / (6.0 * q * -math.log(d))
    whole = math.pi * diameter_m / (3.0 * (width_m - place.width_m))
    return whole if place.kind is PathGroove.FULL else 0.5 * whole
