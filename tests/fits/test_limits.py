"""Which limits are in force: new, machined, re-used."""

from __future__ import annotations

import itertools

import pytest

from oilwedge.engine.model import Fit, Per, ServiceFor, Term, Way, WayKind
from oilwedge.fits.limits import Condition, LimitName, joint_condition, limits_in_force

UM = 1e-6
N, M, R, U = Condition.NEW, Condition.MACHINED, Condition.REUSED, Condition.UNSTATED


def fit(service_for: ServiceFor = ServiceFor.ALL_REUSED) -> Fit:
    way = Way(
        key="direct", title="gap", kind=WayKind.DIRECT, terms=(Term(coefficient=1.0, feature="g"),)
    )
    return Fit(
        key="f",
        title="fit",
        per=Per.ENGINE,
        count=1,
        ways=(way,),
        parts=("a", "b"),
        low_m=21 * UM,
        high_m=49 * UM,
        service_low_m=15 * UM,
        service_high_m=60 * UM,
        service_for=service_for,
    )


@pytest.mark.parametrize(
    ("conditions", "joint"),
    [
        ((R, R), R),
        ((R, N), N),
        ((M, R), M),
        ((M, N), N),
        ((R, U), U),
        ((U, N), N),
        ((U, U), U),
        ((), U),
    ],
)
def test_one_new_or_machined_part_makes_the_fit_more_than_reused(
    conditions: tuple[Condition, ...], joint: Condition
) -> None:
    assert joint_condition(conditions, service_for=ServiceFor.ALL_REUSED) is joint


@pytest.mark.parametrize(
    ("conditions", "joint"), [((N, R), R), ((N, U), U), ((M, N), N), ((R, R), R)]
)
def test_a_maker_may_let_one_reused_part_be_enough(
    conditions: tuple[Condition, ...], joint: Condition
) -> None:
    assert joint_condition(conditions, service_for=ServiceFor.ANY_REUSED) is joint


def test_the_order_of_the_parts_does_not_matter() -> None:
    for service_for in ServiceFor:
        for three in itertools.product(Condition, repeat=3):
            found = {
                joint_condition(order, service_for=service_for)
                for order in itertools.permutations(three)
            }
            assert len(found) == 1


@pytest.mark.parametrize(("condition", "holds"), [(R, True), (U, True), (N, False), (M, False)])
def test_the_service_limit_holds_for_reused_and_unstated_parts_only(
    condition: Condition, holds: bool
) -> None:
    limits = limits_in_force(fit=fit(), conditions=[condition])
    assert limits.service_holds is holds
    assert limits.value_of(LimitName.LOW) == 21 * UM
    assert limits.value_of(LimitName.HIGH) == 49 * UM
    assert limits.value_of(LimitName.SERVICE_LOW) == (15 * UM if holds else None)
    assert limits.value_of(LimitName.SERVICE_HIGH) == (60 * UM if holds else None)


def test_an_undersize_moves_all_four_limits_alike() -> None:
    limits = limits_in_force(fit=fit(), conditions=[R], size_shift_m=-250 * UM)
    moved = [limits.value_of(name) for name in LimitName]
    assert moved == pytest.approx([-229 * UM, -201 * UM, -235 * UM, -190 * UM])


def test_only_the_low_limits_are_lower_and_only_the_wear_limits_are_for_service() -> None:
    assert [name for name in LimitName if name.is_lower] == [LimitName.LOW, LimitName.SERVICE_LOW]
    assert [name for name in LimitName if name.is_service] == [
        LimitName.SERVICE_LOW,
        LimitName.SERVICE_HIGH,
    ]
