"""The package's maps fixed to the bearing are those that their script makes."""

from __future__ import annotations

import math
from importlib.resources import files

import numpy as np
import pytest

from oilwedge.film import fixed_grid
from oilwedge.film.fixed_squeeze import Feature
from oilwedge.film.make_fixed_map import row
from oilwedge.film.path_groove import PathGroove


@pytest.mark.parametrize("kind", [PathGroove.HALF, PathGroove.HOLE])
@pytest.mark.parametrize(("width", "share", "s", "place"), [(2, 1, 3, 15), (0, 2, 8, 4)])
def test_a_row_made_anew_is_the_row_in_the_package(
    kind: PathGroove, width: int, share: int, s: int, place: int
) -> None:
    with (files("oilwedge.film") / f"fixed_map_{kind.value}.npz").open("rb") as file:
        table = fixed_grid.unpacked(np.load(file)["table"])
    ratio = -math.expm1(-fixed_grid.WRITTEN_S[s])
    made = row(
        eccentricity_ratio=ratio,
        eccentricity_angle_rad=fixed_grid.groove_angle_at(
            place=-1.0 + fixed_grid.STEP_P * place, eccentricity_ratio=ratio, kind=kind
        ),
        width_ratio=fixed_grid.WIDTH_RATIOS[width],
        feature=Feature(kind=kind, share=fixed_grid.SHARES[share]),
    )
    assert np.abs(made - table[width, share, s, place]).max() < 2e-3


def test_parts_are_packed_to_their_steps() -> None:
    rng = np.random.default_rng(3)
    parts = rng.uniform(-2.0, 2.0, (4, 5, 3))
    assert np.abs(fixed_grid.unpacked(fixed_grid.packed(parts)) - parts).max() < 1e-3
    with pytest.raises(ArithmeticError, match="no number"):
        fixed_grid.packed(parts * np.nan)
