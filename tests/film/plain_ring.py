"""A film by a plain route from outside the package, to check maps and paths against.

Reynolds' equation with its wedge term in axes fixed to the bearing, in which no velocity is taken
out, on a uniform ring by scipy.sparse.linalg.spsolve; a groove or hole at x is at pressure 0, and
the film ruptures by the Reynolds condition.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import coo_array
from scipy.sparse.linalg import spsolve

from oilwedge.film.path_groove import PathGroove

Array = NDArray[np.float64]

AROUND, HALF_WIDTH = 240, 22  # so that nodes lie on the edges of the grooves tried


def empty_nodes(
    kind: PathGroove, share: float, width: float, theta: Array, z: Array
) -> NDArray[np.bool_]:
    away = np.abs((theta + np.pi) % (2.0 * np.pi) - np.pi)
    if kind is PathGroove.HALF:
        return (away < 0.5 * np.pi + 1e-9)[:, None] & (z < share + 1e-9)[None, :]
    round_ = (away[:, None] / width) ** 2 + z[None, :] ** 2
    return np.asarray(round_ < share**2)


def force_of_film(
    *, kind: PathGroove, share: float, width: float, ecc: Array, velocity: Array, spin: float
) -> Array:
    """∫∫ p n dζ dθ; z is over half the width, p over μ (R/C)², the journal turns at ``spin``."""
    step, edge = 2.0 * np.pi / AROUND, 1.0 / HALF_WIDTH
    theta = np.asarray(step * np.arange(AROUND), dtype=np.float64)
    z = np.asarray(edge * np.arange(HALF_WIDTH), dtype=np.float64)
    tall = np.where(z > 0.0, edge, 0.5 * edge)  # of the cells; the first lies on the middle
    normal = np.stack((np.cos(theta), np.sin(theta)))
    film = 1.0 - ecc @ normal
    faces = theta + 0.5 * step
    at_faces = 1.0 - ecc[0] * np.cos(faces) - ecc[1] * np.sin(faces)
    slope = ecc[0] * np.sin(theta) - ecc[1] * np.cos(theta)
    source = -(6.0 * spin * slope - 12.0 * velocity @ normal) * step
    ring = (at_faces**3 / step)[:, None] * tall[None, :]
    end = np.repeat((film**3 * step / edge / width**2)[:, None], HALF_WIDTH, axis=1)
    diagonal = ring + np.roll(ring, 1, axis=0) + end
    diagonal[:, 1:] += end[:, :-1]
    number = np.arange(AROUND * HALF_WIDTH).reshape(AROUND, HALF_WIDTH)
    after = np.roll(number, -1, 0)
    rows = np.concatenate([one.ravel() for one in (number, number, after, number[:, :-1])])
    rows = np.concatenate((rows, number[:, 1:].ravel()))
    columns = np.concatenate([one.ravel() for one in (number, after, number, number[:, 1:])])
    columns = np.concatenate((columns, number[:, :-1].ravel()))
    values = np.concatenate([one.ravel() for one in (diagonal, -ring, -ring, -end[:, :-1])])
    values = np.concatenate((values, -end[:, :-1].ravel()))
    matrix = coo_array((values, (rows, columns))).tocsr()
    right = (source[:, None] * tall[None, :]).ravel()
    closed = empty_nodes(kind, share, width, theta, z).ravel()
    full = ~closed & (right > 0.0)
    for _ in range(100):
        inside = np.flatnonzero(full)
        pressure = np.zeros(full.size)
        pressure[inside] = spsolve(matrix[inside][:, inside], right[inside])
        left_over = right - matrix @ pressure
        now = ~closed & np.where(full, pressure > 0.0, left_over > 1e-9)
        if (now == full).all():
            break
        full = now
    else:
        raise AssertionError("the reference's rupture does not settle")
    line = pressure.reshape(AROUND, HALF_WIDTH) @ tall * step
    return np.asarray(normal @ line)
