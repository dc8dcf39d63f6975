"""Which limits of a fit are in force, given what its parts are: new, machined or re-used."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import Enum

from oilwedge.engine.model import Fit, ServiceFor


class Condition(Enum):
    """What a part is, which decides the limits that hold for it."""

    NEW = "new"
    MACHINED = "machined"
    REUSED = "re-used"
    UNSTATED = "not stated"


class LimitName(Enum):
    """The four sides that a maker may limit."""

    LOW = "low limit"
    HIGH = "high limit"
    SERVICE_LOW = "lower service limit"
    SERVICE_HIGH = "service limit"

    @property
    def is_lower(self) -> bool:
        """Whether the size has to be above it."""
        return self in (LimitName.LOW, LimitName.SERVICE_LOW)

    @property
    def is_service(self) -> bool:
        """Whether it is a wear limit, for re-used parts only."""
        return self in (LimitName.SERVICE_LOW, LimitName.SERVICE_HIGH)


@dataclass(frozen=True, kw_only=True, slots=True)
class LimitsInForce:
    """The limits that judge, in metres; None where the maker gives none on that side."""

    low_m: float | None
    high_m: float | None
    service_low_m: float | None
    service_high_m: float | None
    service_holds: bool
    condition: Condition

    def value_of(self, name: LimitName) -> float | None:
        """Give the limit of that name, or None where there is none or it does not hold."""
        return {
            LimitName.LOW: self.low_m,
            LimitName.HIGH: self.high_m,
            LimitName.SERVICE_LOW: self.service_low_m if self.service_holds else None,
            LimitName.SERVICE_HIGH: self.service_high_m if self.service_holds else None,
        }[name]

    @property
    def any_given(self) -> bool:
        """Whether there is anything to judge by."""
        return any(self.value_of(name) is not None for name in LimitName)


def joint_condition(conditions: Iterable[Condition], *, service_for: ServiceFor) -> Condition:
    """Say what the fit as a whole is: one new or machined part makes it more than re-used.

    With ``ANY_REUSED`` (a maker who writes so) one re-used part is enough for the service limit.
    A part of which nothing was said counts as found, which is re-used, but stays UNSTATED so that
    every face can say so.
    """
    found = set(conditions)
    if not found:
        return Condition.UNSTATED
    if service_for is ServiceFor.ANY_REUSED:
        for condition in (Condition.REUSED, Condition.UNSTATED):
            if condition in found:
                return condition
    for condition in (Condition.NEW, Condition.MACHINED, Condition.UNSTATED):
        if condition in found:
            return condition
    return Condition.REUSED


def limits_in_force(
    *, fit: Fit, conditions: Iterable[Condition], size_shift_m: float = 0.0
) -> LimitsInForce:
    """Choose the limits that judge this fit.

    The service limit holds for re-used parts only; for new or machined ones only the build limits
    do. ``size_shift_m`` moves the limits of a size (not of a clearance) to its undersize.
    """
    condition = joint_condition(conditions, service_for=fit.service_for)

    def shifted(limit_m: float | None) -> float | None:
        return None if limit_m is None else limit_m + size_shift_m

    return LimitsInForce(
        low_m=shifted(fit.low_m),
        high_m=shifted(fit.high_m),
        service_low_m=shifted(fit.service_low_m),
        service_high_m=shifted(fit.service_high_m),
        service_holds=condition in (Condition.REUSED, Condition.UNSTATED),
        condition=condition,
    )
