from __future__ import annotations

import math

import pytest

from oilwedge.errors import OutOfRangeError
from oilwedge.metrology.instrument import Strip, StripBar
from oilwedge.metrology.reading import Bound
from oilwedge.metrology.strip import (
    StripClearance,
    clearance_from_mark,
    clearance_from_width,
)
from oilwedge.uncertainty.quantity import Quantity, covariance

AREA = math.pi * 0.25e-3**2 / 4
LADDER = (0.025e-3, 0.038e-3, 0.051e-3, 0.076e-3)
WIDE = Strip(
    key="fine",
    title="the fine strip",
    low_m=0.025e-3,
    high_m=0.076e-3,
    bars=tuple(StripBar(clearance_m=h, width_m=AREA / h) for h in LADDER),
    filament_diameter_m=0.25e-3,
)
MARKS = Strip(
    key="marks",
    title="the marked strip",
    low_m=0.025e-3,
    high_m=0.076e-3,
    bars=tuple(StripBar(clearance_m=h) for h in LADDER),
)


def quantity(found: StripClearance) -> Quantity:
    assert found.value is not None
    assert found.bound is Bound.NONE
    return found.value


def parts(found: StripClearance) -> dict[str, float]:
    return {s.key: c for s, c in quantity(found).contributions.items()}


@pytest.mark.parametrize("clearance_m", [0.025e-3, 0.030e-3, 0.0431e-3, 0.07e-3, 0.076e-3])
def test_bars_of_one_section_give_width_times_clearance_constant(clearance_m: float) -> None:
    found = clearance_from_width(strip=WIDE, width_m=AREA / clearance_m, reading="r")
    assert quantity(found).value == pytest.approx(clearance_m)
    assert found.thread_m == pytest.approx(clearance_m)


def test_the_uncertainty_of_a_width_is_five_to_ten_micrometres() -> None:
    found = clearance_from_width(strip=WIDE, width_m=AREA / 0.05e-3, reading="r")
    assert parts(found)["strip reading:r"] == pytest.approx(
        0.05e-3 * 0.1e-3 / (AREA / 0.05e-3) / math.sqrt(3)
    )
    assert parts(found)["strip:fine:batch"] == pytest.approx(5e-6 / math.sqrt(3))
    assert 5e-6 < quantity(found).expanded().half_width < 10e-6


def test_axial_flow_makes_the_strip_read_high() -> None:
    found = clearance_from_width(strip=WIDE, width_m=AREA / 0.05e-3, reading="r")
    assert parts(found)["strip:axial flow"] == pytest.approx(-0.05 * 0.05e-3 / math.sqrt(3))


def test_two_readings_of_one_batch_share_its_error() -> None:
    one, two = (
        quantity(clearance_from_width(strip=WIDE, width_m=AREA / 0.05e-3, reading=name))
        for name in ("a", "b")
    )
    assert covariance(one, two) == pytest.approx((5e-6**2 + 2.5e-6**2) / 3)


def test_wider_than_the_widest_bar_is_at_most_that_bar() -> None:
    found = clearance_from_width(strip=WIDE, width_m=AREA / 0.020e-3, reading="r")
    assert found.value is None
    assert (found.bound, found.limit_m) == (Bound.AT_MOST, 0.025e-3)
    assert found.sentence == (
        "The strip is wider than the widest that the fine strip is made for: the clearance is at "
        "most 0.025 mm, and this strip cannot say how much."
    )


def test_narrower_than_the_narrowest_bar_is_at_least_that_bar() -> None:
    found = clearance_from_width(strip=WIDE, width_m=AREA / 0.080e-3, reading="r")
    assert (found.value, found.bound, found.limit_m) == (None, Bound.AT_LEAST, 0.076e-3)
    assert "at least 0.076 mm" in found.sentence


def test_between_bars_that_disagree_the_clearance_is_linear_in_one_over_width() -> None:
    strip = Strip(
        key="x",
        title="x",
        low_m=0.02e-3,
        high_m=0.05e-3,
        bars=(
            StripBar(clearance_m=0.02e-3, width_m=2e-3),
            StripBar(clearance_m=0.05e-3, width_m=1e-3),
        ),
    )
    found = clearance_from_width(strip=strip, width_m=4e-3 / 3, reading="r")
    # 1/w is halfway between 500 and 1000 per metre.
    assert quantity(found).value == pytest.approx(0.035e-3)
    # w·h is 40 and 50 mm·µm: half of the difference, at this width, rectangular.
    assert parts(found)["strip:x:interpolation"] == pytest.approx(
        0.5 * 10e-9 / (4e-3 / 3) / math.sqrt(3)
    )


def test_one_bar_gives_the_constant_within_the_strips_range() -> None:
    strip = Strip(
        key="x", title="x", low_m=0.02e-3, high_m=0.08e-3,
        bars=(StripBar(clearance_m=0.05e-3, width_m=1e-3),),
    )  # fmt: skip
    inside = clearance_from_width(strip=strip, width_m=2e-3, reading="r")
    assert quantity(inside).value == pytest.approx(0.025e-3)
    outside = clearance_from_width(strip=strip, width_m=0.5e-3, reading="r")
    assert (outside.bound, outside.limit_m) == (Bound.AT_LEAST, 0.08e-3)


def test_without_bars_the_thread_gives_the_clearance() -> None:
    strip = Strip(key="x", title="x", low_m=0.02e-3, high_m=0.1e-3, filament_diameter_m=0.25e-3)
    found = clearance_from_width(strip=strip, width_m=0.982e-3, reading="r")
    assert quantity(found).value == pytest.approx(0.05e-3, rel=1e-3)


def test_a_width_needs_something_to_calibrate_it() -> None:
    with pytest.raises(OutOfRangeError, match="bars with widths or the diameter"):
        clearance_from_width(strip=MARKS, width_m=1e-3, reading="r")


def test_bars_that_grow_the_wrong_way_are_refused() -> None:
    strip = Strip(
        key="x", title="strip x", low_m=0.02e-3, high_m=0.08e-3,
        bars=(
            StripBar(clearance_m=0.05e-3, width_m=1e-3),
            StripBar(clearance_m=0.03e-3, width_m=0.5e-3),
        ),
    )  # fmt: skip
    with pytest.raises(OutOfRangeError, match="wider bar stands for a smaller clearance"):
        clearance_from_width(strip=strip, width_m=0.7e-3, reading="r")


@pytest.mark.parametrize("width_m", [0.0, -1e-3, math.nan])
def test_a_width_is_above_zero(width_m: float) -> None:
    with pytest.raises(OutOfRangeError, match="width above 0"):
        clearance_from_width(strip=WIDE, width_m=width_m, reading="r")


def test_a_mark_is_known_to_half_the_wider_gap_beside_it() -> None:
    found = clearance_from_mark(strip=MARKS, mark_m=0.051e-3, reading="r")
    assert quantity(found).value == 0.051e-3
    assert parts(found)["strip reading:r"] == pytest.approx(12.5e-6 / math.sqrt(3))


def test_between_two_marks_their_gap_counts() -> None:
    found = clearance_from_mark(strip=MARKS, mark_m=0.030e-3, reading="r")
    assert parts(found)["strip reading:r"] == pytest.approx(6.5e-6 / math.sqrt(3))


@pytest.mark.parametrize(
    ("mark_m", "bound", "limit_m"),
    [(0.02e-3, Bound.AT_MOST, 0.025e-3), (0.1e-3, Bound.AT_LEAST, 0.076e-3)],
)
def test_a_clearance_outside_the_marks_is_one_sided(
    mark_m: float, bound: Bound, limit_m: float
) -> None:
    found = clearance_from_mark(strip=MARKS, mark_m=mark_m, reading="r")
    assert (found.value, found.bound, found.limit_m) == (None, bound, limit_m)
