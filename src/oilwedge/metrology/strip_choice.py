"""Which strip can show which limit, before anybody flattens one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from oilwedge.metrology.instrument import Strip
from oilwedge.units import format_length

_SLACK_M = 1e-9  # limits in inches, converted, meet bars in inches


@dataclass(frozen=True, kw_only=True, slots=True)
class ClearanceLimits:
    """The limits that a clearance is held against, diametral; None where there is none."""

    low_m: float | None = None
    high_m: float | None = None
    service_m: float | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class StripCoverage:
    """What one strip can show of the limits, None where there is no such limit.

    ``sentences`` say what it cannot show.
    """

    strip: Strip
    low: bool | None
    high: bool | None
    service: bool | None
    sentences: tuple[str, ...] = ()

    @property
    def count(self) -> int:
        """How many of the limits it shows."""
        return sum(shown is True for shown in (self.low, self.high, self.service))

    @property
    def complete(self) -> bool:
        """Whether it shows every limit there is."""
        return all(shown is not False for shown in (self.low, self.high, self.service))


def coverage(*, strip: Strip, limits: ClearanceLimits, unit: str = "mm") -> StripCoverage:
    """Say which limits lie inside the strip's range, and what is out of its sight.

    The low limit is shown when the range starts at or below it, the high and the service limit
    when it ends at or above them: a strip that starts at 0.025 mm cannot tell 0.021 to 0.025 mm
    from too tight.
    """
    sentences = []
    low = high = service = None
    if limits.low_m is not None:
        low = _reaches(strip, limits.low_m)
        if not low and strip.low_m > limits.low_m:
            sentences.append(
                f"{strip.title} starts at {_text(strip.low_m, unit)}: it cannot tell "
                f"{_text(limits.low_m, unit)} to {_text(strip.low_m, unit)} from too tight."
            )
        elif not low:
            sentences.append(_ends_before(strip, limits.low_m, "the low limit", unit))
    if limits.high_m is not None:
        high = _reaches(strip, limits.high_m)
        if not high:
            sentences.append(_out_of_range(strip, limits.high_m, "the high limit", unit))
    if limits.service_m is not None:
        service = _reaches(strip, limits.service_m)
        if not service:
            sentences.append(_out_of_range(strip, limits.service_m, "the service limit", unit))
    return StripCoverage(
        strip=strip, low=low, high=high, service=service, sentences=tuple(sentences)
    )


def choose_strip(
    *, strips: Sequence[Strip], limits: ClearanceLimits, unit: str = "mm"
) -> tuple[StripCoverage, ...]:
    """The strips, best first: most limits shown, then the finest (narrowest) range.

    A strip that shows no limit at all is left out.
    """
    found = [coverage(strip=strip, limits=limits, unit=unit) for strip in strips]
    useful = [c for c in found if c.count]
    return tuple(sorted(useful, key=lambda c: (-c.count, c.strip.high_m - c.strip.low_m)))


def _reaches(strip: Strip, limit_m: float) -> bool:
    return strip.low_m - _SLACK_M <= limit_m <= strip.high_m + _SLACK_M


def _out_of_range(strip: Strip, limit_m: float, name: str, unit: str) -> str:
    if limit_m > strip.high_m:
        return _ends_before(strip, limit_m, name, unit)
    return (
        f"{strip.title} starts at {_text(strip.low_m, unit)}, above {name} of "
        f"{_text(limit_m, unit)}: it cannot show what is right."
    )


def _ends_before(strip: Strip, limit_m: float, name: str, unit: str) -> str:
    return (
        f"{strip.title} ends at {_text(strip.high_m, unit)}: it cannot show {name} of "
        f"{_text(limit_m, unit)}."
    )


def _text(value_m: float, unit: str) -> str:
    decimals = {"in": 4, "µm": 0, "thou": 1}.get(unit, 3)
    return format_length(value_m=value_m, unit=unit, decimals=decimals)
