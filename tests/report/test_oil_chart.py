"""The chart of viscosity and temperature."""

from __future__ import annotations

import math
import re
from itertools import pairwise
from xml.etree import ElementTree

import pytest

from oilwedge.report.oil_chart import (
    ChartPoint,
    OilChart,
    describe_oil,
    oil_chart_svg,
    three_digits,
)


def law(temperature_c: float) -> float:
    """A line of ASTM D341 through 404 at 40 and 28 at 100 °C: 132.126 at 60 °C (published)."""
    power = 10 ** (8.691763 - 3.3158737 * math.log10(temperature_c + 273.15))
    return float(10**power - 0.7)


def chart(*, width: float = 1.0) -> OilChart:
    points = tuple(
        ChartPoint(temperature_c=t, low_mm2_s=law(t), high_mm2_s=width * law(t))
        for t in range(20, 121, 10)
    )
    return OilChart(title="An <oil>", points=points, table=points[::2], measured=points[2:3])


def test_an_oil_is_a_straight_line_on_these_axes() -> None:
    drawn = ElementTree.fromstring(oil_chart_svg(chart()))
    paths = drawn.findall("{*}path")
    line = next(one.get("d", "") for one in paths if one.get("fill") == "none")
    places = [tuple(map(float, pair)) for pair in re.findall(r"([\d.]+) ([\d.]+)", line)]
    slopes = [(b[1] - a[1]) / (b[0] - a[0]) for a, b in pairwise(places)]
    assert slopes == pytest.approx([slopes[0]] * len(slopes), rel=2e-3)
    assert slopes[0] > 0  # down the page: thinner as it gets warmer


def test_it_has_presentation_attributes_only_and_a_description() -> None:
    text = oil_chart_svg(chart(width=1.2))
    assert 'role="img"' in text
    assert "style" not in text
    assert "<script" not in text
    drawn = ElementTree.fromstring(text)
    assert drawn.findtext("{*}title") == "An <oil>"
    assert "60 °C 132 to 159" in (drawn.findtext("{*}desc") or "")


def test_the_numbers_stand_in_the_table() -> None:
    drawn = ElementTree.fromstring(oil_chart_svg(chart()))
    texts = [one.text for one in drawn.findall("{*}text")]
    assert "132" in texts
    assert "28.0" in texts


def test_only_a_band_has_ground() -> None:
    assert "fill-opacity" not in oil_chart_svg(chart())
    assert "fill-opacity" in oil_chart_svg(chart(width=1.3))
    assert describe_oil(chart()).startswith("Kinematic viscosity in mm²/s")


@pytest.mark.parametrize(
    ("value", "text"),
    [(1234.0, "1230"), (123.4, "123"), (12.34, "12.3"), (1.234, "1.23"), (0.1234, "0.123"),
     (0.0, "0"), (9.999, "10.0"), (99.96, "100")],
)  # fmt: skip
def test_three_digits_count(value: float, text: str) -> None:
    assert three_digits(value) == text


def test_a_chart_of_nothing_is_refused() -> None:
    with pytest.raises(ValueError, match="two points"):
        OilChart(title="", points=(), table=())
    bad = (ChartPoint(temperature_c=0.0, low_mm2_s=0.1, high_mm2_s=1.0),) * 2
    with pytest.raises(ValueError, match="no place on these axes"):
        OilChart(title="", points=bad, table=())
