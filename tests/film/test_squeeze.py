"""Pure squeeze of a film of finite width."""

from __future__ import annotations

import math

import pytest

from oilwedge.errors import OutOfRangeError
from oilwedge.film.squeeze import solve_short_squeeze, solve_squeeze


def test_centred_short_bearing_carries_two_pi() -> None:
    # w = 4 (L/D)^2 times the integral of cos^2 over the half that closes
    film = solve_short_squeeze(eccentricity_ratio=0.0, direction_rad=0.3)
    assert film.force == pytest.approx(2.0 * math.pi, rel=1e-9)
    assert math.atan2(film.force_across, film.force_along) == pytest.approx(0.3, abs=1e-9)
    assert film.peak_pressure == pytest.approx(6.0, rel=1e-3)


def test_narrow_bearing_tends_to_the_short_one() -> None:
    short = solve_short_squeeze(eccentricity_ratio=0.5, direction_rad=1.0)
    narrow = solve_squeeze(eccentricity_ratio=0.5, direction_rad=1.0, width_ratio=0.02)
    assert narrow.force / 0.02**2 == pytest.approx(short.force, rel=0.005)
    assert narrow.peak_pressure / 0.02**2 == pytest.approx(short.peak_pressure, rel=0.005)


def test_error_falls_with_the_square_of_the_step() -> None:
    forces = [
        solve_squeeze(
            eccentricity_ratio=0.8,
            direction_rad=1.2,
            width_ratio=0.5,
            cells_around=around,
            cells_half_width=half,
        ).force
        for around, half in ((60, 4), (120, 8), (240, 16))
    ]
    order = math.log2((forces[0] - forces[1]) / (forces[1] - forces[2]))
    assert order == pytest.approx(2.0, abs=0.3)


def test_force_is_mirrored_with_the_velocity() -> None:
    left, right = (
        solve_squeeze(eccentricity_ratio=0.7, direction_rad=turn, width_ratio=0.5)
        for turn in (-0.8, 0.8)
    )
    assert left.force_along == pytest.approx(right.force_along, rel=1e-9)
    assert left.force_across == pytest.approx(-right.force_across, rel=1e-9)


@pytest.mark.parametrize(("ratio", "width"), [(1.0, 0.5), (-0.1, 0.5), (0.5, 0.0)])
def test_what_cannot_be_is_refused(ratio: float, width: float) -> None:
    with pytest.raises(OutOfRangeError):
        solve_squeeze(eccentricity_ratio=ratio, direction_rad=0.0, width_ratio=width)
