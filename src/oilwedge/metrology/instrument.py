"""An instrument: what it resolves, how far it may be wrong, and how well it repeats."""

from __future__ import annotations

import datetime
import math
from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum
from types import MappingProxyType


class InstrumentKind(Enum):
    """What sort of instrument it is."""

    MICROMETER = "micrometer"
    BALL_MICROMETER = "ball micrometer"
    INSIDE_MICROMETER = "inside micrometer"
    BORE_GAUGE = "bore gauge"
    CALIPER = "caliper"
    DEPTH_GAUGE = "depth gauge"
    DIAL_GAUGE = "dial gauge"
    FEELER = "feeler"
    STRIP = "strip"
    RULER = "ruler"
    OTHER = "other"


@dataclass(frozen=True, kw_only=True, slots=True)
class Instrument:
    """One instrument of the shop.

    ``permissible_error_m`` is a limit, ± about the truth (rectangular); the same error is in
    every reading that the instrument gives. ``repeatability_m`` is one standard deviation of
    a single reading, from experience; its degrees of freedom say how good the experience is.
    ``set_in`` names the micrometer or ring that the instrument is set in: that one's
    permissible error is then in each of its readings too. ``setting_m`` is the standard
    uncertainty of one act of setting or zeroing, ``setup_m`` that of one fitting (dirt,
    seating, how it was held), which repeats without a refit do not shrink.
    """

    key: str
    title: str
    kind: InstrumentKind
    unit: str = "mm"
    resolution_m: float
    permissible_error_m: float
    repeatability_m: float | None = None
    repeatability_degrees_of_freedom: float = math.inf
    range_low_m: float | None = None
    range_high_m: float | None = None
    set_in: str = ""
    setting_m: float = 0.0
    setup_m: float = 0.0
    expansion_per_k: float = 11.5e-6
    calibration_due: datetime.date | None = None

    def spans(self, size_m: float | None, *, slack_m: float = 0.0) -> bool:
        """Whether a size lies in the range, give or take ``slack_m``; an open side or no size does.

        Sizes and range in metres.
        """
        if size_m is None:
            return True
        low_m = self.range_low_m if self.range_low_m is not None else -math.inf
        high_m = self.range_high_m if self.range_high_m is not None else math.inf
        return low_m - slack_m <= size_m <= high_m + slack_m


@dataclass(frozen=True, kw_only=True, slots=True)
class StripBar:
    """One bar on a strip's wrapper: the clearance it stands for, and its width if known."""

    clearance_m: float
    width_m: float | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class Strip:
    """One size of clearance strip: its range, its wrapper's bars, its thread if known."""

    key: str
    title: str
    low_m: float
    high_m: float
    bars: tuple[StripBar, ...] = ()
    filament_diameter_m: float | None = None


def _generic(
    kind: InstrumentKind,
    *,
    resolution_um: float,
    error_um: float,
    repeatability_um: float,
    setting_um: float = 0.0,
    setup_um: float = 0.0,
    set_in: str = "",
) -> Instrument:
    return Instrument(
        key=kind.value,
        title=f"{kind.value}, none named",
        kind=kind,
        resolution_m=resolution_um * 1e-6,
        permissible_error_m=error_um * 1e-6,
        repeatability_m=repeatability_um * 1e-6,
        setting_m=setting_um * 1e-6,
        setup_m=setup_um * 1e-6,
        set_in=set_in,
    )


# Used where a reading names no instrument. Figures: common practice, no source. The generic
# bore gauge is set in the generic micrometer, as most are; the strip's own error comes from
# its calibration (strip.py), so only the set-up of the trial assembly stands here.
_K = InstrumentKind
GENERIC_INSTRUMENTS: Mapping[str, Instrument] = MappingProxyType(
    {
        instrument.key: instrument
        for instrument in (
            _generic(_K.MICROMETER, resolution_um=1, error_um=3, repeatability_um=1.5, setup_um=1),
            _generic(
                _K.BALL_MICROMETER, resolution_um=1, error_um=3, repeatability_um=2, setup_um=1
            ),
            _generic(
                _K.INSIDE_MICROMETER, resolution_um=1, error_um=5, repeatability_um=3, setup_um=2
            ),
            _generic(
                _K.BORE_GAUGE,
                resolution_um=1,
                error_um=2,
                repeatability_um=1.5,
                setting_um=1.5,
                setup_um=1.5,
                set_in="micrometer",
            ),
            _generic(_K.CALIPER, resolution_um=10, error_um=30, repeatability_um=15, setup_um=10),
            _generic(
                _K.DEPTH_GAUGE, resolution_um=10, error_um=20, repeatability_um=10, setup_um=10
            ),
            _generic(_K.DIAL_GAUGE, resolution_um=10, error_um=10, repeatability_um=5, setup_um=5),
            _generic(_K.FEELER, resolution_um=20, error_um=5, repeatability_um=10, setup_um=10),
            _generic(_K.STRIP, resolution_um=0, error_um=0, repeatability_um=2, setup_um=2),
            _generic(_K.RULER, resolution_um=500, error_um=200, repeatability_um=200),
            _generic(_K.OTHER, resolution_um=10, error_um=30, repeatability_um=15, setup_um=10),
        )
    }
)
