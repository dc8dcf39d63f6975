"""Random correlated linear models, beside an independent implementation of the GUM."""

from __future__ import annotations

import math
from typing import Any

import GTC
import pytest
from hypothesis import given
from hypothesis import strategies as st

from oilwedge.uncertainty.quantity import (
    ErrorSource,
    Quantity,
    SourceKind,
    correlated_quantities,
    correlation,
    covariance,
    linear_combination,
    propagate,
)

pytestmark = pytest.mark.published

uncertainties = st.floats(1e-3, 1e3)
degrees = st.one_of(st.just(math.inf), st.floats(1.0, 200.0))
factors = st.floats(-50, 50).filter(lambda x: x == 0.0 or abs(x) > 1e-3)


@st.composite
def models(draw: st.DrawFn) -> tuple[list[tuple[float, float, float]], list[list[float]]]:
    """Inputs (value, u, ν), and two or three rows of factors: outputs that share their inputs."""
    inputs = draw(
        st.lists(st.tuples(st.floats(-1e3, 1e3), uncertainties, degrees), min_size=1, max_size=6)
    )
    row = st.lists(factors, min_size=len(inputs), max_size=len(inputs))
    return inputs, draw(st.lists(row, min_size=2, max_size=3))


def ours(inputs: list[tuple[float, float, float]], rows: list[list[float]]) -> list[Quantity]:
    made = [
        Quantity(
            x,
            {ErrorSource(key=str(i), kind=SourceKind.OTHER, words="", degrees_of_freedom=nu): u},
        )
        for i, (x, u, nu) in enumerate(inputs)
    ]
    return [linear_combination(terms=list(zip(row, made, strict=True))) for row in rows]


def theirs(inputs: list[tuple[float, float, float]], rows: list[list[float]]) -> list[Any]:
    made = [GTC.ureal(x, u, nu) for x, u, nu in inputs]
    return [sum((c * q for c, q in zip(row, made, strict=True)), GTC.constant(0)) for row in rows]


def agree(mine: Quantity, reference: Any) -> None:
    assert mine.value == pytest.approx(GTC.value(reference), rel=1e-9, abs=1e-6)
    u = GTC.uncertainty(reference)
    assert mine.standard_uncertainty == pytest.approx(u, rel=1e-9, abs=1e-9)
    if u > 1e-6:
        assert mine.degrees_of_freedom == pytest.approx(GTC.dof(reference), rel=1e-6)


@given(model=models())
def test_outputs_agree_in_value_uncertainty_and_degrees_of_freedom(
    model: tuple[list[tuple[float, float, float]], list[list[float]]],
) -> None:
    for mine, reference in zip(ours(*model), theirs(*model), strict=True):
        agree(mine, reference)


@given(model=models(), p=factors, q=factors)
def test_combinations_of_correlated_outputs_agree(
    model: tuple[list[tuple[float, float, float]], list[list[float]]], p: float, q: float
) -> None:
    a, b, *_ = ours(*model)
    x, y, *_ = theirs(*model)
    combined = p * a + q * b
    reference = p * x + q * y
    size = abs(p) * a.standard_uncertainty + abs(q) * b.standard_uncertainty
    assert combined.value == pytest.approx(GTC.value(reference), rel=1e-9, abs=1e-6)
    assert combined.standard_uncertainty == pytest.approx(
        GTC.uncertainty(reference), rel=1e-9, abs=1e-9 * size
    )
    if combined.standard_uncertainty > 1e-6 * size > 0.0:
        assert combined.degrees_of_freedom == pytest.approx(GTC.dof(reference), rel=1e-6)


@given(model=models())
def test_correlations_agree(
    model: tuple[list[tuple[float, float, float]], list[list[float]]],
) -> None:
    a, b, *_ = ours(*model)
    x, y, *_ = theirs(*model)
    size = a.standard_uncertainty * b.standard_uncertainty
    reference = GTC.get_covariance(x, y)
    assert covariance(a, b) == pytest.approx(reference, rel=1e-9, abs=1e-9 * size)
    if size > 0.0:
        assert correlation(a, b) == pytest.approx(GTC.get_correlation(x, y), abs=1e-9)


@given(
    u=st.tuples(uncertainties, uncertainties),
    rho=st.floats(-0.99, 0.99),
    nu=st.integers(2, 50),
    p=factors,
    q=factors,
)
def test_inputs_estimated_together_agree(
    u: tuple[float, float], rho: float, nu: int, p: float, q: float
) -> None:
    mine = correlated_quantities(
        values=[1.0, 2.0],
        covariance=[[u[0] ** 2, rho * u[0] * u[1]], [rho * u[0] * u[1], u[1] ** 2]],
        degrees_of_freedom=nu,
        keys=["x", "y"],
        kind=SourceKind.REPEATABILITY,
    )
    reference = GTC.multiple_ureal([1.0, 2.0], list(u), nu)
    GTC.set_correlation(rho, *reference)
    combined = p * mine[0] + q * mine[1]
    other = p * reference[0] + q * reference[1]
    size = abs(p) * u[0] + abs(q) * u[1]
    assert combined.standard_uncertainty == pytest.approx(
        GTC.uncertainty(other), rel=1e-6, abs=1e-7 * size
    )
    if combined.standard_uncertainty > 1e-6 * size > 0.0:
        assert combined.degrees_of_freedom == pytest.approx(GTC.dof(other), rel=1e-4)


@given(x=st.floats(1, 100), y=st.floats(1, 100), u=st.floats(1e-3, 0.1), v=st.floats(1e-3, 0.1))
def test_a_smooth_function_agrees_to_first_order(x: float, y: float, u: float, v: float) -> None:
    a = Quantity(
        x, {ErrorSource(key="x", kind=SourceKind.OTHER, words="", degrees_of_freedom=5): u}
    )
    b = Quantity(
        y, {ErrorSource(key="y", kind=SourceKind.OTHER, words="", degrees_of_freedom=9): v}
    )
    mine = propagate(function=lambda z: z[0] * math.sqrt(z[1]) / (z[0] + z[1]), inputs=[a, b])
    p, q = GTC.ureal(x, u, 5), GTC.ureal(y, v, 9)
    reference = p * GTC.sqrt(q) / (p + q)
    assert mine.value == pytest.approx(GTC.value(reference))
    assert mine.standard_uncertainty == pytest.approx(GTC.uncertainty(reference), rel=1e-5)
    assert mine.degrees_of_freedom == pytest.approx(GTC.dof(reference), rel=1e-4)
