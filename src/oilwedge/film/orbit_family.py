"""All orbits of one bearing whatever its clearance, oil and load scale: one smooth table.

Let the load be m (F₀ + γ F_g): F₀ of the masses, F_g of the gas, m a scale on the masses, γ m one
on the gas. With bearing, speed and history given, equation (1) of :mod:`.orbit` holds clearance,
viscosity and load scale in one group only::

    s = m C²/μ                                                                             (1)

so that the path ε(φ) depends on s and γ alone, and with it 1 − ε, P C/μ (friction power), Q/C (side
flow) and p/m (pressure). The similarity is exact for the equations; what is an approximation is the
interpolation between the orbits of the table: cubic splines over ln s and γ. The smallest film of a
cycle has kinks where another place of the cycle becomes the thinnest; so the table holds ln(1 − ε)
and ln p for each short stretch of the cycle by itself, and takes the least or largest afterwards.

The error against orbits solved directly in the middle of cells is measured and kept. Outside its
table a family refuses: nothing is extrapolated.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import ArrayLike, NDArray

from oilwedge.errors import Fault, OutOfRangeError
from oilwedge.film.bearing_case import BearingCase, case_orbit, require_map
from oilwedge.film.load_history import LoadHistory
from oilwedge.film.oil_feed import mean_gap_number
from oilwedge.film.orbit import Orbit

Array = NDArray[np.float64]

STRETCH_RAD = math.radians(20.0)
LOG_STEP = 0.3
SHARE_STEP = 0.15
_FEWEST_NODES = 4  # a cubic spline needs them
_REFERENCE_CLEARANCE = 1e-3  # of the diameter: any does, since only s counts
_MARGIN = math.log(2.0)  # a stretch that never comes within this of the extreme is left out


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class FamilyMeans:
    """What the heat balance needs: P C/μ in m³/s², Q_side/C in m²/s, and the mean of 1 + 1.5 ε²."""

    friction_number: Array
    side_flow_number: Array
    gap_number: Array


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class FamilyFilms:
    """Many films of one bearing, arrays over the builds: m, W, m³/s (all lands' edges), Pa."""

    minimum_film_m: Array
    friction_power_w: Array
    side_flow_m3_s: Array
    gap_number: Array
    peak_pressure_pa: Array


@dataclass(frozen=True, kw_only=True, slots=True)
class FamilyError:
    """Largest relative error against ``orbits`` direct orbits, each in the middle of a cell."""

    minimum_film: float
    friction_power: float
    side_flow: float
    peak_pressure: float
    orbits: int


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class OrbitFamily:
    """The table: ``log_reach`` (nodes of ln s, s in m²/(Pa s)) by ``gas_shares`` (nodes of γ).

    ``film_logs``, ``pressure_logs``: stretches of the cycle last; ``means``: the logarithms of
    friction and side flow, and the gap number. ``orbits``: how many were solved for it.
    """

    case: BearingCase
    log_reach: Array
    gas_shares: Array
    film_logs: Array
    pressure_logs: Array
    means: Array
    orbits: int
    error: FamilyError | None = None

    def holds(self, *, log_reach: ArrayLike, gas_share: ArrayLike) -> NDArray[np.bool_]:
        """Whether each ln s and γ lies inside the table."""
        reach, share = np.asarray(log_reach), np.asarray(gas_share)
        inside = (reach >= self.log_reach[0]) & (reach <= self.log_reach[-1])
        return np.asarray(inside & (share >= self.gas_shares[0]) & (share <= self.gas_shares[-1]))

    def means_at(self, *, log_reach: Array, gas_share: Array) -> FamilyMeans:
        """The means at arrays of ln s and γ; OutOfRangeError outside the table."""
        self._refuse_outside(log_reach, gas_share)
        friction, side, gap = self._interpolated(self.means, log_reach, gas_share).T
        return FamilyMeans(
            friction_number=np.exp(friction), side_flow_number=np.exp(side), gap_number=gap
        )

    def rooms_at(self, *, log_reach: Array, gas_share: Array) -> Array:
        """The smallest 1 − ε of the cycle; OutOfRangeError outside the table."""
        self._refuse_outside(log_reach, gas_share)
        return np.asarray(
            np.exp(self._interpolated(self.film_logs, log_reach, gas_share).min(axis=1))
        )

    def evaluate(
        self,
        *,
        hot_clearance_m: Array,
        viscosity_pa_s: Array,
        gas_scale: Array,
        mass_scale: Array,
    ) -> FamilyFilms:
        """The films of many builds, all arrays of one length.

        ``hot_clearance_m``: diametral; ``gas_scale``, ``mass_scale``: over those of the case's
        history. OutOfRangeError where one lies outside the table.
        """
        radial = 0.5 * hot_clearance_m
        reach = log_reach_of(
            hot_clearance_m=hot_clearance_m, viscosity_pa_s=viscosity_pa_s, mass_scale=mass_scale
        )
        share = gas_scale / mass_scale
        means = self.means_at(log_reach=reach, gas_share=share)
        peak = self._interpolated(self.pressure_logs, reach, share).max(axis=1)
        return FamilyFilms(
            minimum_film_m=radial * self.rooms_at(log_reach=reach, gas_share=share),
            friction_power_w=means.friction_number * viscosity_pa_s / radial,
            side_flow_m3_s=means.side_flow_number * radial,
            gap_number=means.gap_number,
            peak_pressure_pa=np.exp(peak) * mass_scale,
        )

    def _interpolated(self, table: Array, reach: Array, share: Array) -> Array:
        """Points × last axis of a table, by its cubic splines over both nodes."""
        down = _cardinal(self.log_reach, reach)
        along = _cardinal(self.gas_shares, share)
        rows, columns, depth = table.shape
        between = (down @ table.reshape(rows, columns * depth)).reshape(-1, columns, depth)
        return np.asarray(np.einsum("pc,pcd->pd", along, between))

    def _refuse_outside(self, reach: Array, share: Array) -> None:
        if not self.holds(log_reach=reach, gas_share=share).all():
            raise OutOfRangeError(
                Fault(
                    given=f"clearance, oil and load that reach {np.exp(np.max(reach)):.3g}"
                    f" m²/(Pa s) at {np.max(share):.3g} of the gas load",
                    allowed=f"these orbits hold from {math.exp(self.log_reach[0]):.3g} to"
                    f" {math.exp(self.log_reach[-1]):.3g} m²/(Pa s) and for"
                    f" {self.gas_shares[0]:.3g} to {self.gas_shares[-1]:.3g} of the gas load",
                    action="solve a family of a wider range",
                )
            )


def log_reach_of(
    *, hot_clearance_m: ArrayLike, viscosity_pa_s: ArrayLike, mass_scale: ArrayLike
) -> Array:
    """ln s by (1), from the diametral clearance in m; s in m²/(Pa s)."""
    radial = 0.5 * np.asarray(hot_clearance_m, dtype=np.float64)
    return np.asarray(np.log(radial**2 * np.asarray(mass_scale) / np.asarray(viscosity_pa_s)))


def solve_family(
    *,
    case: BearingCase,
    log_reach: tuple[float, float],
    gas_shares: tuple[float, float],
    log_step: float = LOG_STEP,
    share_step: float = SHARE_STEP,
    checks: int = 8,
) -> OrbitFamily:
    """Solve the orbits of a table from the least to the largest ln s and γ given.

    Where the film is too thin to be answered or a path does not close, for any γ, the table ends
    before that s; see ``log_reach``. ``checks``: direct orbits for the error. OutOfRangeError
    where fewer than four s are left, or no map holds for the bearing.
    """
    require_map(case)
    reaches = _nodes(*log_reach, log_step)
    shares = _nodes(*gas_shares, share_step)
    rows = [_row(case, float(reach), shares) for reach in reaches]
    first, last = _longest_run([row is not None for row in rows])
    kept = [row for row in rows[first:last] if row is not None]
    if len(kept) < _FEWEST_NODES:
        raise OutOfRangeError(
            Fault(
                given=f"{len(kept)} of {len(rows)} clearances tried",
                allowed="nearly everywhere about this clearance and oil the load is above what the"
                " film carries, or the path does not close",
                action="check forces, clearance, viscosity and their units",
            )
        )
    family = OrbitFamily(
        case=case,
        log_reach=reaches[first:last],
        gas_shares=shares,
        film_logs=_near(np.array([[n.film_logs for n in row] for row in kept]), sign=-1.0),
        pressure_logs=_near(np.array([[n.pressure_logs for n in row] for row in kept]), sign=1.0),
        means=np.array([[n.means for n in row] for row in kept]),
        orbits=len(rows) * shares.size,
    )
    return replace(family, error=_measured_error(family, checks)) if checks else family


def family_orbit(*, case: BearingCase, log_reach: float, gas_share: float) -> Orbit:
    """One orbit of the family, solved directly, with the masses as they are (m = 1)."""
    clearance = _REFERENCE_CLEARANCE * case.diameter_m
    return case_orbit(
        case=case,
        history=_scaled(case, gas_share),
        hot_clearance_m=clearance,
        viscosity_pa_s=0.25 * clearance**2 / math.exp(log_reach),
    )


def _scaled(case: BearingCase, gas_share: float) -> LoadHistory:
    """F₀ + γ F_g."""
    whole, bare = case.history, case.without_gas
    return replace(
        whole,
        force_x_n=bare.force_x_n + gas_share * (whole.force_x_n - bare.force_x_n),
        force_y_n=bare.force_y_n + gas_share * (whole.force_y_n - bare.force_y_n),
    )


def _nodes(low: float, high: float, step: float) -> Array:
    count = max(_FEWEST_NODES, math.ceil((high - low) / step) + 1)
    middle, half = 0.5 * (low + high), max(0.5 * (high - low) * (1.0 + 1e-9), 0.05)
    return np.linspace(middle - half, middle + half, count)


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class _Node:
    """One orbit of the table: ln(1 − ε) and ln p of each stretch, and the three means."""

    film_logs: Array
    pressure_logs: Array
    means: Array


def _row(case: BearingCase, reach: float, shares: Array) -> list[_Node] | None:
    """The orbits at one ln s, one for each γ; None where one of them is no answer."""
    nodes = []
    for share in shares:
        try:
            orbit = family_orbit(case=case, log_reach=reach, gas_share=float(share))
        except OutOfRangeError:
            return None
        if not orbit.converged:
            return None
        nodes.append(_node(orbit, math.exp(reach)))
    return nodes


def _node(orbit: Orbit, reach: float) -> _Node:
    radial = orbit.radial_clearance_m
    rooms = orbit.films_m / radial
    parts = list(_stretches(orbit))
    path = np.stack((orbit.eccentricity_x, orbit.eccentricity_y), axis=1)
    return _Node(
        film_logs=np.log([rooms[part].min() for part in parts]),
        pressure_logs=np.log([orbit.peak_pressures_pa[part].max() for part in parts]),
        means=np.array(
            [
                math.log(orbit.mean_friction_power_w * reach / radial),  # P C/μ, μ = C²/s
                math.log(orbit.mean_side_flow_m3_s / radial),
                mean_gap_number(angle_rad=orbit.angle_rad, path=path),
            ]
        ),
    )


def _stretches(orbit: Orbit) -> Iterator[slice]:
    """Parts of the cycle of about 20° each, that share their ends."""
    span = float(orbit.angle_rad[-1] - orbit.angle_rad[0])
    edges = np.linspace(0, orbit.angle_rad.size - 1, round(span / STRETCH_RAD) + 1).astype(int)
    return (slice(int(start), int(end) + 1) for start, end in pairwise(edges))


def _near(values: Array, *, sign: float) -> Array:
    """The stretches (last axis) that matter: largest of ``sign`` × value, or near it, anywhere."""
    signed = sign * values
    short = signed.max(axis=2, keepdims=True) - signed
    return values[:, :, short.min(axis=(0, 1)) < _MARGIN]


def _longest_run(good: list[bool]) -> tuple[int, int]:
    """Start and end of the longest run of true."""
    best = start = end = 0
    for place, true in enumerate([*good, False]):
        if true:
            continue
        if place - start > best:
            best, end = place - start, place
        start = place + 1
    return end - best, end


def _cardinal(nodes: Array, points: Array) -> Array:
    """Points × nodes: how much each node's value counts in the cubic spline through all."""
    from scipy.interpolate import CubicSpline

    return np.asarray(CubicSpline(nodes, np.eye(nodes.size))(points))


def _measured_error(family: OrbitFamily, checks: int) -> FamilyError:
    """Against direct orbits in the middle of cells that are spread over the table."""
    rows, columns = family.log_reach.size - 1, family.gas_shares.size - 1
    cells = [((2 * k + 1) * rows // (2 * checks), (7 * k + 1) % columns) for k in range(checks)]
    worst = np.zeros(4)
    for row, column in cells:
        reach = family.log_reach[row : row + 2].mean(keepdims=True)
        share = family.gas_shares[column : column + 2].mean(keepdims=True)
        orbit = family_orbit(case=family.case, log_reach=float(reach[0]), gas_share=float(share[0]))
        clearance = np.array([2.0 * orbit.radial_clearance_m])
        found = family.evaluate(
            hot_clearance_m=clearance,
            viscosity_pa_s=0.25 * clearance**2 / np.exp(reach),
            gas_scale=share,
            mass_scale=np.ones(1),
        )
        pairs = (
            (found.minimum_film_m, orbit.minimum_film_m),
            (found.friction_power_w, orbit.mean_friction_power_w),
            (found.side_flow_m3_s, orbit.mean_side_flow_m3_s),
            (found.peak_pressure_pa, orbit.peak_pressure_pa),
        )
        worst = np.maximum(worst, [abs(float(table[0]) / exact - 1.0) for table, exact in pairs])
    film, friction, side, peak = (float(error) for error in worst)
    return FamilyError(
        minimum_film=film,
        friction_power=friction,
        side_flow=side,
        peak_pressure=peak,
        orbits=checks,
    )
