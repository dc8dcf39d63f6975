"""Agreement and combination against a printed number, a textbook mean and GTC."""

import tomllib
from pathlib import Path

import GTC
import numpy as np
import pytest

from oilwedge.metrology.comparison import Estimate, combine, compare
from oilwedge.uncertainty.quantity import ErrorSource, Quantity, SourceKind

pytestmark = pytest.mark.published
VALUES = tomllib.loads(Path(__file__).with_name("source.toml").read_text("utf-8"))["values"]


def source(key: str) -> ErrorSource:
    return ErrorSource(key=key, kind=SourceKind.OTHER, words=key)


def test_the_normalised_error_is_the_published_one() -> None:
    estimates = [
        Estimate(name=name, quantity=Quantity(value, {source(name): half / 1.959964}))
        for name, (value, half) in (("lab", VALUES["first"]), ("reference", VALUES["second"]))
    ]
    (pair,) = compare(estimates=estimates).pairs
    assert pair.normalised_error == pytest.approx(VALUES["en"], abs=5e-4)
    assert pair.agree


def test_independent_estimates_combine_to_the_inverse_variance_mean() -> None:
    values, u = [41.0, 38.0, 40.0], [1.0, 2.0, 4.0]
    combined, weights, _ = combine(
        [
            Estimate(name=str(i), quantity=Quantity(v, {source(str(i)): s}))
            for i, (v, s) in enumerate(zip(values, u, strict=True))
        ]
    )
    inverse = 1.0 / np.square(u)
    assert list(weights.values()) == pytest.approx(list(inverse / inverse.sum()))
    assert combined.value == pytest.approx(float(inverse @ values / inverse.sum()))
    assert combined.standard_uncertainty == pytest.approx(float(inverse.sum() ** -0.5))


def test_correlated_estimates_combine_as_numpy_and_gtc_say() -> None:
    shared, a, b = 1.0, 1.5, 2.5
    one = Quantity(40.0, {source("micrometer"): shared, source("a"): a})
    other = Quantity(42.0, {source("micrometer"): 0.4 * shared, source("b"): b})
    combined, weights, left_out = combine(
        [Estimate(name="one", quantity=one), Estimate(name="other", quantity=other)]
    )
    error, error_a, error_b = GTC.ureal(0, 1), GTC.ureal(0, a), GTC.ureal(0, b)
    x = 40.0 + shared * error + error_a
    y = 42.0 + 0.4 * shared * error + error_b
    covariance = np.array([[GTC.get_covariance(p, q) for q in (x, y)] for p in (x, y)])
    solved = np.linalg.solve(covariance, np.ones(2))
    expected = solved / solved.sum()
    assert not left_out
    assert [weights["one"], weights["other"]] == pytest.approx(expected.tolist())
    best = expected[0] * x + expected[1] * y
    assert combined.value == pytest.approx(GTC.value(best))
    assert combined.standard_uncertainty == pytest.approx(GTC.uncertainty(best))
