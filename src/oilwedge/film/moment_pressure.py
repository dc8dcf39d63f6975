"""The pressure all over a journal bearing's film at one moment of the journal's path.

The journal's place and its load at that moment are known from its path. Seen from axes that turn
at half the journal's speed the film is only squeezed (:mod:`.squeeze`), and of all directions of
the squeeze there is one whose film carries the load in the load's own direction: it is sought to
0.01°. The pressure is then in proportion to the load::

    p = p_1 F/(L D |w_1|/2)

with p_1 and w_1 the pressure and force of a unit velocity. So it is the same film as that of the
mobility map, and its peak the one of the path, but for the map's own error.

A groove all round the middle is two lands with half the load each and nothing in between. A half
groove and an oil hole are in the film of :mod:`.fixed_squeeze`; there the direction is found
between two of a fan.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from oilwedge.errors import Fault, OutOfRangeError
from oilwedge.film.path_groove import NO_GROOVE, GroovePlace, PathGroove
from oilwedge.film.squeeze import SqueezeField, solve_squeeze_field

Array = NDArray[np.float64]

_SEARCH = (180, 10)  # cells around and over half the width
_ANSWER = (360, 20)
_CLOSE_RAD = math.radians(0.01)
_MOST_STEPS = 60
_FAN, _FANS = 33, 2  # directions once round, and again between two of them
_LINES, _IN_GROOVE, _BESIDE = 240, 5, 12


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class MomentPressure:
    """Pressure (Pa, above the surroundings) at one moment, in axes fixed to the bearing.

    ``pressures_pa[i, j]`` at ``angles_rad[i]``, from the x axis towards y, rising once round, and
    ``places_m[j]`` over the width from one end to the other, both ends in.
    """

    angles_rad: Array
    places_m: Array
    pressures_pa: Array

    @property
    def peak_pa(self) -> float:
        """The highest pressure."""
        return float(self.pressures_pa.max())


def moment_pressure(
    *,
    eccentricity_x: float,
    eccentricity_y: float,
    force_x_n: float,
    force_y_n: float,
    diameter_m: float,
    width_m: float,
    groove: GroovePlace = NO_GROOVE,
) -> MomentPressure:
    """The pressure for a journal at this eccentricity ratio under this load (N); lengths in m.

    Errors: an :class:`OutOfRangeError` for no load, an eccentricity ratio of 1 or more, and what
    :func:`~oilwedge.film.squeeze.solve_squeeze` refuses; an ArithmeticError where the rupture
    round a half groove or hole does not settle.
    """
    force = math.hypot(force_x_n, force_y_n)
    if not (math.isfinite(force) and force > 0.0):
        raise OutOfRangeError(
            Fault(given=f"{force:g} N", allowed="a load above 0 that the film carries")
        )
    ratio = math.hypot(eccentricity_x, eccentricity_y)
    if ratio >= 1.0:
        raise OutOfRangeError(
            Fault(
                given=f"eccentricity ratio {ratio:g}",
                allowed="the journal stays inside its clearance, from 0 to below 1",
            )
        )
    centres = math.atan2(eccentricity_y, eccentricity_x)
    load = math.remainder(math.atan2(force_y_n, force_x_n) - centres, 2.0 * math.pi)
    lands = 2 if groove.kind is PathGroove.FULL else 1
    land_m = (width_m - groove.width_m) / 2.0 if lands == 2 else width_m
    if groove.kind in (PathGroove.HALF, PathGroove.HOLE):
        field = _carrying_fixed(ratio, load, centres, diameter_m, width_m, groove)
    else:
        field = _carrying(ratio, load, land_m / diameter_m)
    unit = math.hypot(field.force_along, field.force_across)
    scale = force / lands / (0.5 * land_m * diameter_m * unit)
    gap_m = width_m - lands * land_m
    return MomentPressure(
        angles_rad=np.asarray(field.angles_rad + centres),
        places_m=_places(field, lands=lands, land_m=land_m, gap_m=gap_m),
        pressures_pa=np.tile(_across(field) * scale, (1, lands)),
    )


def _carrying_fixed(
    ratio: float,
    load_rad: float,
    centres_rad: float,
    diameter_m: float,
    width_m: float,
    groove: GroovePlace,
) -> SqueezeField:
    """The same with a half groove or hole, which stands in the bearing."""
    from oilwedge.film.fixed_squeeze import Feature, Mesh, solve_fan, solve_field

    mesh = Mesh(around=_LINES, in_groove=_IN_GROOVE, beside=_BESIDE)
    feature = Feature(kind=groove.kind, share=groove.width_m / width_m)
    from_groove = centres_rad - groove.angle_rad

    def past_load(directions: Array) -> Array:
        """How far the film's force points past the load, between −π and π."""
        fan = solve_fan(
            eccentricity_ratio=ratio,
            eccentricity_angle_rad=from_groove,
            directions_rad=directions,
            width_ratio=width_m / diameter_m,
            feature=feature,
            mesh=mesh,
        )
        past = np.arctan2(fan[:, 1], fan[:, 0]) - load_rad
        return np.asarray((past + np.pi) % (2.0 * np.pi) - np.pi)

    low, high = -math.pi, math.pi
    for _ in range(_FANS):
        directions = np.linspace(low, high, _FAN)
        past = past_load(directions)
        crossed = (past[:-1] <= 0.0) & (past[1:] > 0.0) & (past[1:] - past[:-1] < np.pi)
        if not crossed.any():
            raise ArithmeticError("no squeeze of this film carries the load in its direction")
        n = int(np.argmax(crossed))
        low, high = float(directions[n]), float(directions[n + 1])
    share = -past[n] / (past[n + 1] - past[n])
    field = solve_field(
        eccentricity_ratio=ratio,
        eccentricity_angle_rad=from_groove,
        direction_rad=low + float(share) * (high - low),
        width_ratio=width_m / diameter_m,
        feature=feature,
        mesh=mesh,
    )
    return SqueezeField(
        angles_rad=field.angles_rad,
        places=field.places,
        pressures=field.pressures,
        force_along=field.force_along,
        force_across=field.force_across,
    )


def _carrying(ratio: float, load_rad: float, width_ratio: float) -> SqueezeField:
    """The squeezed film whose force points along the load; its direction found by halving."""

    def film(direction_rad: float, cells: tuple[int, int]) -> SqueezeField:
        return solve_squeeze_field(
            eccentricity_ratio=ratio,
            direction_rad=math.copysign(direction_rad, load_rad),
            width_ratio=width_ratio,
            cells_around=cells[0],
            cells_half_width=cells[1],
        )

    def reached(direction_rad: float) -> float:
        found = film(direction_rad, _SEARCH)
        return abs(math.atan2(found.force_across, found.force_along))

    # The film is the same mirrored in the line of centres: forces along it belong to squeezes
    # along it, and in between the force turns with the squeeze.
    size = abs(load_rad)
    low, high = 0.0, math.pi
    for end in (low, high):
        if abs(size - end) <= _CLOSE_RAD:
            return film(end, _ANSWER)
    for _ in range(_MOST_STEPS):
        middle = 0.5 * (low + high)
        off = reached(middle) - size
        if abs(off) <= _CLOSE_RAD:
            break
        low, high = (middle, high) if off < 0.0 else (low, middle)
    return film(0.5 * (low + high), _ANSWER)


def _across(field: SqueezeField) -> Array:
    """The pressures over one land from end to end: the half, mirrored, and nothing at the ends."""
    half = field.pressures
    end = np.zeros((half.shape[0], 1))
    other = half[:, :0:-1] if field.places[0] == 0.0 else half[:, ::-1]
    return np.asarray(np.hstack((end, other, half, end)))


def _places(field: SqueezeField, *, lands: int, land_m: float, gap_m: float) -> Array:
    other = field.places[:0:-1] if field.places[0] == 0.0 else field.places[::-1]
    one = np.concatenate(([-1.0], -other, field.places, [1.0]))
    land = 0.5 * land_m * (1.0 + one)
    return np.concatenate([land + n * (land_m + gap_m) for n in range(lands)])
