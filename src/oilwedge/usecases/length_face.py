"""How lengths, their uncertainty and chances are shown: in one unit, digits cut by U."""

from __future__ import annotations

from dataclasses import dataclass

from oilwedge.uncertainty.quantity import Quantity
from oilwedge.uncertainty.rounding import format_with_uncertainty
from oilwedge.units import format_length

_FACTOR = {"mm": 1e-3, "in": 0.0254, "µm": 1e-6, "thou": 2.54e-5}
_DECIMALS = {"mm": 3, "in": 4, "µm": 1, "thou": 1}
COVERAGE = 0.95


@dataclass(frozen=True, kw_only=True, slots=True)
class LengthFace:
    """How lengths are shown: in which unit, and whether k stands beside U."""

    unit: str = "mm"
    show_k: bool = False

    def length(self, value_m: float) -> str:
        """A length without uncertainty: a limit, a nominal size."""
        return format_length(value_m=value_m, unit=self.unit, decimals=self.decimals)

    def span(self, *, low_m: float | None, high_m: float | None) -> str:
        """Two limits as one phrase."""
        if low_m is not None and high_m is not None:
            low = self.length(low_m).removesuffix(self.unit).strip()
            return f"{low} to {self.length(high_m)}"
        if high_m is not None:
            return f"up to {self.length(high_m)}"
        return f"from {self.length(low_m)}" if low_m is not None else "none given"

    @property
    def decimals(self) -> int:
        """Decimals of a length that carries no uncertainty."""
        return _DECIMALS[self.unit]

    def value(self, quantity: Quantity) -> str:
        """A value with its U as one thing: 0.038 ± 0.006 mm."""
        expanded = quantity.expanded(coverage_probability=COVERAGE)
        rounded = format_with_uncertainty(
            value=quantity.value,
            uncertainty=expanded.half_width,
            unit_factor=_FACTOR[self.unit],
            maximum_decimals=self.decimals,
        )
        text = f"{rounded.value_text} ± {rounded.uncertainty_text} {self.unit}"
        factor = f"(k = {expanded.k:.2f})".replace(" ", "\N{NO-BREAK SPACE}")
        return f"{text} {factor}" if self.show_k else text


def percent(chance: float) -> str:
    """A chance in whole per cent, without pretending to certainty."""
    if chance > 0.99:
        return "over 99 %"
    if chance < 0.01:
        return "under 1 %"
    return f"{100.0 * chance:.0f} %"


def face_uncertainty(uncertainty_m: float, *, face: LengthFace) -> str:
    """An uncertainty by itself, two digits at the most."""
    rounded = format_with_uncertainty(
        value=0.0,
        uncertainty=uncertainty_m,
        unit_factor=_FACTOR[face.unit],
        maximum_decimals=face.decimals + 1,
    )
    return f"{rounded.uncertainty_text} {face.unit}"
