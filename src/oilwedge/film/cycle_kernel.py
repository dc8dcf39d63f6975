"""What the film does along a journal's path: the compiled part of the cycle's heat balance."""

from __future__ import annotations

import math

import numpy as np
from numba import njit
from numpy.typing import NDArray

from oilwedge.film.mobility import mobility_at

Array = NDArray[np.float64]


@njit(cache=True, nogil=True)
def mobility_along(
    table: Array, path: Array, force_x: Array, force_y: Array
) -> tuple[Array, Array, Array]:
    """(L/D)² M along the load, (L/D)² |M|, and p L D/F, at every angle of a path (n × 2)."""
    count = path.shape[0]
    along, size, peak = np.zeros(count), np.zeros(count), np.zeros(count)
    for k in range(count):
        load = math.hypot(force_x[k], force_y[k])
        if load > 0.0:
            cosine, sine = force_x[k] / load, force_y[k] / load
            xi = path[k, 0] * cosine + path[k, 1] * sine
            eta = path[k, 1] * cosine - path[k, 0] * sine
            along[k], across, peak[k] = mobility_at(table, xi, eta)
            size[k] = math.hypot(along[k], across)
    return along, size, peak
