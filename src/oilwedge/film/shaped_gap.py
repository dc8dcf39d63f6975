"""How far a journal can move in a gap of any shape, and where that gap is thinnest."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from oilwedge.errors import Fault, OutOfRangeError
from oilwedge.film.bearing import Bearing
from oilwedge.film.film_shape import FilmShape

Floats = NDArray[np.float64]

_AROUND = 1440
_ACROSS = 41
_ZOOMS = 4


@dataclass(frozen=True, kw_only=True, slots=True)
class ThinPlace:
    """The least gap, in C, its angle in rad and its place along the width in m."""

    gap: float
    angle_rad: float
    place_m: float


@dataclass(frozen=True, kw_only=True, slots=True)
class ShapedGap:
    """The gap over the lands of a bearing; places of the journal are ratios to C.

    ``inner_m``: half the width of a circumferential groove, where there is no gap to close.
    OutOfRangeError where the shape closes the gap with the journal in the middle.
    """

    bearing: Bearing
    shape: FilmShape
    journal_turn_rad: float = 0.0
    inner_m: float = 0.0

    def __post_init__(self) -> None:
        thin = self.thinnest(place=(0.0, 0.0))
        if thin.gap <= 0.0:
            raise _closed(self, thin, "with the journal in the middle of the bearing")

    def change(self, *, angle_rad: Floats, place_m: Floats) -> Floats:
        """Give the gap of a centred journal in C, over angles (n) and places (m)."""
        change = self.shape.gap_change_m(
            angle_rad=angle_rad[:, None],
            place_m=place_m[None, :],
            width_m=self.bearing.width_m,
            journal_turn_rad=self.journal_turn_rad,
        )
        return np.asarray(1.0 + change / self.bearing.radial_clearance_m)

    def thinnest(self, *, place: tuple[float, float]) -> ThinPlace:
        """Where the gap is thinnest with the journal at ``place``, a ratio to C; even if closed."""
        angles = np.linspace(0.0, 2.0 * math.pi, _AROUND, endpoint=False)
        places = self._places()
        spread = (2.0 * math.pi / _AROUND, float(places[-1] - places[-2]))
        best = self._least(place, angles, places)
        for _ in range(_ZOOMS):
            angles = best.angle_rad + spread[0] * np.linspace(-1.0, 1.0, 21)
            near = best.place_m + spread[1] * np.linspace(-1.0, 1.0, 21)
            best = self._least(place, angles, near[self._on_land(near)])
            spread = (0.1 * spread[0], 0.1 * spread[1])
        return best

    def _least(self, place: tuple[float, float], angles: Floats, places: Floats) -> ThinPlace:
        off = place[0] * np.cos(angles) + place[1] * np.sin(angles)
        gap = self.change(angle_rad=angles, place_m=places)[:, ::-1] - off[:, None]
        i, j = np.unravel_index(int(np.argmin(gap)), gap.shape)  # of two equal ends, the front
        return ThinPlace(
            gap=float(gap[i, j]), angle_rad=float(angles[i]), place_m=float(places[::-1][j])
        )

    def _places(self) -> Floats:
        end = 0.5 * self.bearing.width_m
        front = np.linspace(self.inner_m, end, _ACROSS)
        return np.concatenate([-front[::-1], front])

    def _on_land(self, places: Floats) -> NDArray[np.bool_]:
        slack = 1e-12 * self.bearing.width_m
        size = np.abs(places)
        return np.asarray(
            (size <= 0.5 * self.bearing.width_m + slack) & (size >= self.inner_m - slack)
        )

    def least_all_round(self) -> tuple[Floats, Floats]:
        """Angles, and the least over the width of the centred journal's gap there, in C."""
        angles = np.linspace(0.0, 2.0 * math.pi, _AROUND, endpoint=False)
        return angles, self.change(angle_rad=angles, place_m=self._places()).min(axis=1)

    def require_open(self, *, place: tuple[float, float]) -> None:
        """Raise :class:`OutOfRangeError` if the journal would touch at ``place``, a ratio to C."""
        thin = self.thinnest(place=place)
        if thin.gap <= 0.0:
            off = math.hypot(*place)
            raise _closed(self, thin, f"at an eccentricity ratio of {off:.4g}")


def _closed(gap: ShapedGap, thin: ThinPlace, where: str) -> OutOfRangeError:
    clearance_um = gap.bearing.radial_clearance_m * 1e6
    return OutOfRangeError(
        Fault(
            given=f"a gap of {thin.gap * clearance_um:.3g} µm {where}, at"
            f" {math.degrees(thin.angle_rad) % 360.0:.0f}° and {thin.place_m * 1e3:+.1f} mm from"
            " the middle of the width",
            allowed="the journal must not touch: taper, barrel, out-of-round, bore relief and tilt"
            f" together have to leave a gap out of a mean radial clearance of {clearance_um:g} µm",
            action="check the measured shape and the clearance",
        )
    )
