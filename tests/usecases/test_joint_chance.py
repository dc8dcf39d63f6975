"""The chance that all are inside at once, with the errors that fits share."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from scipy import stats

from oilwedge.usecases.joint_chance import Share, joint_chance

Bench = Any  # the fixture of conftest.py
DRAWS = 40_000


def chances(bench: Bench, *, seed: int = 1) -> Any:
    found = joint_chance(
        judgement=bench.judge(), generator=np.random.default_rng(seed), draws=DRAWS
    )
    assert found is not None
    return found


def rod(bench: Bench, number: int, um: float) -> None:
    bench.journal(number, 47.970)
    bench.bore(number, 47.970 + um / 1000)


def test_of_one_fit_it_is_the_chance_that_its_verdict_states(bench: Bench) -> None:
    """Drawn against computed (JCGM 106 by the bivariate normal), for a bearing near a limit."""
    rod(bench, 1, 46)
    stated = bench.result("rod_bearing").verdict.chance.both
    drawn = chances(bench).by_fit["rod_bearing", 1]
    assert 0.2 < stated < 0.98
    assert drawn.chance == pytest.approx(stated, abs=4 * drawn.standard_uncertainty + 0.01)


def test_fits_that_share_a_micrometer_are_right_together_more_often_than_by_chance(
    bench: Bench,
) -> None:
    """With correlation ρ the joint chance is that of the multivariate normal (scipy.stats)."""
    for number in (1, 2, 3):
        rod(bench, number, 47)
    found = chances(bench)
    single = [found.by_fit["rod_bearing", number].chance for number in (1, 2, 3)]
    together = found.by_kind["rod_bearing"].chance
    assert together > math.prod(single) + 0.02
    assert together < min(single)
    loosest = [bench.result("rod_bearing", n).measurement.evidence.largest for n in (1, 2, 3)]
    from oilwedge.uncertainty.quantity import covariance_matrix

    expected = stats.multivariate_normal.cdf(
        np.full(3, 49e-6) * 1e6,
        mean=np.array([one.value for one in loosest]) * 1e6,
        cov=covariance_matrix(loosest) * 1e12,
    )
    assert together == pytest.approx(expected, abs=0.02)


def test_every_fit_at_once_is_never_likelier_than_the_worst_kind(bench: Bench) -> None:
    rod(bench, 1, 46)
    rod(bench, 2, 35)
    found = chances(bench)
    assert found.every_fit.chance <= min(share.chance for share in found.by_kind.values())
    assert found.every_fit.draws == DRAWS


def test_the_same_seed_gives_the_same_and_another_about_the_same(bench: Bench) -> None:
    rod(bench, 1, 46)
    one, again, other = chances(bench), chances(bench), chances(bench, seed=2)
    assert one == again
    assert one != other
    slack = 5 * one.every_fit.standard_uncertainty
    assert one.every_fit.chance == pytest.approx(other.every_fit.chance, abs=slack)


def test_without_a_measured_fit_there_is_no_chance(bench: Bench) -> None:
    generator = np.random.default_rng(1)
    assert joint_chance(judgement=bench.judge(), generator=generator, draws=1000) is None


def test_how_far_the_drawing_alone_may_have_missed() -> None:
    assert Share(chance=0.5, draws=10_000).standard_uncertainty == pytest.approx(0.005)
