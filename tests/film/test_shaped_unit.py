"""Films of a shaped gap against closed forms and quadrature, and an identity of their friction."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.integrate import quad

from oilwedge.film.bearing import Bearing, Rupture
from oilwedge.film.feed_place import AT_LARGEST_GAP, Feed, FeedPlace
from oilwedge.film.film_grid import FilmGrid
from oilwedge.film.film_shape import ROUND, FilmShape
from oilwedge.film.shaped_gap import ShapedGap
from oilwedge.film.shaped_grid import Grading
from oilwedge.film.shaped_search import ShapedLevel, force_of
from oilwedge.film.shaped_unit import ShapedLand, solve_land

C_M = 25e-6


def bearing(width_ratio: float) -> Bearing:
    return Bearing(diameter_m=0.05, width_m=0.05 * width_ratio, diametral_clearance_m=2.0 * C_M)


def films(
    *,
    shape: FilmShape,
    place: tuple[float, float],
    feed: FeedPlace = AT_LARGEST_GAP,
    supply: float = 0.0,
    rupture: Rupture = Rupture.REYNOLDS,
    width_ratio: float = 0.5,
    grid: FilmGrid | None = None,
    turn: float = 0.0,
) -> tuple[ShapedLand, ...]:
    gap = ShapedGap(bearing=bearing(width_ratio), shape=shape, journal_turn_rad=turn)
    thin = gap.thinnest(place=place)
    level = ShapedLevel(
        gap=gap,
        feed=feed,
        supply=supply,
        rupture=rupture,
        grid=grid or FilmGrid(),
        shape=shape,
        turn_rad=turn,
        grading=Grading(eccentricity_ratio=1.0 - thin.gap, thin_angle_rad=thin.angle_rad),
    )
    return level.film(place)


def strip_load(
    shape: FilmShape, place: tuple[float, float], width_ratio: float, turn: float
) -> tuple[float, float]:
    """Short-bearing theory: strips of film that flow sideways only, by quadrature.

    d/dz (H³ dP/dz) = 6 ∂(H − 2 H_j)/∂β with P = 0 at both ends, the film where that is negative
    (Ocvirk's condition); H is linear or quadratic in z, the right side is the same all across.
    """
    half, radius = width_ratio, 0.025
    nodes, weights = np.polynomial.legendre.leggauss(40)

    def h(beta: float, z: np.ndarray) -> np.ndarray:
        change = shape.gap_change_m(
            angle_rad=np.array([beta])[:, None],
            place_m=z[None, :] * radius,
            width_m=0.05 * width_ratio,
            journal_turn_rad=turn,
        )
        off = place[0] * math.cos(beta) + place[1] * math.sin(beta)
        return np.asarray(1.0 - off + change[0] / C_M)

    def oval(beta: float) -> float:
        high = shape.journal_high_angle_rad + turn
        return -0.25 * shape.journal_out_of_round_m / C_M * math.cos(2.0 * (beta - high))

    def strip(beta: float) -> float:
        """∫ P dz: of H³ P' = s z + c twice, with c from P = 0 at both ends."""
        step, middle = 1e-5, np.array([0.0])
        slope = (h(beta + step, middle) - h(beta - step, middle))[0] / (2.0 * step)
        slope -= 2.0 * (oval(beta + step) - oval(beta - step)) / (2.0 * step)
        if slope >= 0.0:
            return 0.0
        z, w = half * nodes, half * weights
        cubed = h(beta, z) ** 3
        c = -float(w @ (z / cubed)) / float(w @ (1.0 / cubed))
        return float(-6.0 * slope * (w @ (z * (z + c) / cubed)))  # ∫ P = −∫ z P'

    def component(wave: str) -> float:
        of = math.cos if wave == "cos" else math.sin
        total: float = 0.0
        for k in range(24):
            low, high = 2.0 * math.pi * k / 24, 2.0 * math.pi * (k + 1) / 24
            total += float(quad(lambda b: strip(b) * of(b), low, high, limit=60, epsrel=1e-6)[0])
        return total

    return component("cos"), component("sin")


@pytest.mark.parametrize(
    ("shape", "turn"),
    [
        (ROUND, 0.0),
        (FilmShape(journal_taper_m=12e-6), 0.0),
        (FilmShape(journal_barrel_m=8e-6), 0.0),
        (FilmShape(bore_relief_m=10e-6, split_angle_rad=2.0), 0.0),
        (FilmShape(journal_out_of_round_m=10e-6, journal_high_angle_rad=0.3), 0.7),
    ],
)
def test_a_narrow_bearing_carries_what_its_strips_carry(shape: FilmShape, turn: float) -> None:
    """The short bearing of Ocvirk with the gap varying: COMPUTED by quadrature, width 0.03 D."""
    place, ratio = (0.4, 0.3), 0.03
    wanted = strip_load(shape, place, ratio, turn)
    feed = FeedPlace(kind=Feed.NONE)
    force = force_of(films(shape=shape, place=place, feed=feed, width_ratio=ratio, turn=turn))
    size = math.hypot(*wanted)
    assert force[0] == pytest.approx(wanted[0], abs=0.01 * size)
    assert force[1] == pytest.approx(wanted[1], abs=0.01 * size)


@pytest.mark.parametrize("oval", [0.0, 10e-6, 40e-6])
def test_a_narrow_bearing_loses_at_its_ends_what_the_wedge_brings(oval: float) -> None:
    """Each full strip gives −½ L ∂(H − 2 H_j)/∂β over its ends, exactly; few cells across."""
    shape, e, ratio = FilmShape(journal_out_of_round_m=oval), 0.3, 0.03
    (land,) = films(
        shape=shape,
        place=(e, 0.0),
        feed=FeedPlace(kind=Feed.NONE),
        width_ratio=ratio,
        grid=FilmGrid(around=400, across=16),
    )

    def given(beta: float) -> float:
        slope = e * math.sin(beta) - 0.5 * oval / C_M * math.sin(2.0 * beta)
        return max(0.0, -0.5 * 2.0 * ratio * slope)

    wanted = sum(quad(given, k * math.pi / 8, (k + 1) * math.pi / 8)[0] for k in range(16))
    assert 2.0 * land.side_flow == pytest.approx(wanted, rel=1.5e-3)


def test_a_deep_groove_does_not_shear() -> None:
    """Centred: the shear is the sheared surface over the gap, 2 π L less span times width."""
    width_m, span = 0.004, 2.0
    feed = FeedPlace(kind=Feed.HALF, angle_rad=1.0, end_angle_rad=1.0 + span, width_m=width_m)
    (land,) = films(shape=ROUND, place=(0.0, 0.0), feed=feed, supply=0.0)
    wanted = 2.0 * math.pi - span * width_m / 0.025
    assert 2.0 * land.friction == pytest.approx(wanted, rel=2e-3)


@pytest.mark.parametrize("shape", [ROUND, FilmShape(journal_taper_m=16e-6)])
def test_a_circumferential_groove_gives_what_its_lands_let_through(shape: FilmShape) -> None:
    """Q = Σ ∫ p_s/(12 ∫ dz/H³) dβ; round it is π (1 + 1.5 ε²) p_s/(6 a/R) (RECALLED)."""
    width_ratio, edge, e, supply = 0.5, 0.002, 0.3, 1e5
    feed = FeedPlace(kind=Feed.CIRCUMFERENTIAL, width_m=2.0 * edge)
    lands = films(
        shape=shape, place=(e, 0.0), feed=feed, supply=supply, rupture=Rupture.MASS_CONSERVING
    )
    fresh = sum(land.fresh_flow * land.cells.land.copies for land in lands)
    a, b = edge / 0.025, width_ratio
    wanted = 0.0
    for beta in np.linspace(0.0, 2.0 * math.pi, 400, endpoint=False):
        for sign in (1.0, -1.0):

            def resistance(z: float, beta: float = beta, sign: float = sign) -> float:
                place = np.array([sign * z * 0.025])
                change = shape.gap_change_m(
                    angle_rad=np.array([beta]), place_m=place, width_m=0.025, journal_turn_rad=0.0
                )
                return float((1.0 - e * math.cos(beta) + change[0] / C_M) ** -3)

            wanted += 2.0 * math.pi / 400 * supply / (12.0 * quad(resistance, a, b)[0])
    assert fresh == pytest.approx(wanted, rel=2e-3)
    if shape.is_round:
        known = math.pi * supply * (1.0 + 1.5 * e**2) / (3.0 * (b - a))
        assert wanted == pytest.approx(known, rel=1e-9)


@pytest.mark.parametrize("diameter_m", [0.003, 0.005, 0.008])
def test_a_hole_gives_what_a_source_between_two_drains_gives(diameter_m: float) -> None:
    """q = π p_s/(6 ln(2L/(π r))): a source midway between two drains L apart, by images.

    The potential of a row of sources and sinks in a plane (RECALLED, derived again); the gap is
    even and the film full, the ring long against L.
    """
    supply = 1e6
    feed = FeedPlace(kind=Feed.HOLE, angle_rad=1.0, width_m=diameter_m)
    (land,) = films(
        shape=ROUND, place=(0.0, 0.0), feed=feed, supply=supply, rupture=Rupture.MASS_CONSERVING
    )
    wanted = math.pi * supply / (6.0 * math.log(2.0 * 0.025 / (math.pi * 0.5 * diameter_m)))
    assert 2.0 * land.fresh_flow == pytest.approx(wanted, rel=0.01)


@pytest.mark.parametrize(
    "shape",
    [
        ROUND,
        FilmShape(journal_taper_m=8e-6, tilt_y_rad=1e-4),
        FilmShape(journal_out_of_round_m=8e-6, bore_relief_m=8e-6),
    ],
)
def test_pressure_brakes_by_what_its_own_flow_dissipates(shape: FilmShape) -> None:
    """−½ ∫ P ∂(H − 2 H_j)/∂β = (1/12) ∫ H³ |∇P|², the energy of the film: first law."""
    (land,) = films(shape=shape, place=(0.5, 0.3), feed=FeedPlace(kind=Feed.NONE))
    cells, p = land.cells, land.pressure
    along = float(np.sum(cells.kx * (np.roll(p, -1, axis=0) - p) ** 2))
    padded = np.pad(p, ((0, 0), (1, 1)))
    if cells.land.symmetric:
        padded[:, 0] = padded[:, 1]
    across = float(np.sum((cells.kz * np.diff(padded, axis=1) ** 2)[:, 1:]))
    across += float(np.sum(cells.kz[:, 0] * (padded[:, 1] - padded[:, 0]) ** 2))
    shear = float(np.sum(np.diff(cells.angle)[:, None] * cells.dz[None, :] / cells.face_gap))
    strips = cells.high_strip * float(np.sum(np.diff(cells.angle) / cells.edge_gap[:, 1]))
    strips += cells.low_strip * float(np.sum(np.diff(cells.angle) / cells.edge_gap[:, 0]))
    brakes = land.friction - shear - strips
    assert brakes > 0.0
    assert brakes == pytest.approx((along + across) / 12.0, rel=1e-9)


def test_the_oil_that_a_turning_oval_takes_up_is_in_the_balance() -> None:
    (land,) = films(
        shape=FilmShape(journal_out_of_round_m=10e-6),
        place=(0.5, 0.3),
        rupture=Rupture.MASS_CONSERVING,
        turn=0.4,
    )
    assert abs(land.stored) > 1e-4 * land.passing
    assert abs(land.unbalanced) < 1e-9 * land.passing
    through = land.fresh_flow - land.side_flow
    assert through == pytest.approx(land.stored, rel=1e-6)


def test_the_answer_does_not_depend_on_the_guess_of_the_full_cells() -> None:
    (land,) = films(shape=FilmShape(bore_relief_m=10e-6), place=(0.5, 0.3))
    for guess in (np.ones_like(land.film), np.zeros_like(land.film)):
        again = solve_land(
            cells=land.cells, feed=Feed.AXIAL, supply=0.0, rupture=Rupture.REYNOLDS, guess=guess
        )
        assert again.force_x == pytest.approx(land.force_x, rel=1e-9)
