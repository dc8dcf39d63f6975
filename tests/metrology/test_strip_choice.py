"""Limits of the trade, 0.021 to 0.049 mm and 0.060 mm in service: common practice, no source."""

from __future__ import annotations

import pytest

from oilwedge.metrology.instrument import Strip
from oilwedge.metrology.strip_choice import ClearanceLimits, choose_strip, coverage

LIMITS = ClearanceLimits(low_m=0.021e-3, high_m=0.049e-3, service_m=0.060e-3)


def strip(low_mm: float, high_mm: float) -> Strip:
    return Strip(
        key=f"{low_mm}-{high_mm}",
        title=f"strip {low_mm}",
        low_m=low_mm * 1e-3,
        high_m=high_mm * 1e-3,
    )


def test_a_strip_from_0_025_cannot_separate_0_021_to_0_025_from_too_tight() -> None:
    found = coverage(strip=strip(0.025, 0.076), limits=LIMITS)
    assert (found.low, found.high, found.service) == (False, True, True)
    assert found.sentences == (
        "strip 0.025 starts at 0.025 mm: it cannot tell 0.021 mm to 0.025 mm from too tight.",
    )
    assert not found.complete


def test_a_strip_that_ends_before_the_service_limit_says_so() -> None:
    found = coverage(strip=strip(0.018, 0.045), limits=LIMITS)
    assert (found.low, found.high, found.service) == (True, False, False)
    assert found.sentences == (
        "strip 0.018 ends at 0.045 mm: it cannot show the high limit of 0.049 mm.",
        "strip 0.018 ends at 0.045 mm: it cannot show the service limit of 0.060 mm.",
    )


def test_a_strip_far_above_shows_nothing() -> None:
    found = coverage(strip=strip(0.1, 0.23), limits=LIMITS)
    assert found.count == 0
    assert "above the high limit of 0.049 mm" in found.sentences[1]


def test_a_limit_that_is_not_there_is_not_missed() -> None:
    found = coverage(strip=strip(0.025, 0.076), limits=ClearanceLimits(high_m=0.049e-3))
    assert (found.low, found.high, found.service) == (None, True, None)
    assert found.complete


@pytest.mark.parametrize("end_mm", [0.060, 0.0600000001])
def test_a_limit_on_the_last_bar_is_shown(end_mm: float) -> None:
    assert coverage(strip=strip(0.021, end_mm), limits=LIMITS).complete


def test_the_strip_that_shows_most_comes_first_then_the_finest() -> None:
    strips = [strip(0.05, 0.15), strip(0.01, 0.3), strip(0.018, 0.076), strip(0.3, 0.6)]
    ranked = choose_strip(strips=strips, limits=LIMITS)
    assert [c.strip.low_m for c in ranked] == pytest.approx([0.018e-3, 0.01e-3, 0.05e-3])


def test_sentences_speak_the_unit_of_the_manual() -> None:
    found = coverage(strip=strip(0.0254, 0.0762), limits=LIMITS, unit="in")
    assert found.sentences[0].endswith("cannot tell 0.0008 in to 0.0010 in from too tight.")
