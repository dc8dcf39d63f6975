"""Closed forms for the steady journal bearing: very wide (Sommerfeld) and very short (Ocvirk).

ε eccentricity ratio, S = (R/C)² μ N/p the Sommerfeld number (C radial clearance, N in revolutions
a second, p load over width times diameter), φ the attitude angle from the load to the line of
centres, in the direction of rotation, D diameter, L width.

Sources: recalled from the handbooks (Cameron, Pinkus and Sternlicht, DuBois and Ocvirk), derived
again and compared with quadrature in the tests.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from oilwedge.errors import Fault, OutOfRangeError


@dataclass(frozen=True, kw_only=True, slots=True)
class ClosedForm:
    """Sommerfeld number and attitude angle (rad) of a bearing at one eccentricity ratio."""

    sommerfeld_number: float
    attitude_angle_rad: float


def require_eccentricity(eccentricity_ratio: float) -> None:
    """Raise :class:`OutOfRangeError` unless the journal is off centre and inside the bearing."""
    if not 0.0 < eccentricity_ratio < 1.0:
        raise OutOfRangeError(
            Fault(
                given=f"{eccentricity_ratio:g}",
                allowed="an eccentricity ratio lies between 0 and 1, both excluded",
            )
        )


def short_bearing(*, eccentricity_ratio: float, width_ratio: float) -> ClosedForm:
    """Ocvirk's short bearing, film in the closing half: S (L/D)² and φ.

    S (L/D)² = (1 − ε²)² / (π ε √(π² (1 − ε²) + 16 ε²)); tan φ = π √(1 − ε²) / (4 ε).
    ``width_ratio`` is L/D; the limit L/D → 0: at 1/4 the load is 4 % out at ε = 0.4 and 18 % at
    ε = 0.8.
    """
    require_eccentricity(eccentricity_ratio)
    e, rest = eccentricity_ratio, 1.0 - eccentricity_ratio**2
    s = rest**2 / (math.pi * e * math.sqrt(math.pi**2 * rest + 16.0 * e**2))
    return ClosedForm(
        sommerfeld_number=s / width_ratio**2,
        attitude_angle_rad=math.atan2(math.pi * math.sqrt(rest), 4.0 * e),
    )


def short_bearing_side_flow(*, eccentricity_ratio: float) -> float:
    """Side flow of Ocvirk's bearing, Qs/(R C N L) = 2 π ε, the half film's."""
    require_eccentricity(eccentricity_ratio)
    return 2.0 * math.pi * eccentricity_ratio


def wide_bearing_full_film(*, eccentricity_ratio: float) -> ClosedForm:
    """Sommerfeld's wide bearing with film all round: S = (2 + ε²) √(1 − ε²) / (12 π² ε), φ = 90°.

    Its pressures under those of the surroundings are ones that oil does not bear.
    """
    require_eccentricity(eccentricity_ratio)
    e = eccentricity_ratio
    s = (2.0 + e**2) * math.sqrt(1.0 - e**2) / (12.0 * math.pi**2 * e)
    return ClosedForm(sommerfeld_number=s, attitude_angle_rad=0.5 * math.pi)


def wide_bearing_half_film(*, eccentricity_ratio: float) -> ClosedForm:
    """Wide bearing, Sommerfeld's pressure of the closing half alone (Gümbel).

    S = (2 + ε²)(1 − ε²) / (6 π ε √(4 ε² + π² (1 − ε²))); tan φ = π √(1 − ε²) / (2 ε).
    """
    require_eccentricity(eccentricity_ratio)
    e, rest = eccentricity_ratio, 1.0 - eccentricity_ratio**2
    root = math.sqrt(4.0 * e**2 + math.pi**2 * rest)
    return ClosedForm(
        sommerfeld_number=(2.0 + e**2) * rest / (6.0 * math.pi * e * root),
        attitude_angle_rad=math.atan2(math.pi * math.sqrt(rest), 2.0 * e),
    )


def wide_bearing(*, eccentricity_ratio: float) -> ClosedForm:
    """Wide bearing under the Reynolds condition, fed at the largest gap.

    With Sommerfeld's angle γ, H = 1 + ε cos θ = (1 − ε²)/(1 − ε cos γ), the pressure goes as::

        g = γ − ε sin γ − (γ (1 + ε²/2) − 2 ε sin γ + (ε²/4) sin 2γ) / (1 − ε cos γe)

    The film ends at γe > π where g(γe) = 0 and H = He. The force is integrated by parts from
    dp/dθ = 6 (H − He)/H³ by Gauss's quadrature in γ, where the integrand is smooth.
    """
    require_eccentricity(eccentricity_ratio)
    e = eccentricity_ratio
    end = _film_end(e)
    nodes, weights = np.polynomial.legendre.leggauss(200)
    gamma = 0.5 * end * (nodes + 1.0)
    h = (1.0 - e**2) / (1.0 - e * np.cos(gamma))
    root = math.sqrt(1.0 - e**2)
    sine, cosine = h * np.sin(gamma) / root, (h - 1.0) / e
    h_end = (1.0 - e**2) / (1.0 - e * math.cos(end))
    # ∫ −p cos θ = ∫ p' sin θ and ∫ p sin θ = ∫ p' cos θ, for p is 0 at both ends
    slope = 0.5 * end * weights * 6.0 * (h - h_end) / h**2 / root
    along, across = float(np.sum(slope * sine)), float(np.sum(slope * cosine))
    return ClosedForm(
        sommerfeld_number=1.0 / (math.pi * math.hypot(along, across)),
        attitude_angle_rad=math.atan2(across, along),
    )


def wide_bearing_film_end(*, eccentricity_ratio: float) -> float:
    """Angle past the largest gap, rad, where the film of :func:`wide_bearing` ends."""
    require_eccentricity(eccentricity_ratio)
    e = eccentricity_ratio
    cosine = math.cos(_film_end(e))
    return 2.0 * math.pi - math.acos((cosine - e) / (1.0 - e * cosine))


def _film_end(e: float) -> float:
    """Sommerfeld's angle where the film ends, by bisection between π and 2π."""
    low, high = math.pi, 2.0 * math.pi
    for _ in range(60):
        end = 0.5 * (low + high)
        flow = end * (1.0 + 0.5 * e**2) - 2.0 * e * math.sin(end)
        flow += 0.25 * e**2 * math.sin(2.0 * end)
        pressure = end - e * math.sin(end) - flow / (1.0 - e * math.cos(end))
        low, high = (end, high) if pressure > 0.0 else (low, end)
    return 0.5 * (low + high)
