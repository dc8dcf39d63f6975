"""The film against the roughness of both surfaces: λ, and what may touch.

    λ = h_min/√(Rq1² + Rq2²)

over 3 a full film, 1 to 3 mixed, under 1 boundary lubrication. The bounds are RECALLED, and READ on
a page of general engineering only; they are a habit of thought from rolling contacts, not a law of
bearings. h_min is the smallest film of the smooth, rigid parts; edges, waviness and bending are not
in it.
"""

from __future__ import annotations

import math
from enum import Enum
from typing import Final

from oilwedge.errors import Fault, InputError

FULL_FILM_ABOVE: Final = 3.0
BOUNDARY_BELOW: Final = 1.0


class Regime(Enum):
    """What carries the load at the thinnest place; the value is the word for it."""

    FULL = "full film"
    MIXED = "mixed"
    BOUNDARY = "boundary"


def joint_roughness_m(*, journal_m: float, shell_m: float) -> float:
    """√(Rq1² + Rq2²) in m, of two root-mean-square roughnesses Rq in m.

    InputError for a negative one or where both are 0: then there is nothing to compare with.
    """
    for what, value in (("journal", journal_m), ("shell", shell_m)):
        if not (math.isfinite(value) and value >= 0.0):
            raise InputError(
                Fault(
                    given=f"{value * 1e6:g} µm",
                    allowed=f"the roughness Rq of the {what} is 0 or more",
                )
            )
    joint = math.hypot(journal_m, shell_m)
    if joint == 0.0:
        raise InputError(
            Fault(
                given="a roughness of 0 of both surfaces",
                allowed="no surface is that smooth",
                action="give Rq, or leave both out",
            )
        )
    return joint


def film_ratio(*, minimum_film_m: float, roughness_m: float) -> float:
    """λ: the smallest film over the joint roughness (both m)."""
    if not (math.isfinite(roughness_m) and roughness_m > 0.0):
        raise InputError(
            Fault(
                given=f"{roughness_m * 1e6:g} µm",
                allowed="the joint roughness of journal and shell is above 0",
            )
        )
    return minimum_film_m / roughness_m


def regime_of(*, film_ratio: float) -> Regime:
    """Which regime a ratio λ belongs to; 1 and 3 themselves are mixed."""
    if film_ratio > FULL_FILM_ABOVE:
        return Regime.FULL
    return Regime.BOUNDARY if film_ratio < BOUNDARY_BELOW else Regime.MIXED
