"""The step of the whole film, against exact films: of one dimension, and squeezed."""

from __future__ import annotations

import math
import tomllib
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from oilwedge.film.transient_cycle import FilmState, Ring, run_cycle
from oilwedge.film.transient_kernel import (
    COPIES,
    END,
    FEED,
    GROOVE,
    LAYERS,
    NEXT,
    SIDE,
    WIDE,
    film_step,
)
from oilwedge.film.transient_layout import cell_angles, ring_of
from oilwedge.film.transient_lines import RIGHT
from oilwedge.film.transient_rates import (
    FED,
    PEAK,
    PUMPED,
    RATES,
    SHEAR,
    SIDE_IN,
    SIDE_OUT,
    THIN_SHEAR,
    step_rates,
)

pytestmark = pytest.mark.published
Array = NDArray[np.float64]
PUBLISHED = Path(__file__).parents[1] / "published"
LONG = 1e9  # a step so long that what is left is the steady film


def values(key: str) -> dict[str, Any]:
    text = (PUBLISHED / key / "source.toml").read_text(encoding="utf-8")
    found = tomllib.loads(text)["values"]
    assert isinstance(found, dict)
    return found


@dataclass(frozen=True)
class Line:
    """A steady film of one dimension: pressure, film fraction, and which cells are full."""

    p: Array
    theta: Array
    film: NDArray[np.bool_]
    miss: Array


def steady_line(gap: Array, held: dict[int, float], *, conserving: bool = True) -> Line:
    """Cells once round with ``held`` pressures; long steps until nothing changes."""
    n = gap.size
    strip, flags = np.zeros((4, 1)), np.array([0.0, 0.0, 1.0, float(conserving), 0.0])
    strip[WIDE] = 1.0
    p, theta = np.zeros((n, 1)), np.ones((n, 1))
    film, fixed = np.ones((n, 1), dtype=np.bool_), np.zeros((n, 1), dtype=np.bool_)
    for cell, pressure in held.items():
        fixed[cell], p[cell] = True, pressure
    place, now = np.zeros(4), np.array([LONG, 1.0, 0.0, 0.0])
    form = gap[:, None] - 1.0
    band, right = np.empty((n, 3)), np.empty((n, RIGHT + 1))
    cell_values = np.empty((LAYERS, n, 1))
    for _ in range(400):
        took = film_step(
            ring_of(n), strip, flags, fixed, now, form, form, place, theta.copy(), p, theta,
            film, band, right, cell_values,
        )  # fmt: skip
        if 0 < took <= 2:
            return Line(p[:, 0], theta[:, 0], film[:, 0], cell_values[-1, :, 0])
    raise AssertionError("the film does not settle")


@pytest.mark.parametrize(
    ("e", "supply", "rupture", "reform", "peak", "force", "phi"),
    values("JFO_WIDE")["rows"],
)
def test_wide_bearing_ruptures_and_forms_again_where_it_should(
    e: float, supply: float, rupture: float, reform: float, peak: float, force: float, phi: float
) -> None:
    count = 720
    angle = cell_angles(count) - math.pi / count  # the groove is in the middle of its cell
    line = steady_line(1.0 + e * np.cos(angle), {0: supply})
    cavity = np.degrees(angle[~line.film])
    assert cavity[0] == pytest.approx(rupture, abs=0.75)
    assert cavity[-1] == pytest.approx(reform, abs=0.75)
    assert line.p.max() == pytest.approx(peak, rel=1e-3)
    step = 2.0 * math.pi / count
    along, across = -line.p @ np.cos(angle) * step, line.p @ np.sin(angle) * step
    assert math.hypot(along, across) == pytest.approx(force, rel=1e-3)
    assert math.degrees(math.atan2(across, along)) == pytest.approx(phi, abs=0.1)


COUNT = 2001
POCKET = values("POCKET_SLIDER")
LENGTH_M, SPEED, VISCOSITY, ENDS_PA, CAVITY_PA, FILM_M = 0.020, 1.0, 0.01, 100e3, 50e3, 1e-6


def pocket(*, conserving: bool) -> tuple[Array, Array, Line]:
    """Places, pressures in Pa; the ring is cut at cell 0, which holds the pressure of the ends."""
    count = COUNT
    x = (np.arange(count) - 0.5) / (count - 1) * LENGTH_M
    gap = np.where((x > 2e-3) & (x < 5e-3), 10.0, 1.0)
    scale = 2.0 * math.pi / count / (LENGTH_M / (count - 1))  # of an angle, per metre
    unit = VISCOSITY * SPEED / FILM_M**2 / scale
    line = steady_line(gap, {0: (ENDS_PA - CAVITY_PA) / unit}, conserving=conserving)
    return x, line.p * unit + CAVITY_PA, line


def test_pocket_gives_the_exact_peak_and_load_for_the_oil_that_it_carries() -> None:
    x, p, line = pocket(conserving=True)
    assert p.max() == pytest.approx(POCKET["peak_pa"], rel=5e-3)
    assert x[p.argmax()] == pytest.approx(POCKET["peak_place_m"], abs=2e-5)
    assert np.interp(3e-3, x, line.theta) == pytest.approx(POCKET["cavity_film_fraction"], rel=2e-3)
    assert x[~line.film][-1] == pytest.approx(POCKET["film_forms_again_m"], abs=6e-5)
    assert np.mean(p[1:]) * LENGTH_M == pytest.approx(POCKET["load_n_m"], rel=5e-3)


def test_without_conserving_its_oil_the_pocket_gives_another_peak() -> None:
    _, p, _ = pocket(conserving=False)
    assert p.max() == pytest.approx(POCKET["not_conserving_peak_pa"], rel=0.02)


# Inputs as in J. Tribology papers of 1989 and 2007 (RECALLED); the answers for one parabola and an
# incompressible film are COMPUTED outside the package, semi-analytically.
@pytest.mark.parametrize(
    ("cavity_pa", "peak_place", "peak_pa", "rupture", "reform", "load_n_m"),
    [
        (0.0, 0.32107, 3.5918e6, 0.67893, 1.0, 101.35e3),
        (-0.1e6, 0.31979, 3.5657e6, 0.68021, 0.99276, 96.98e3),
    ],
)
def test_parabolic_slider_gives_its_exact_film(
    cavity_pa: float,
    peak_place: float,
    peak_pa: float,
    rupture: float,
    reform: float,
    load_n_m: float,
) -> None:
    count, length, speed, viscosity, film = 1001, 76.2e-3, 4.57, 0.039, 25.4e-6
    share = np.arange(count) / count  # cell 0 is both ends
    gap = 1.0 + (2.0 * share - 1.0) ** 2
    scale = 2.0 * math.pi / length
    unit = viscosity * speed / film**2 / scale
    line = steady_line(gap, {0: -cavity_pa / unit})
    p = line.p * unit + cavity_pa
    assert p.max() == pytest.approx(peak_pa, rel=2e-3)
    assert share[p.argmax()] == pytest.approx(peak_place, abs=2e-3)
    assert share[~line.film][0] == pytest.approx(rupture, abs=2e-3)
    assert share[~line.film][-1] == pytest.approx(reform, abs=2e-3)
    assert np.mean(p) * length == pytest.approx(load_n_m, rel=2e-3)


SQUEEZE = values("SQUEEZE-TIME")


@pytest.mark.parametrize("spin", [0.0, 1.0])
def test_short_bearing_is_squeezed_in_the_time_of_the_closed_form(spin: float) -> None:
    """A constant load, or one that turns at half the journal's speed; centred at first."""
    width, count, across = 0.1, 120, 12  # L/R: the limit L/D -> 0 within (L/D)²
    faces = 0.5 * width * np.linspace(0.0, 1.0, across + 1)
    strip, nodes = np.zeros((4, across)), 0.5 * (faces[1:] + faces[:-1])
    strip[WIDE], strip[NEXT, :-1] = np.diff(faces), 1.0 / np.diff(nodes)
    strip[SIDE, -1] = 1.0 / (faces[-1] - nodes[-1])
    flags = np.zeros(5)
    flags[END], flags[COPIES] = 0.0, 2.0
    shape = (count, across)
    ring = Ring(
        ring=ring_of(count),
        strip=strip,
        flags=flags,
        fixed=np.zeros(shape, dtype=np.bool_),
        forms=np.zeros((1, *shape)),
    )
    e = np.linspace(0.0, 0.9, 361)
    room = 1.0 - e**2
    tau = 2.0 * e * np.arccos(-e) / room**1.5 + 2.0 / room - 2.0
    np.testing.assert_allclose(
        np.interp(SQUEEZE["eccentricity"][:6], e, tau),
        SQUEEZE["tau"][:6],
        rtol=1e-4,
    )
    load = 0.02
    angle = width**3 * tau / (2.0 * load)
    turned = 0.5 * spin * angle
    loads = np.stack(
        [load * np.cos(turned), load * np.sin(turned), np.full(angle.size, spin)], axis=1
    )
    film = np.repeat((ring.ring[0] > 0.0)[:, None], across, axis=1)
    state = FilmState(place=np.zeros(4), p=np.zeros(shape), theta=np.ones(shape), film=film)
    cycle = run_cycle(ring=ring, angle=angle, load=loads, state=state)
    assert cycle.stuck_at is None
    reached = np.hypot(cycle.path[:, 0], cycle.path[:, 1])
    np.testing.assert_allclose(reached[1:], e[1:], rtol=0.01)
    assert 1.0 - reached[-1] == pytest.approx(0.1, rel=0.01)


def test_rates_of_an_even_film_are_those_of_slots_and_of_its_shear() -> None:
    """One pressure all round, by hand: H³ Δp/length through a slot, that times Δp as its work."""
    count, copies, spin, gap, p, groove, theta = 40, 2.0, -1.5, 1.2, 0.7, 2.0, 0.8
    strip, flags = np.zeros((4, 1)), np.zeros(5)
    strip[WIDE], strip[SIDE], strip[FEED] = 0.5, 4.0, 3.0
    flags[GROOVE], flags[COPIES] = groove, copies
    shape, sums = (count, 1), np.empty(RATES)
    step_rates(
        strip,
        flags,
        np.zeros(shape, dtype=np.bool_),
        spin,
        np.full(shape, gap),
        np.full(shape, p),
        np.full(shape, theta),
        np.zeros((LAYERS, *shape)),
        sums,
    )
    round_it = copies * 2.0 * math.pi
    out, fed = round_it * gap**3 * 4.0 * p, round_it * gap**3 * 3.0 * (groove - p)
    assert sums[SHEAR] == pytest.approx(round_it * 0.5 * spin**2 / gap)
    assert sums[THIN_SHEAR] == pytest.approx(theta * sums[SHEAR])
    assert (sums[SIDE_OUT], sums[SIDE_IN]) == (pytest.approx(out), 0.0)
    assert sums[FED] == pytest.approx(fed)
    assert sums[PUMPED] == pytest.approx(out * p + fed * (groove - p))
    assert sums[PEAK] == pytest.approx(p)
