"""How well an instrument repeats: one standard deviation, and how much stands behind it."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from oilwedge.metrology.instrument import Instrument

# Fewer degrees of freedom than this say less than experience does; with 6, s is still only good
# to about 30 % (GUM G.4.2: relative uncertainty of u about 1/sqrt(2 nu)).
ENOUGH_DEGREES_OF_FREEDOM = 6.0


@dataclass(frozen=True, kw_only=True, slots=True)
class Pooled:
    """Scatter of repeats and form residuals of like features with one instrument (type A)."""

    instrument: str
    standard_deviation_m: float
    degrees_of_freedom: float


@dataclass(frozen=True, kw_only=True, slots=True)
class Repeatability:
    """One standard deviation of a single reading, and where it comes from."""

    standard_deviation_m: float
    degrees_of_freedom: float
    words: str


def pool(*, instrument: str, residuals: Iterable[tuple[float | None, float]]) -> Pooled | None:
    """Pool ``(s, ν)`` pairs: s² = Σ ν s² / Σ ν, with Σ ν degrees of freedom.

    Gives None where no pair has a degree of freedom. Holds for features of one kind, measured
    alike: the scatter has to be the same one.
    """
    known = [(s, nu) for s, nu in residuals if s is not None and nu > 0]
    total = sum(nu for _, nu in known)
    if not total:
        return None
    variance = sum(nu * s * s for s, nu in known) / total
    return Pooled(
        instrument=instrument, standard_deviation_m=math.sqrt(variance), degrees_of_freedom=total
    )


def choose_repeatability(
    *, instrument: Instrument, own: Pooled | None, pooled: Pooled | None
) -> Repeatability:
    """The repeatability to work with: pooled readings, own readings, or experience.

    Readings decide once they have :data:`ENOUGH_DEGREES_OF_FREEDOM`. With fewer the instrument's
    experience value stands, unless the readings scatter more than it allows (χ² at 99 %): then
    they decide with the few degrees of freedom that they have. Where there is no experience
    either, half the permissible error stands in (common practice, no source).
    """
    seen = max(
        (p for p in (pooled, own) if p is not None and _is_of(p, instrument)),
        key=lambda p: p.degrees_of_freedom,
        default=None,
    )
    experience = instrument.repeatability_m
    assumed = max(instrument.permissible_error_m / 2.0, instrument.resolution_m)
    if seen is not None:
        enough = seen.degrees_of_freedom >= ENOUGH_DEGREES_OF_FREEDOM
        if enough or _scatters_more(seen, assumed if experience is None else experience):
            return Repeatability(
                standard_deviation_m=seen.standard_deviation_m,
                degrees_of_freedom=seen.degrees_of_freedom,
                words="scatter of the readings",
            )
    if experience is not None:
        return Repeatability(
            standard_deviation_m=experience,
            degrees_of_freedom=instrument.repeatability_degrees_of_freedom,
            words=f"experience with {instrument.title}",
        )
    return Repeatability(
        standard_deviation_m=assumed,
        degrees_of_freedom=math.inf,
        words=f"assumed for {instrument.title}",
    )


def _is_of(pooled: Pooled, instrument: Instrument) -> bool:
    return pooled.instrument == instrument.key and pooled.degrees_of_freedom >= 1


def _scatters_more(seen: Pooled, experience_m: float) -> bool:
    """χ² test at 99 %, quantile after Wilson and Hilferty (good to 1 % from ν = 1)."""
    if experience_m <= 0.0:
        return seen.standard_deviation_m > 0.0
    nu = seen.degrees_of_freedom
    spread = 2.0 / (9.0 * nu)
    bound = (1.0 - spread + 2.3263 * math.sqrt(spread)) ** 3
    return (seen.standard_deviation_m / experience_m) ** 2 > bound
