"""What carries a journal on its path: the map of its mobility, and the film that is sheared."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from oilwedge.errors import Fault, InputError
from oilwedge.film.fixed_map import FixedMap, fixed_bearing_map
from oilwedge.film.mobility import finite_bearing_map, short_bearing_map
from oilwedge.film.path_groove import GroovePlace, PathGroove
from oilwedge.film.path_kernel import film_along, fixed_film_along

Array = NDArray[np.float64]
KernelMap: TypeAlias = Array | tuple[Array, int]


class Width(Enum):
    """Which map of the mobility is used."""

    SHORT = "short"
    FINITE = "finite"


@dataclass(frozen=True, kw_only=True, slots=True)
class PathMap:
    """The lands of a bearing, and the map of one of them; or of the whole, fixed to the bearing.

    kernel: what :func:`oilwedge.film.path_kernel.settle` takes. lands, land_m: their number and
    width. width_ratio: land over diameter. turn_rad: of the map's x from that of the bearing.
    """

    kernel: KernelMap
    lands: int
    land_m: float
    width_ratio: float
    groove: GroovePlace
    fixed: FixedMap | None = None

    @property
    def turn_rad(self) -> float:
        """The angle by which the map's axes stand turned in the bearing."""
        return self.groove.angle_rad if self.fixed is not None else 0.0

    def film_along(self, path: Array, force_x: Array, force_y: Array) -> tuple[Array, Array, Array]:
        """(L/D)² M along the load, p L D/F, and (L/D)² |M|, on a path in the map's axes."""
        fixed = self.fixed
        if fixed is None:
            table = np.asarray(self.kernel)
            return film_along(table, path, force_x, force_y)
        return fixed_film_along(fixed.motion, fixed.peak, fixed.hole, path, force_x, force_y)

    def sheared_m(self, path: Array, *, radius_m: float) -> Array:
        """∫∫ dθ dz/(1 − ε·n) over what shears the oil [m], on a path in the map's axes."""
        ratio = np.hypot(path[:, 0], path[:, 1])
        root = np.sqrt(1.0 - ratio**2)
        whole = self.lands * self.land_m * 2.0 * np.pi / root
        if self.fixed is None:
            return np.asarray(whole)
        if self.fixed.hole:
            area = 0.25 * math.pi * self.groove.width_m**2 / radius_m
            return np.asarray(whole - area / (1.0 - path[:, 0]))
        line = np.arctan2(path[:, 1], path[:, 0])
        ends = [0.5 * (edge - line) for edge in (-0.5 * np.pi, 0.5 * np.pi)]
        low, high = (
            np.arctan2(np.sqrt(1.0 + ratio) * np.sin(half), np.sqrt(1.0 - ratio) * np.cos(half))
            for half in ends
        )
        return np.asarray(whole - self.groove.width_m * 2.0 / root * (high - low))


def path_map(*, diameter_m: float, width_m: float, groove: GroovePlace, width: Width) -> PathMap:
    """The map of a bearing with this groove.

    Errors: an :class:`InputError` for a groove that leaves no bearing, or a half groove or hole in
    a short one; an :class:`oilwedge.errors.OutOfRangeError` outside the map.
    """
    if not groove.width_m < width_m:
        raise InputError(
            Fault(
                given=f"a groove of {groove.width_m * 1000:g} mm in {width_m * 1000:g} mm",
                allowed="a groove is at least 0 wide and narrower than the bearing",
            )
        )
    if groove.kind in (PathGroove.HALF, PathGroove.HOLE):
        return _fixed(diameter_m, width_m, groove, width)
    lands = 2 if groove.kind is PathGroove.FULL else 1
    land_m = (width_m - groove.width_m) / lands
    finder = {Width.SHORT: short_bearing_map, Width.FINITE: finite_bearing_map}[width]
    found = finder(width_ratio=land_m / diameter_m)
    return PathMap(
        kernel=found.table,
        lands=lands,
        land_m=land_m,
        width_ratio=found.width_ratio,
        groove=groove,
    )


def _fixed(diameter_m: float, width_m: float, groove: GroovePlace, width: Width) -> PathMap:
    if width is Width.SHORT:
        raise InputError(
            Fault(
                given=f"a {groove.kind.value} groove in a short bearing",
                allowed="half grooves and holes are in the map of finite bearings",
            )
        )
    found = fixed_bearing_map(
        kind=groove.kind, width_ratio=width_m / diameter_m, share=groove.width_m / width_m
    )
    return PathMap(
        kernel=(found.motion, found.hole),
        lands=1,
        land_m=width_m,
        width_ratio=found.width_ratio,
        groove=groove,
        fixed=found,
    )
