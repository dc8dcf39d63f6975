"""Why two ways of measuring one bearing disagree, most likely first, and how to tell.

Common practice, no source. No list of causes proves one of them; each comes with the check that
tells it from the others.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum


class Disagreement(Enum):
    """Which way reads smaller."""

    STRIP_SMALLER = "the strip shows less clearance than the gauges"
    STRIP_LARGER = "the strip shows more clearance than the gauges"
    WALLS_SMALLER = "housing, walls and journal give less clearance than the fitted bore"
    WALLS_LARGER = "housing, walls and journal give more clearance than the fitted bore"
    ZEROED_GAUGE_DIFFERS = "the gauge zeroed at the journal differs from bore less journal"
    OTHER = "two ways differ"


@dataclass(frozen=True, kw_only=True, slots=True)
class LikelyCause:
    """A cause, and the check that tells it from the others."""

    cause: str
    check: str


_TURNED = LikelyCause(
    cause="the shaft or the rod turned on the strip",
    check="look at the strip: smeared or torn edges; flatten a new one and turn nothing",
)
_DIRT = LikelyCause(
    cause="dirt or a burr behind a shell",
    check="take the shell out, look for a bright spot on its back, clean, refit, measure again",
)
_CAP = LikelyCause(
    cause="a cap swapped or reversed",
    check="compare the marks of cap and rod or block, and the side that the tangs are on",
)
_CAP_OPEN = LikelyCause(
    cause="the cap not at its full torque, or threads dry where the maker wants them oiled",
    check="loosen, oil the threads as for final assembly, tighten through all stages, repeat",
)
_SHELL = LikelyCause(
    cause="a shell of the wrong grade or undersize",
    check="read the marks on the backs and measure both walls at the crown with a ball anvil",
)
_HANGING = LikelyCause(
    cause="the crank hung on the strip or did not lie in its shells",
    check="turn the block upside down, or hold the crank up against its shells, and repeat",
)
_ROD_SWUNG = LikelyCause(
    cause="the rod swung, or leant on the strip by its own weight",
    check="hold the rod upright while the cap is tightened, and repeat with a new strip",
)
_ANGLE = LikelyCause(
    cause="the bore was read away from square to the split, or an oval pin at another angle",
    check="read the bore square to the split, and the journal in four directions",
)
_SIGN = LikelyCause(
    cause="the sign of the bore gauge was taken the wrong way round, or a turn was missed",
    check="press the plunger in: see which way the hand goes for a smaller bore; set again",
)
_ZERO = LikelyCause(
    cause="the zero of a micrometer is off",
    check="check its zero with the setting rod; read journal and gauge in the same micrometer",
)
_FLOW = LikelyCause(
    cause="the thread flowed along the shaft, or was read in its narrow part",
    check="use a short piece, read the widest place, and repeat with a new strip",
)
_CRUSH = LikelyCause(
    cause="the shells' crush widens or distorts the housing",
    check="measure the bore with the shells fitted and the cap at full torque, and trust that",
)
_FLAT_ANVIL = LikelyCause(
    cause="a wall was read with flat anvils, which bridge the curve and read thick",
    check="measure the wall again with a ball anvil, at the crown",
)
_OIL = LikelyCause(
    cause="oil on a running face under the strip",
    check="wipe journal and shell dry, and repeat with a new strip",
)

_CAUSES: dict[Disagreement, tuple[LikelyCause, ...]] = {
    Disagreement.STRIP_SMALLER: (
        _TURNED, _DIRT, _CAP, _SHELL, _HANGING, _ROD_SWUNG, _OIL, _ANGLE, _SIGN, _ZERO,
    ),
    Disagreement.STRIP_LARGER: (
        _CAP_OPEN, _FLOW, _CAP, _SHELL, _HANGING, _ROD_SWUNG, _ANGLE, _SIGN, _ZERO,
    ),
    Disagreement.WALLS_SMALLER: (_FLAT_ANVIL, _CAP_OPEN, _CRUSH, _SHELL, _ANGLE, _SIGN, _ZERO),
    Disagreement.WALLS_LARGER: (_DIRT, _CRUSH, _SHELL, _CAP, _ANGLE, _SIGN, _ZERO),
    Disagreement.ZEROED_GAUGE_DIFFERS: (_SIGN, _ZERO, _ANGLE, _CAP_OPEN, _DIRT),
    Disagreement.OTHER: (
        _DIRT, _CAP, _CAP_OPEN, _SHELL, _HANGING, _ROD_SWUNG, _ANGLE, _SIGN, _ZERO,
    ),
}  # fmt: skip


def likely_causes(kind: Disagreement) -> tuple[LikelyCause, ...]:
    """The usual causes of a disagreement, most likely first, each with its check."""
    return _CAUSES[kind]
