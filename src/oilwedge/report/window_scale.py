"""The range that a window sign draws, and where a number falls in it."""

import sys
from dataclasses import dataclass

from oilwedge.report.window_sign import WindowSign

# With both limits the drawing is 2.75 build windows wide, so that the bracket
# stands at the same place in each sign; 0.75 of a window lies below, 1 above.
BELOW = 0.75
ABOVE = 1.0
# A service limit further out stretches the drawing, up to four windows.
SERVICE_MARGIN = 0.15
FURTHEST_SERVICE = 4.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Scale:
    """A linear scale from ``start`` (fraction 0) to ``end`` (fraction 1)."""

    start: float
    end: float

    def fraction(self, value: float) -> float:
        """Give (value - start) / (end - start); below 0 or above 1 is off the drawing."""
        # Divided by the largest number first, so that no difference overflows.
        size = max(abs(self.start), abs(self.end), sys.float_info.min)
        span = self.end / size - self.start / size
        distance = value / size - self.start / size
        if span > 0:
            return distance / span
        return 0.5 if value == self.start else (float("inf") if distance > 0 else float("-inf"))


def window_scale(sign: WindowSign) -> Scale:
    """Choose the range of a drawing from its limits, or from its marks where there are none.

    One limit alone is given a window of its own size (a limit of 0.005 draws from 0),
    which suits gaps, taper and run-out; for a size give ``drawn_low`` and ``drawn_high``.
    """
    start, end = _chosen_range(sign)
    largest = sys.float_info.max
    start = max(-largest, start if sign.drawn_low is None else sign.drawn_low)
    end = min(largest, end if sign.drawn_high is None else sign.drawn_high)
    return Scale(start=start, end=max(start, end))


def _chosen_range(sign: WindowSign) -> tuple[float, float]:
    low = sign.service_low if sign.low is None and sign.high is None else sign.low
    high = sign.service_high if sign.low is None and sign.high is None else sign.high
    if low is not None and high is not None:
        low, high = min(low, high), max(low, high)
        width = high - low
        if width > 0:
            return _with_service(sign, low - BELOW * width, high + ABOVE * width, width)
    limit = high if high is not None else low
    if limit is None:
        return _range_of_marks(sign)
    width = abs(limit) or _largest_number(sign) or 1.0
    if low is None:
        return _with_service(sign, limit - width, limit + BELOW * width, width)
    return _with_service(sign, limit - BELOW * width, limit + ABOVE * width, width)


def _with_service(sign: WindowSign, start: float, end: float, width: float) -> tuple[float, float]:
    furthest = FURTHEST_SERVICE * width
    margin = SERVICE_MARGIN * width
    if sign.service_high is not None and sign.service_high <= end + furthest:
        end = max(end, sign.service_high + margin)
    if sign.service_low is not None and sign.service_low >= start - furthest:
        start = min(start, sign.service_low - margin)
    return start, end


def _range_of_marks(sign: WindowSign) -> tuple[float, float]:
    values = [mark.value for mark in sign.marks] or [0.0]
    widths = [w for mark in sign.marks if (w := mark.half_width) is not None and w < float("inf")]
    room = max([*widths, max(values) - min(values)]) or abs(max(values)) or 1.0
    return min(values) - 1.5 * room, max(values) + 1.5 * room


def _largest_number(sign: WindowSign) -> float:
    limits = (sign.low, sign.high, sign.service_low, sign.service_high)
    return max(
        [abs(limit) for limit in limits if limit is not None]
        + [abs(mark.value) for mark in sign.marks]
    )
