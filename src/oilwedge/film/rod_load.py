"""Forces on piston, rod and crank pin of one cylinder over a cycle.

Axes of the cylinder, seen from the front with the crank turning clockwise: x outwards along the
cylinder, y towards the side that the pin moves to after top dead centre (:mod:`.kinematics`).
With gas pressure p and crankcase pressure p₀, piston area A, reciprocating mass m_r = piston set +
pin + small end, big end m_b, piston acceleration a (positive towards the crank), rod angle φ::

    G_x = (p − p₀) A − m_r a                 along the cylinder, through the small end
    G_y = −G_x tan φ + ΔI φ''/(l cos φ)      side force of the piston on the cylinder's wall
    F   = −G + m_b ω² r (cos θ, sin θ)       force of the rod on the crank pin

The rod is two masses at its ends and the couple of what inertia is left over,
ΔI = I_G − m_rod a_G b_G (a_G, b_G from the centre of mass to big and small end): exact for a rigid
rod. Without a known I_G, ΔI is taken as 0, the usual two-mass rod. Friction and weight are left
out; the speed is steady. Newtons, metres, kilograms, radians.

The load that presses the pin into the rod's shell is −F (the film carries F from rod to pin):
when the gas pushes down, the upper half shell, on the rod's side, is loaded. In the rod's axes x
runs from big end to small end and y square to it, again from x towards y as the crank turns; the
pin turns in them at ω + φ', which swings over the cycle.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from oilwedge.errors import Fault, InputError
from oilwedge.film.gas_pressure import PressureTrace
from oilwedge.film.kinematics import SliderCrank, motion

__all__ = ["Cylinder", "PolarDiagram", "RodLoad", "RodMasses", "polar_diagram", "rod_load"]

_ENDS_SHARE = 0.01  # weighed ends may miss the whole rod by 1 %: common practice, no source


@dataclass(frozen=True, kw_only=True, slots=True)
class RodMasses:
    """What the scales say, in kg: piston with rings and clips, pin, rod, and the rod's two ends.

    The ends are weighed with the other end held level; they have to add up to the rod within 1 %,
    and what they miss is shared out in proportion. ``rod_inertia_kg_m2``: moment of inertia about
    the rod's centre of mass; None leaves the two-mass rod. InputError in a sentence otherwise.
    """

    piston_set_kg: float
    pin_kg: float
    rod_kg: float
    rod_big_end_kg: float
    rod_small_end_kg: float
    rod_inertia_kg_m2: float | None = None

    def __post_init__(self) -> None:
        for words, value in (
            ("piston", self.piston_set_kg),
            ("rod", self.rod_kg),
            ("rod's big end", self.rod_big_end_kg),
            ("rod's small end", self.rod_small_end_kg),
        ):
            if not (math.isfinite(value) and value > 0.0):
                raise _mass_fault(f"{words} {value * 1e3:g} g", "a mass lies above 0")
        if not (math.isfinite(self.pin_kg) and self.pin_kg >= 0.0):
            raise _mass_fault(f"pin {self.pin_kg * 1e3:g} g", "a mass is not negative")
        inertia = self.rod_inertia_kg_m2
        if inertia is not None and not (math.isfinite(inertia) and inertia > 0.0):
            raise _mass_fault(f"rod's inertia {inertia:g} kg m²", "an inertia lies above 0")
        ends = self.rod_big_end_kg + self.rod_small_end_kg
        if abs(ends - self.rod_kg) > _ENDS_SHARE * self.rod_kg:
            raise _mass_fault(
                f"big end {self.rod_big_end_kg * 1e3:g} g and small end "
                f"{self.rod_small_end_kg * 1e3:g} g, together {ends * 1e3:g} g",
                f"the two ends of a rod add up to the whole rod, {self.rod_kg * 1e3:g} g, "
                "within 1 %",
            )

    @property
    def big_end_kg(self) -> float:
        """Mass at the crank pin, in kg, with the ends scaled to the whole rod."""
        ends = self.rod_big_end_kg + self.rod_small_end_kg
        return self.rod_kg * self.rod_big_end_kg / ends

    @property
    def reciprocating_kg(self) -> float:
        """m_r: piston set, pin and small end, in kg."""
        return self.piston_set_kg + self.pin_kg + self.rod_kg - self.big_end_kg

    def residual_inertia_kg_m2(self, *, rod_length_m: float) -> float:
        """ΔI = I_G − m a b in kg m²; a = l m_small/m and b = l m_big/m from the ends' masses."""
        if self.rod_inertia_kg_m2 is None:
            return 0.0
        small = self.rod_kg - self.big_end_kg
        return self.rod_inertia_kg_m2 - rod_length_m**2 * small * self.big_end_kg / self.rod_kg


def _mass_fault(given: str, allowed: str) -> InputError:
    return InputError(Fault(given=given, allowed=allowed, action="weigh again"))


@dataclass(frozen=True, kw_only=True, slots=True)
class Cylinder:
    """One cylinder: its slider-crank, bore in m, masses, pressure trace and crankcase pressure."""

    crank: SliderCrank
    bore_m: float
    masses: RodMasses
    trace: PressureTrace
    crankcase_pressure_pa: float = 100_000.0

    def __post_init__(self) -> None:
        if not (math.isfinite(self.bore_m) and self.bore_m > 0.0):
            raise InputError(
                Fault(
                    given=f"bore {self.bore_m * 1e3:g} mm",
                    allowed="a bore lies above 0",
                    action="give the diameter of the cylinder",
                )
            )
        if not (math.isfinite(self.crankcase_pressure_pa) and self.crankcase_pressure_pa > 0.0):
            raise InputError(
                Fault(
                    given=f"crankcase pressure {self.crankcase_pressure_pa * 1e-5:g} bar",
                    allowed="pressures are absolute, above 0",
                    action="give about 1 bar for a crankcase that breathes freely",
                )
            )

    @property
    def piston_area_m2(self) -> float:
        """A = π/4·bore², in m²."""
        return math.pi / 4.0 * self.bore_m**2


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class RodLoad:
    """Arrays over ``angle_rad``, radians after the piston's top dead centre of firing.

    ``gas_force_n`` and ``inertia_force_n`` (of the reciprocating mass) count as pushing the piston
    towards the crank and outwards. ``side_force_n``: piston on wall, positive towards +y.
    ``space_*``: force of the rod on the crank pin in the cylinder's axes; ``pin_*``: the same
    along the throw (outwards) and square to it (as the pin moves). ``shell_*``: the load that
    presses the pin into the rod's shell, in the rod's axes, and ``journal_speed_rad_s`` the pin's
    speed of turning in those axes. ``torque_n_m``: on the crank, positive when it drives.
    """

    angle_rad: NDArray[np.float64]
    throw_angle_rad: NDArray[np.float64]
    gas_force_n: NDArray[np.float64]
    inertia_force_n: NDArray[np.float64]
    side_force_n: NDArray[np.float64]
    space_x_n: NDArray[np.float64]
    space_y_n: NDArray[np.float64]
    pin_radial_n: NDArray[np.float64]
    pin_tangential_n: NDArray[np.float64]
    shell_x_n: NDArray[np.float64]
    shell_y_n: NDArray[np.float64]
    journal_speed_rad_s: NDArray[np.float64]
    torque_n_m: NDArray[np.float64]


def rod_load(*, cylinder: Cylinder, speed_rad_s: float, angle_rad: ArrayLike) -> RodLoad:
    """All forces of one cylinder at crank angles after firing top dead centre (module text).

    ``speed_rad_s`` is the steady speed of the crank; 0 gives the gas alone. InputError when
    negative or no number: a crank that turns the other way is looked at from its other end.
    """
    if not (math.isfinite(speed_rad_s) and speed_rad_s >= 0.0):
        raise InputError(
            Fault(
                given=f"speed {speed_rad_s:g} rad/s",
                allowed="the speed of the crank is not negative",
                action="look at an engine that turns anticlockwise from its other end",
            )
        )
    crank, masses = cylinder.crank, cylinder.masses
    angle = np.asarray(angle_rad, dtype=np.float64)
    theta = angle + crank.top_angle_rad
    moved = motion(crank=crank, angle_rad=theta, speed_rad_s=speed_rad_s)
    cos_t, sin_t = np.cos(theta), np.sin(theta)
    sin_p = np.sin(moved.rod_angle_rad)
    cos_p = np.cos(moved.rod_angle_rad)
    gas = (cylinder.trace.at(angle) - cylinder.crankcase_pressure_pa) * cylinder.piston_area_m2
    inertia = masses.reciprocating_kg * moved.piston_acceleration_m_s2
    along = gas - inertia
    residual = masses.residual_inertia_kg_m2(rod_length_m=crank.rod_length_m)
    side = -along * sin_p / cos_p + residual * moved.rod_acceleration_rad_s2 / (
        crank.rod_length_m * cos_p
    )
    outwards = masses.big_end_kg * speed_rad_s**2 * crank.throw_m
    force_x, force_y = outwards * cos_t - along, outwards * sin_t - side
    tangential = cos_t * force_y - sin_t * force_x
    return RodLoad(
        angle_rad=angle,
        throw_angle_rad=theta,
        gas_force_n=gas,
        inertia_force_n=inertia,
        side_force_n=side,
        space_x_n=force_x,
        space_y_n=force_y,
        pin_radial_n=cos_t * force_x + sin_t * force_y,
        pin_tangential_n=tangential,
        # the rod points along (cos φ, −sin φ); y of the rod is (sin φ, cos φ)
        shell_x_n=sin_p * force_y - cos_p * force_x,
        shell_y_n=-(sin_p * force_x + cos_p * force_y),
        journal_speed_rad_s=speed_rad_s + moved.rod_speed_rad_s,
        torque_n_m=crank.throw_m * tangential,
    )


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class PolarDiagram:
    """A load as size (N) and direction (rad, from x towards y, −π to π) over the crank angle (rad).

    ``largest_n`` and the crank angle where it is; ``mean_n``: the mean of the size over the points.
    """

    angle_rad: NDArray[np.float64]
    size_n: NDArray[np.float64]
    direction_rad: NDArray[np.float64]
    largest_n: float
    largest_angle_rad: float
    mean_n: float


def polar_diagram(
    *, angle_rad: ArrayLike, force_x_n: ArrayLike, force_y_n: ArrayLike
) -> PolarDiagram:
    """Size √(x² + y²) and direction atan2(y, x) of a force in N over evenly spaced angles (rad)."""
    angle = np.asarray(angle_rad, dtype=np.float64)
    x, y = np.asarray(force_x_n, dtype=np.float64), np.asarray(force_y_n, dtype=np.float64)
    size = np.hypot(x, y)
    largest = int(np.argmax(size))
    return PolarDiagram(
        angle_rad=angle,
        size_n=size,
        direction_rad=np.arctan2(y, x),
        largest_n=float(size[largest]),
        largest_angle_rad=float(angle[largest]),
        mean_n=float(size.mean()),
    )
