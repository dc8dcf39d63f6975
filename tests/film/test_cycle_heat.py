"""One temperature a film, all at once."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy.optimize import brentq

from oilwedge.film.cycle_heat import Places, settle_temperatures

Array = NDArray[np.float64]


@given(
    strengths=st.lists(st.floats(0.0, 300.0), min_size=1, max_size=20),
    per_k=st.floats(0.0, 0.08),
    supply=st.floats(-20.0, 120.0),
)
def test_every_temperature_is_the_root_that_scipy_finds(
    strengths: list[float], per_k: float, supply: float
) -> None:
    strength = np.array(strengths)

    def rise(warm: Array, places: Places) -> Array:
        return np.asarray(strength[places] * np.exp(-per_k * (warm - supply)))

    found = settle_temperatures(rise_k=rise, supply_temperature_c=np.full(strength.size, supply))
    for place, size in enumerate(strengths):

        def left(warm: float, size: float = size) -> float:
            return float(supply + size * np.exp(-per_k * (warm - supply)) - warm)

        if left(200.0) > 0.01:
            assert not found.converged[place]
            assert found.temperature_c[place] == 200.0
            assert found.residual_k[place] == pytest.approx(left(200.0))
        elif left(200.0) < -0.01:
            assert found.converged[place]
            root = supply if size == 0.0 else brentq(left, supply, 200.0)
            assert found.temperature_c[place] == pytest.approx(root, abs=0.0101)
            assert abs(found.residual_k[place]) <= 0.01


def test_a_rise_that_jumps_is_found_by_halving() -> None:
    def rise(warm: Array, places: Places) -> Array:
        return np.where(warm < 77.0, 100.0, 26.9 + 0.05 * (80.0 - warm))

    found = settle_temperatures(rise_k=rise, supply_temperature_c=np.array([50.0]))
    assert found.temperature_c[0] == pytest.approx(77.0, abs=0.05)


def test_films_that_are_settled_are_not_asked_again() -> None:
    asked: list[int] = []

    def rise(warm: Array, places: Places) -> Array:
        asked.append(places.size)
        return np.where(places == 0, 0.0, 40.0 * np.exp(-0.05 * (warm - 80.0)))

    found = settle_temperatures(rise_k=rise, supply_temperature_c=np.array([80.0, 80.0]))
    assert asked[0] == 2
    assert set(asked[1:]) == {1}
    assert found.steps == len(asked) < 10


def test_a_film_that_gets_too_hot_is_given_up_as_soon_as_that_is_known() -> None:
    found = settle_temperatures(
        rise_k=lambda warm, places: np.full(warm.size, 500.0),
        supply_temperature_c=np.array([100.0]),
    )
    assert found.temperature_c[0] == 200.0
    assert found.residual_k[0] == pytest.approx(400.0)
    assert found.steps < 10
