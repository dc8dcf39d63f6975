"""Finite volumes over one land of a bearing, finer where the film is thin and near its ends.

Angles θ count from the largest gap in the direction of rotation, widths z in radii of the journal.
Half of the lines are spread evenly, half evenly in Sommerfeld's angle γ, in which the pressure of
a nearly touching journal is as smooth as that of a centred one::

    tan(γ/2) = √((1 − ε)/(1 + ε)) tan(θ/2)

Along the width z = b ((1 − c) t + c sin(π t/2)) with c = 0.7 and even steps in t.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from oilwedge.errors import Fault, OutOfRangeError

Floats = NDArray[np.float64]

_END_SHARE = 0.7


@dataclass(frozen=True, kw_only=True, slots=True)
class FilmGrid:
    """Cells round the bearing and across one land (both ends counted; halves where symmetric)."""

    around: int = 200
    across: int = 40

    def __post_init__(self) -> None:
        if not (16 <= self.around <= 4000 and 8 <= self.across <= 400):
            raise OutOfRangeError(
                Fault(
                    given=f"{self.around} x {self.across} cells",
                    allowed="16 to 4000 cells round the bearing and 8 to 400 across it are solved",
                )
            )
        if self.around % 2 or self.across % 2:
            raise OutOfRangeError(
                Fault(
                    given=f"{self.around} x {self.across} cells",
                    allowed="both numbers have to be even, for the grid is symmetric",
                )
            )

    def coarser(self) -> FilmGrid | None:
        """The grid of twice the step; None where it would be too coarse to help."""
        if self.around % 4 or self.across % 4 or self.around < 64 or self.across < 16:
            return None
        return FilmGrid(around=self.around // 2, across=self.across // 2)


@dataclass(frozen=True, kw_only=True, slots=True)
class Cells:
    """The cells of one land at one eccentricity, and what flows between them.

    ``theta`` (n + 1) lines 0 to 2π; ``z`` (m) nodes; ``h`` (n + 1) gap over radial clearance;
    ``dtheta`` (n + 1), ``dz`` (m) extents; ``kx``, ``couette`` (n, m) and ``kz`` (n + 1, m + 1) as
    in :mod:`oilwedge.film.reynolds`; ``strip_low``, ``strip_high`` (z from the last face to the
    edge of the land; 0 at a plane of symmetry), over which ``strip_flow`` (n) times its extent is
    the Couette flow. Flow counts in ω R² C/12, pressure in μ ω (R/C)².
    """

    theta: Floats
    z: Floats
    h: Floats
    dtheta: Floats
    dz: Floats
    kx: Floats
    kz: Floats
    couette: Floats
    strip_flow: Floats
    strip_low: float
    strip_high: float

    @property
    def area(self) -> Floats:
        """Area of each cell in R², (n + 1, m)."""
        return self.dtheta[:, None] * self.dz[None, :]


def graded_angles(*, eccentricity_ratio: float, count: int) -> Floats:
    """``count`` + 1 angles from 0 to 2π, graded as the module text says; symmetric about π."""
    r = math.sqrt((1.0 - eccentricity_ratio) / (1.0 + eccentricity_ratio))
    s = np.linspace(0.0, math.pi, count // 2 + 1)
    # θ/2 + γ/2 = s and tan(γ/2) = r tan(θ/2) give r tan s t² + (1 + r) t = tan s for t = tan(θ/2)
    sine, lean = np.sin(s), (1.0 + r) * np.cos(s)
    root = np.sqrt(lean**2 + 4.0 * r * sine**2)
    theta = 2.0 * np.where(
        lean > 0.0,
        np.arctan2(2.0 * sine, root + lean),
        np.arctan2(root - lean, 2.0 * r * sine),  # the same without cancellation
    )
    theta[-1] = math.pi
    return np.concatenate([theta, 2.0 * math.pi - theta[-2::-1]])


def half_width(*, width: float, count: int) -> Floats:
    """2 ``count`` + 1 places from the middle (0) to the end (``width``), nodes and faces in turn.

    They are ratios to the radius of the journal, as ``width`` is.
    """
    t = np.linspace(0.0, 1.0, 2 * count + 1)
    return width * ((1.0 - _END_SHARE) * t + _END_SHARE * np.sin(0.5 * math.pi * t))


def symmetric_land(*, eccentricity_ratio: float, land: float, grid: FilmGrid) -> Cells:
    """Half of a land, from middle to end; ``land`` is its width, a ratio to the radius."""
    z = half_width(width=0.5 * land, count=grid.across // 2)
    nodes, faces = z[:-1:2], np.concatenate([[0.0], z[1::2]])
    distances = np.concatenate([[np.inf], np.diff(z[::2])])
    return _cells(eccentricity_ratio, grid.around, nodes, faces, distances, 0.0, z[-1] - z[-2])


def whole_land(*, eccentricity_ratio: float, land: float, grid: FilmGrid) -> Cells:
    """A whole land, from the edge of its groove; ``land`` is its width, a ratio to the radius."""
    half = half_width(width=0.5 * land, count=grid.across // 2)
    z = np.concatenate([0.5 * land - half[:0:-1], 0.5 * land + half])
    nodes, faces = z[2:-1:2], z[1::2]
    return _cells(
        eccentricity_ratio, grid.around, nodes, faces, np.diff(z[::2]), z[1], z[-1] - z[-2]
    )


def _cells(
    e: float, count: int, z: Floats, faces: Floats, distances: Floats, low: float, high: float
) -> Cells:
    angles = graded_angles(eccentricity_ratio=e, count=2 * count)
    theta, between = angles[::2], angles[1::2]
    h, h_between = 1.0 + e * np.cos(theta), 1.0 + e * np.cos(between)
    dz = np.diff(faces)
    dtheta = np.diff(np.concatenate([[0.0], between, [2.0 * math.pi]]))
    strip_flow = 6.0 * h_between
    return Cells(
        theta=theta,
        z=z,
        h=h,
        dtheta=dtheta,
        dz=dz,
        kx=(h_between**3 / np.diff(theta))[:, None] * dz[None, :],
        kz=(h**3 * dtheta)[:, None] / distances[None, :],
        couette=strip_flow[:, None] * dz[None, :],
        strip_flow=strip_flow,
        strip_low=low,
        strip_high=high,
    )
