"""λ and the regime: the bounds 3 and 1, RECALLED, and READ on a page of general engineering."""

from __future__ import annotations

import pytest

from oilwedge.errors import InputError
from oilwedge.film.roughness import Regime, film_ratio, joint_roughness_m, regime_of


def test_roughnesses_add_by_their_squares() -> None:
    assert joint_roughness_m(journal_m=0.3e-6, shell_m=0.4e-6) == pytest.approx(0.5e-6)


def test_the_ratio_is_film_over_roughness() -> None:
    assert film_ratio(minimum_film_m=2e-6, roughness_m=0.5e-6) == pytest.approx(4.0)


@pytest.mark.parametrize(
    ("ratio", "regime"),
    [
        (3.01, Regime.FULL),
        (3.0, Regime.MIXED),
        (1.0, Regime.MIXED),
        (0.99, Regime.BOUNDARY),
    ],
)
def test_the_regime_changes_at_three_and_one(ratio: float, regime: Regime) -> None:
    assert regime_of(film_ratio=ratio) is regime


def test_surfaces_without_roughness_have_no_ratio() -> None:
    with pytest.raises(InputError, match="no surface is that smooth"):
        joint_roughness_m(journal_m=0.0, shell_m=0.0)
    with pytest.raises(InputError, match="roughness Rq of the shell is 0 or more"):
        joint_roughness_m(journal_m=0.2e-6, shell_m=-1e-9)
    with pytest.raises(InputError, match="joint roughness of journal and shell is above 0"):
        film_ratio(minimum_film_m=1e-6, roughness_m=0.0)
