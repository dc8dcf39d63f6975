"""Motion of a slider-crank: piston, rod and crank pin at a steady speed of the crank.

Axes of one cylinder, seen from the front of the engine with the crank turning clockwise: x from
the crank's axis outwards along the cylinder, y square to it, towards the side that the crank pin
moves to after top dead centre. θ is the angle of the throw from x, positive from x towards y.

With throw r, rod length l and offset e (the cylinder's axis, or the piston pin's path, lies at
y = e)::

    sin φ = (r sin θ − e)/l              rod angle, positive when the pin is on the side of +y
    x_P   = r cos θ + l cos φ            piston pin above the crank's axis
    s     = √((l + r)² − e²) − x_P       travel from top dead centre, towards the crank
    v     = ds/dt,  a = d²s/dt²          at constant speed ω, exact, nothing left out

Top dead centre is at sin θ = e/(l + r): a little after θ = 0 when e > 0. Metres, radians,
seconds. Textbook mechanics; the rod is rigid and the speed does not swing.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from oilwedge.errors import Fault, InputError

__all__ = ["Motion", "SliderCrank", "motion"]


@dataclass(frozen=True, kw_only=True, slots=True)
class SliderCrank:
    """Throw r, rod length l between centres and offset e of the cylinder's axis, in metres.

    InputError unless r > 0 and r + |e| < l (else the rod could not pass).
    """

    throw_m: float
    rod_length_m: float
    offset_m: float = 0.0

    def __post_init__(self) -> None:
        given = (self.throw_m, self.rod_length_m, self.offset_m)
        if not all(math.isfinite(value) for value in given) or self.throw_m <= 0.0:
            raise InputError(
                Fault(
                    given=f"throw {self.throw_m:g} m",
                    allowed="the throw of a crank is half the stroke, above 0",
                    action="give lengths that are numbers",
                )
            )
        if self.throw_m + abs(self.offset_m) >= self.rod_length_m:
            raise InputError(
                Fault(
                    given=f"rod {self.rod_length_m * 1e3:g} mm",
                    allowed=f"a rod has to be longer than throw and offset together, here "
                    f"{(self.throw_m + abs(self.offset_m)) * 1e3:g} mm",
                    action="measure the rod between the centres of its two bores",
                )
            )

    @property
    def crank_ratio(self) -> float:
        """λ = r/l, no unit."""
        return self.throw_m / self.rod_length_m

    @property
    def top_angle_rad(self) -> float:
        """θ at top dead centre: arcsin(e/(l + r)), in radians."""
        return math.asin(self.offset_m / (self.rod_length_m + self.throw_m))

    @property
    def stroke_m(self) -> float:
        """√((l + r)² − e²) − √((l − r)² − e²): 2r without an offset, else a little more."""
        long = self.rod_length_m + self.throw_m
        short = self.rod_length_m - self.throw_m
        return math.sqrt(long**2 - self.offset_m**2) - math.sqrt(short**2 - self.offset_m**2)


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class Motion:
    """Arrays over the crank angle θ (``angle_rad``), all of its shape.

    Travel, velocity and acceleration of the piston count towards the crank; rod angle φ as in
    the module's text, with its first and second derivative in time (rad/s, rad/s²).
    """

    angle_rad: NDArray[np.float64]
    piston_travel_m: NDArray[np.float64]
    piston_velocity_m_s: NDArray[np.float64]
    piston_acceleration_m_s2: NDArray[np.float64]
    rod_angle_rad: NDArray[np.float64]
    rod_speed_rad_s: NDArray[np.float64]
    rod_acceleration_rad_s2: NDArray[np.float64]


def motion(*, crank: SliderCrank, angle_rad: ArrayLike, speed_rad_s: float) -> Motion:
    """The motion at crank angles θ (any shape) for a steady speed ω of the crank.

    φ' = ω r cos θ/(l cos φ); φ'' = φ'² tan φ − ω² r sin θ/(l cos φ);
    v = ω r sin θ + φ' l sin φ; a = ω² r cos θ + l (φ'' sin φ + φ'² cos φ).
    With e = 0 and λ = r/l small, v ≈ rω (sin θ + ½λ sin 2θ) and a ≈ rω² (cos θ + λ cos 2θ).
    """
    theta = np.asarray(angle_rad, dtype=np.float64)
    r, length, omega = crank.throw_m, crank.rod_length_m, speed_rad_s
    sine, cosine = np.sin(theta), np.cos(theta)
    sin_phi = (r * sine - crank.offset_m) / length
    cos_phi = np.sqrt(1.0 - sin_phi * sin_phi)
    swing = omega * r * cosine / (length * cos_phi)
    swing_rate = swing**2 * sin_phi / cos_phi - omega**2 * r * sine / (length * cos_phi)
    top = math.sqrt((length + r) ** 2 - crank.offset_m**2)
    return Motion(
        angle_rad=theta,
        piston_travel_m=top - r * cosine - length * cos_phi,
        piston_velocity_m_s=omega * r * sine + swing * length * sin_phi,
        piston_acceleration_m_s2=(
            omega**2 * r * cosine + length * (swing_rate * sin_phi + swing**2 * cos_phi)
        ),
        rod_angle_rad=np.arcsin(sin_phi),
        rod_speed_rad_s=swing,
        rod_acceleration_rad_s2=swing_rate,
    )
