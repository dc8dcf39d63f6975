from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from oilwedge.metrology.comparison import (
    Estimate,
    Role,
    combine,
    compare,
    contradicts_bounds,
)
from oilwedge.uncertainty.quantity import ErrorSource, Quantity, SourceKind, covariance_matrix


def source(key: str) -> ErrorSource:
    return ErrorSource(key=key, kind=SourceKind.OTHER, words=key)


def estimate(name: str, value_um: float, role: Role = Role.DECIDES, **parts_um: float) -> Estimate:
    contributions = {source(key): u * 1e-6 for key, u in parts_um.items()}
    return Estimate(name=name, quantity=Quantity(value_um * 1e-6, contributions), role=role)


def test_a_shared_error_leaves_no_room_for_disagreement() -> None:
    """Both lie within their own U of each other, but what they do not share is small."""
    apart = compare(estimates=[estimate("bore", 40, a=3), estimate("gauge", 46, b=3)])
    shared = compare(estimates=[estimate("bore", 40, m=3, a=1), estimate("gauge", 46, m=3, b=1)])
    assert apart.agree
    assert not shared.agree
    assert shared.pairs[0].normalised_error == pytest.approx(-6 / (1.959964 * math.sqrt(2)))


def test_ways_that_disagree_are_never_averaged() -> None:
    found = compare(estimates=[estimate("bore", 40, a=1), estimate("gauge", 50, b=1)])
    assert not found.agree
    assert found.combined is None
    assert not found.weights


@pytest.mark.parametrize(("second_um", "agree"), [(42.7, True), (42.9, False)])
def test_agreement_ends_at_u_of_the_difference(second_um: float, agree: bool) -> None:
    """u = 1 µm each: U = 1.96 · √2 = 2.77 µm."""
    found = compare(estimates=[estimate("bore", 40, a=1), estimate("gauge", second_um, b=1)])
    assert found.agree is agree


def test_gauges_decide_and_the_strip_checks() -> None:
    found = compare(
        estimates=[
            estimate("bore", 40, a=1),
            estimate("gauge", 42, b=1),
            estimate("strip", 45, Role.CROSS_CHECK, s=0.9 * 4),
        ]
    )
    assert found.agree
    assert found.combined is not None
    assert found.combined.value == pytest.approx(41e-6)
    assert [left.name for left in found.left_out] == ["strip"]
    assert len(found.pairs) == 3


def test_a_strip_that_contradicts_a_gauge_stops_the_combination() -> None:
    found = compare(
        estimates=[estimate("bore", 40, a=1), estimate("strip", 60, Role.CROSS_CHECK, s=4)]
    )
    assert not found.agree
    assert found.combined is None


def test_strips_alone_decide_among_themselves() -> None:
    found = compare(
        estimates=[
            estimate("first", 40, Role.CROSS_CHECK, a=1),
            estimate("second", 41, Role.CROSS_CHECK, b=1),
        ]
    )
    assert found.combined is not None
    assert found.combined.value == pytest.approx(40.5e-6)
    assert not found.left_out


def test_one_way_alone_stands_as_it_is() -> None:
    found = compare(estimates=[estimate("bore", 40, a=1)])
    assert found.agree
    assert found.combined == estimate("bore", 40, a=1).quantity


def test_wide_agreement_in_a_narrow_window_proves_little() -> None:
    estimates = [estimate("bore", 40, a=2), estimate("strip", 45, Role.CROSS_CHECK, s=7)]
    narrow = compare(estimates=estimates, tolerance_m=28e-6)
    assert narrow.pairs[0].proves_little
    assert narrow.notes == (
        "bore and strip agree, but their difference is uncertain by ± 14 µm: within a window of "
        "28 µm that proves little.",
    )
    assert not compare(estimates=estimates, tolerance_m=100e-6).notes


def test_a_negative_weight_is_left_out_and_named() -> None:
    """The second carries all that the first does, and more: it cannot add anything."""
    found, weights, left_out = combine([estimate("bore", 40, m=2), estimate("walls", 42, m=4, b=1)])
    assert [left.name for left in left_out] == ["walls"]
    assert weights == {"bore": 1.0}
    assert found.value == pytest.approx(40e-6)


def test_the_same_result_twice_is_no_news() -> None:
    one = estimate("one", 40, m=2)
    found, weights, _ = combine([one, Estimate(name="two", quantity=one.quantity)])
    assert sum(weights.values()) == pytest.approx(1.0)
    assert found.standard_uncertainty == pytest.approx(2e-6)


def test_exact_values_average() -> None:
    found, weights, _ = combine([estimate("one", 40), estimate("two", 42)])
    assert weights == {"one": 0.5, "two": 0.5}
    assert found.value == pytest.approx(41e-6)


def test_exact_values_that_differ_disagree() -> None:
    assert not compare(estimates=[estimate("one", 40), estimate("two", 42)]).agree
    assert compare(estimates=[estimate("one", 40), estimate("two", 40)]).agree


parts = st.lists(st.floats(0.1, 5), min_size=3, max_size=3)


@given(rows=st.lists(parts, min_size=2, max_size=4))
def test_no_weights_of_the_kept_ones_do_better(rows: list[list[float]]) -> None:
    """Best linear unbiased: every other set of weights with sum 1 has at least this variance."""
    quantities = [
        Quantity(0.0, {**{source(f"s{j}"): c for j, c in enumerate(row)}, source(f"own{i}"): 0.5})
        for i, row in enumerate(rows)
    ]
    estimates = [Estimate(name=str(i), quantity=q) for i, q in enumerate(quantities)]
    found, weights, _ = combine(estimates)
    assert all(weight >= 0.0 for weight in weights.values())
    assert sum(weights.values()) == pytest.approx(1.0)
    kept = [e.quantity for e in estimates if e.name in weights]
    matrix = covariance_matrix(kept)
    generator = np.random.default_rng(3)
    for other in generator.dirichlet(np.ones(len(kept)), size=20):
        assert other @ matrix @ other >= found.variance * (1 - 1e-9)


def test_names_are_used_once() -> None:
    with pytest.raises(ValueError, match="names of their own"):
        compare(estimates=[estimate("bore", 1), estimate("bore", 2)])


@pytest.mark.parametrize(
    ("at_least_um", "at_most_um", "contradicts"),
    [(None, None, False), (43, None, True), (41.5, None, False), (None, 37, True), (30, 50, False)],
)
def test_a_bound_contradicts_beyond_u(
    at_least_um: float | None, at_most_um: float | None, contradicts: bool
) -> None:
    assert (
        contradicts_bounds(
            quantity=estimate("bore", 40, a=1).quantity,
            at_least_m=None if at_least_um is None else at_least_um * 1e-6,
            at_most_m=None if at_most_um is None else at_most_um * 1e-6,
        )
        is contradicts
    )
