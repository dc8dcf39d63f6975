"""A plain journal bearing: its sizes, how oil comes in, and what rupture of the film means."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum

from oilwedge.errors import Fault, OutOfRangeError


class Groove(Enum):
    """How the oil gets into the gap; the value is the word for it on the command line."""

    AXIAL = "axial"
    """Over the full width, at the largest gap, as in the classical tables."""

    CIRCUMFERENTIAL = "circumferential"
    """All round the middle, which leaves two lands."""

    NONE = "none"
    """No groove: both ends open to flooded surroundings."""


class Rupture(Enum):
    """Where the film ends; the value is the word for it on the command line."""

    REYNOLDS = "reynolds"
    """Pressure and its slope vanish: the condition of the classical tables."""

    MASS_CONSERVING = "mass-conserving"
    """Jakobsson, Floberg and Olsson: the cavity carries what oil it was given, and no more."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Bearing:
    """A plain bearing round a journal, both rigid, round, straight and parallel.

    ``diameter_m`` and ``width_m`` of the bearing, ``diametral_clearance_m`` bore less journal
    (twice the radial clearance C), at the temperature at which it runs. ``supply_pressure_pa``
    counts from the surroundings and holds in the groove; ``groove_width_m`` is the width of a
    circumferential groove, which carries no load. OutOfRangeError for what no bearing can be.
    """

    diameter_m: float
    width_m: float
    diametral_clearance_m: float
    groove: Groove = Groove.AXIAL
    supply_pressure_pa: float = 0.0
    groove_width_m: float = 0.0

    def __post_init__(self) -> None:
        require_positive(self.diameter_m, what="the diameter", unit="m")
        require_positive(self.width_m, what="the width", unit="m")
        require_positive(self.diametral_clearance_m, what="the diametral clearance", unit="m")
        if self.diametral_clearance_m > 0.02 * self.diameter_m:
            raise OutOfRangeError(
                Fault(
                    given=f"{self.diametral_clearance_m * 1e6:g} µm",
                    allowed="the theory of thin films holds for a diametral clearance of at most"
                    f" 2 % of the diameter, here {self.diameter_m * 2e4:g} µm",
                    action="check the units of diameter and clearance",
                )
            )
        if not 0.02 <= self.width_ratio <= 4.0:
            raise OutOfRangeError(
                Fault(
                    given=f"a width of {self.width_ratio:g} diameters",
                    allowed="widths of 0.02 to 4 diameters are solved",
                    action="check the units of width and diameter",
                )
            )
        if not (math.isfinite(self.supply_pressure_pa) and self.supply_pressure_pa >= 0.0):
            raise OutOfRangeError(
                Fault(
                    given=f"{self.supply_pressure_pa:g} Pa",
                    allowed="the supply pressure counts from the surroundings and is 0 or more",
                )
            )
        self._check_groove()

    def _check_groove(self) -> None:
        if self.groove is Groove.NONE and self.supply_pressure_pa > 0.0:
            raise OutOfRangeError(
                Fault(
                    given=f"{self.supply_pressure_pa:g} Pa without a groove",
                    allowed="a supply pressure needs a groove to act in",
                    action="choose a groove or leave the supply pressure out",
                )
            )
        if self.groove is not Groove.CIRCUMFERENTIAL and self.groove_width_m != 0.0:
            raise OutOfRangeError(
                Fault(
                    given=f"a groove {self.groove_width_m:g} m wide",
                    allowed="only a circumferential groove has a width of its own",
                )
            )
        if not 0.0 <= self.groove_width_m <= 0.9 * self.width_m:
            raise OutOfRangeError(
                Fault(
                    given=f"a groove {self.groove_width_m:g} m wide",
                    allowed=f"it has to leave lands on a bearing {self.width_m:g} m wide",
                )
            )

    @property
    def radial_clearance_m(self) -> float:
        """C, half the diametral clearance."""
        return 0.5 * self.diametral_clearance_m

    @property
    def radius_m(self) -> float:
        """R, half the diameter."""
        return 0.5 * self.diameter_m

    @property
    def width_ratio(self) -> float:
        """Width over diameter, a ratio, of the whole bearing."""
        return self.width_m / self.diameter_m

    @property
    def land_count(self) -> int:
        """Two with a circumferential groove, else one."""
        return 2 if self.groove is Groove.CIRCUMFERENTIAL else 1

    @property
    def land_width_m(self) -> float:
        """Width of one land."""
        return (self.width_m - self.groove_width_m) / self.land_count


def require_positive(value: float, *, what: str, unit: str) -> None:
    """Raise :class:`OutOfRangeError` unless ``value``, in ``unit``, is finite and above 0."""
    if not (math.isfinite(value) and value > 0.0):
        raise OutOfRangeError(
            Fault(given=f"{value:g} {unit}", allowed=f"{what} has to be more than 0")
        )
