"""Quantities: shared errors add or cancel, and the laws that hold for every linear model."""

from __future__ import annotations

import math
import pickle

import numpy as np
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
    covariance_matrix,
    exact,
    from_standard_uncertainty,
    linear_combination,
    propagate,
    sensitivity_matrix,
    sources_of,
)


def source(key: str, nu: float = math.inf, group: str = "") -> ErrorSource:
    return ErrorSource(
        key=key, kind=SourceKind.OTHER, words=key, degrees_of_freedom=nu, group=group
    )


SOURCES = [source("a"), source("b", 4), source("c", 9.5), source("d", 30)]
contributions = st.dictionaries(
    st.sampled_from(SOURCES), st.integers(-50, 50).filter(bool).map(float), max_size=4
)
quantities = st.builds(Quantity, st.integers(-100, 100).map(float), contributions)
factors = st.integers(-9, 9).map(float)


def test_a_source_is_its_key() -> None:
    again = ErrorSource(key="a", kind=SourceKind.FORM, words="other words", degrees_of_freedom=3)
    assert again == SOURCES[0]
    assert hash(again) == hash(SOURCES[0])
    assert SOURCES[0] != SOURCES[1]
    assert SOURCES[0] != "a"
    assert pickle.loads(pickle.dumps(SOURCES[0])) == SOURCES[0]


def test_every_kind_of_source_has_words() -> None:
    assert all(kind.words for kind in SourceKind)
    assert len({kind.words for kind in SourceKind}) == len(SourceKind)


@pytest.mark.parametrize("nu", [0.5, 0.0, math.nan])
def test_a_source_with_less_than_one_degree_of_freedom_is_refused(nu: float) -> None:
    with pytest.raises(ValueError, match="error source 'x': degrees of freedom must be 1 or more"):
        source("x", nu)


def test_one_bias_cancels_in_a_difference_and_two_do_not() -> None:
    zero, other = source("zero of the micrometer"), source("zero of the other")
    journal = Quantity(47.97, {zero: 3.0})
    bore_set_in_it = Quantity(48.01, {zero: 3.0})
    bore_by_another = Quantity(48.01, {other: 3.0})
    assert (bore_set_in_it - journal).standard_uncertainty == 0.0
    assert (bore_set_in_it - journal).contributions == {}
    assert (bore_by_another - journal).standard_uncertainty == pytest.approx(3.0 * math.sqrt(2.0))


def test_operators_do_what_they_say() -> None:
    a, b = SOURCES[0], SOURCES[1]
    q = Quantity(10.0, {a: 3.0, b: -4.0})
    assert q.standard_uncertainty == 5.0
    assert q.variance == 25.0
    assert (q + 1.0) == (1.0 + q) == Quantity(11.0, {a: 3.0, b: -4.0})
    assert (q - 1.0) == Quantity(9.0, {a: 3.0, b: -4.0})
    assert (1.0 - q) == Quantity(-9.0, {a: -3.0, b: 4.0})
    assert -q == Quantity(-10.0, {a: -3.0, b: 4.0})
    assert q * 2 == 2 * q == Quantity(20.0, {a: 6.0, b: -8.0})
    assert q / 2 == Quantity(5.0, {a: 1.5, b: -2.0})
    assert q * 0 == exact(0.0)
    assert q + Quantity(1.0, {b: 4.0}) == Quantity(11.0, {a: 3.0})


@pytest.mark.parametrize("operation", ["+", "-", "*", "/"])
def test_a_quantity_and_a_text_do_not_mix(operation: str) -> None:
    with pytest.raises(TypeError):
        eval(f"q {operation} 'x'", {"q": exact(1.0)})
    with pytest.raises(TypeError):
        eval(f"q {operation if operation in '*/' else '*'} q", {"q": exact(1.0)})


@given(a=quantities, b=quantities, p=factors, q=factors)
def test_the_variance_of_a_sum_holds_its_covariance(
    a: Quantity, b: Quantity, p: float, q: float
) -> None:
    combined = linear_combination(terms=[(p, a), (q, b)], constant=7.0)
    expected = p * p * a.variance + q * q * b.variance + 2 * p * q * covariance(a, b)
    assert combined.variance == pytest.approx(expected, abs=1e-6)
    assert combined.value == p * a.value + q * b.value + 7.0
    assert combined == p * a + q * b + 7.0
    assert all(combined.contributions.values())


@given(a=quantities, b=quantities)
def test_covariance_and_correlation_are_symmetric_and_bounded(a: Quantity, b: Quantity) -> None:
    assert covariance(a, b) == covariance(b, a)
    assert covariance(a, a) == a.variance
    assert -1.0 <= correlation(a, b) <= 1.0
    if a.variance:
        assert correlation(a, a) == pytest.approx(1.0)
        assert correlation(a, -3.0 * a) == pytest.approx(-1.0)
    assert correlation(a, exact(3.0)) == 0.0


@given(items=st.lists(quantities, min_size=1, max_size=4))
def test_the_covariance_matrix_holds_every_pair(items: list[Quantity]) -> None:
    matrix = covariance_matrix(items)
    assert matrix.shape == (len(items), len(items))
    for i, a in enumerate(items):
        for j, b in enumerate(items):
            assert matrix[i, j] == pytest.approx(covariance(a, b))
    assert sensitivity_matrix(items).shape == (len(items), len(sources_of(items)))


@given(q=quantities, factor=factors.filter(bool))
def test_effective_degrees_of_freedom_stand_between_the_least_and_the_sum(
    q: Quantity, factor: float
) -> None:
    nu = q.degrees_of_freedom
    finite = [s.degrees_of_freedom for s in q.contributions if math.isfinite(s.degrees_of_freedom)]
    if not finite:
        assert nu == math.inf
        return
    assert nu >= min(finite) * (1 - 1e-12)
    if len(finite) == len(q.contributions):
        assert nu <= sum(finite) * (1 + 1e-12)
    assert (factor * q).degrees_of_freedom == pytest.approx(nu)


def test_welch_satterthwaite_for_two_alike_sources_doubles_their_degrees_of_freedom() -> None:
    q = Quantity(0.0, {source("x", 4): 1e-9, source("y", 4): -1e-9})
    assert q.degrees_of_freedom == pytest.approx(8.0)


def test_sources_estimated_together_keep_their_degrees_of_freedom() -> None:
    q = Quantity(0.0, {source("x", 4, "set"): 1.0, source("y", 4, "set"): -1.0})
    assert q.degrees_of_freedom == pytest.approx(4.0)


def test_expansion_cuts_the_degrees_of_freedom_and_uses_t() -> None:
    # t95(4) = 2.776 and t95(10) = 2.228 in every table of the t-distribution (GUM table G.2)
    expanded = Quantity(0.0, {source("x", 4.9): 2.0}).expanded()
    assert expanded.degrees_of_freedom == 4.0
    assert expanded.k == pytest.approx(2.776, abs=5e-4)
    assert expanded.half_width == pytest.approx(2 * expanded.k)
    assert Quantity(0.0, {source("x", 10): 1.0}).expanded().k == pytest.approx(2.228, abs=5e-4)


def test_infinite_degrees_of_freedom_use_the_normal_quantile_and_not_two() -> None:
    assert Quantity(0.0, {source("x"): 1.0}).expanded().k == pytest.approx(1.95996, abs=5e-6)
    wide = Quantity(0.0, {source("x"): 1.0}).expanded(coverage_probability=0.99)
    assert wide.k == pytest.approx(2.57583, abs=5e-6)


def test_an_exact_value_expands_to_nothing() -> None:
    assert exact(3.0).expanded().half_width == 0.0
    assert exact(3.0).degrees_of_freedom == math.inf


def test_a_standard_uncertainty_makes_a_quantity() -> None:
    q = from_standard_uncertainty(value=1.0, standard_uncertainty=0.5, source=SOURCES[0])
    assert q == Quantity(1.0, {SOURCES[0]: 0.5})
    none = from_standard_uncertainty(value=1.0, standard_uncertainty=0.0, source=SOURCES[0])
    assert none == exact(1.0)
    with pytest.raises(ValueError, match="not negative"):
        from_standard_uncertainty(value=1.0, standard_uncertainty=-0.5, source=SOURCES[0])


@given(rows=st.lists(st.lists(st.floats(-3, 3), min_size=3, max_size=3), min_size=3, max_size=3))
def test_correlated_quantities_give_their_covariance_back(rows: list[list[float]]) -> None:
    root = np.array(rows)
    wanted = root @ root.T
    made = correlated_quantities(
        values=[1.0, 2.0, 3.0],
        covariance=wanted,
        degrees_of_freedom=4,
        keys=["p", "q", "r"],
        kind=SourceKind.REPEATABILITY,
    )
    assert [q.value for q in made] == [1.0, 2.0, 3.0]
    assert covariance_matrix(made) == pytest.approx(wanted, abs=1e-9)
    combined = linear_combination(terms=[(1.0, made[0]), (-2.0, made[2])])
    if combined.contributions:
        assert combined.degrees_of_freedom == pytest.approx(4.0)


@pytest.mark.parametrize(
    ("matrix", "message"),
    [
        ([[1.0, 0.5], [0.4, 1.0]], "symmetric"),
        ([[1.0, 2.0], [2.0, 1.0]], "negative eigenvalue"),
        ([[1.0]], "2 by 2"),
    ],
)
def test_what_is_no_covariance_is_refused(matrix: list[list[float]], message: str) -> None:
    with pytest.raises(ValueError, match=message):
        correlated_quantities(
            values=[1.0, 2.0],
            covariance=matrix,
            degrees_of_freedom=4,
            keys=["p", "q"],
            kind=SourceKind.OTHER,
        )


@given(a=quantities, b=quantities)
def test_a_linear_function_propagates_like_a_linear_combination(a: Quantity, b: Quantity) -> None:
    through = propagate(function=lambda x: 2 * x[0] - 3 * x[1] + 1, inputs=[a, b])
    straight = linear_combination(terms=[(2.0, a), (-3.0, b)], constant=1.0)
    assert through.value == straight.value
    assert covariance(through - straight, through - straight) == pytest.approx(0.0, abs=1e-8)


def test_a_product_propagates_with_the_other_factor_as_its_slope() -> None:
    a, b = Quantity(5.0, {SOURCES[0]: 0.1}), Quantity(-2.0, {SOURCES[1]: 0.3})
    numeric = propagate(function=lambda x: x[0] * x[1], inputs=[a, b])
    analytic = propagate(
        function=lambda x: x[0] * x[1], inputs=[a, b], gradient=lambda x: (x[1], x[0])
    )
    for q in (numeric, analytic):
        assert q.value == -10.0
        assert q.contributions[SOURCES[0]] == pytest.approx(-0.2)
        assert q.contributions[SOURCES[1]] == pytest.approx(1.5)
    shared = propagate(function=lambda x: x[0] / x[1], inputs=[a, a])
    assert shared.standard_uncertainty == pytest.approx(0.0, abs=1e-9)


def test_an_exact_input_is_not_differentiated() -> None:
    q = propagate(function=lambda x: math.sqrt(x[0]) * x[1], inputs=[exact(0.0), exact(1.0)])
    assert q == exact(0.0)


def test_a_gradient_of_the_wrong_length_is_refused() -> None:
    with pytest.raises(ValueError, match="2 inputs, and a gradient of 1"):
        propagate(function=sum, inputs=[exact(1.0), exact(1.0)], gradient=lambda x: [1.0])
