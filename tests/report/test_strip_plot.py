import itertools
import re
import xml.etree.ElementTree as ET

import pytest

from oilwedge.report.strip_plot import (
    DOT_PX,
    StripPlot,
    StripPoint,
    StripRow,
    describe_strip,
    round_span,
    strip_plot_svg,
)

NAMESPACE = "{http://www.w3.org/2000/svg}"


def plot(*points: tuple[str, float, bool], span: float = 10.0) -> StripPlot:
    row = StripRow(
        label="front, along",
        points=tuple(StripPoint(name=n, difference=d, differs=b) for n, d, b in points),
        allowed=3.0,
    )
    return StripPlot(title="Rod journal 1", rows=(row,), span=span, unit="µm")


def circles(svg: str) -> list[tuple[float, float]]:
    found = ET.fromstring(svg).iter(f"{NAMESPACE}circle")
    return [(float(one.attrib["cx"]), float(one.attrib["cy"])) for one in found]


@pytest.mark.parametrize(
    ("largest", "span"),
    [
        (0.0, 1.0),
        (1.0, 1.0),
        (1.1, 2.0),
        (3.0, 5.0),
        (5.0, 5.0),
        (7.0, 10.0),
        (18.0, 20.0),
        (0.3, 0.5),
    ],
)
def test_a_scale_ends_at_a_round_number(largest: float, span: float) -> None:
    assert round_span(largest) == pytest.approx(span)


def test_a_scale_needs_a_length() -> None:
    with pytest.raises(ValueError, match="cannot reach"):
        plot(span=0.0)


def test_what_agrees_is_a_disc_and_what_differs_another_shape() -> None:
    svg = strip_plot_svg(plot(("a", -2.0, False), ("b", 0.0, False), ("c", 8.0, True)))
    assert len(circles(svg)) == 2
    assert svg.count('class="ground"') == 1


def test_larger_differences_lie_farther_right_in_proportion() -> None:
    svg = strip_plot_svg(plot(("a", -5.0, False), ("b", 0.0, False), ("c", 10.0, False)))
    (low, _), (middle, _), (high, _) = sorted(circles(svg))
    assert high - middle == pytest.approx(2 * (middle - low), abs=0.02)


def test_what_lies_off_the_scale_is_an_arrow_at_its_edge() -> None:
    svg = strip_plot_svg(plot(("far", 500.0, True), ("left", -500.0, True)))
    assert svg.count('class="differs"') == 2
    assert not circles(svg)
    assert "far: +500 µm" in svg


def test_five_that_read_the_same_are_seen_as_five() -> None:
    dots = circles(strip_plot_svg(plot(*((f"n{n}", 1.0, False) for n in range(5)))))
    heights = sorted(y for _, y in dots)
    assert all(b - a >= 2 * DOT_PX for a, b in itertools.pairwise(heights))


def test_it_says_in_words_what_it_shows() -> None:
    words = describe_strip(plot(("Pia", -2.0, False), ("Pol", 8.0, True)))
    assert words == "front, along: 2 read -2 to +8 µm; Pol beyond the uncertainty."
    nobody = StripPlot(title="x", rows=(StripRow(label="", points=()),), span=1.0, unit="µm")
    assert describe_strip(nobody) == "The set: nothing to compare."


def test_a_strict_policy_lets_it_be_and_names_are_no_markup() -> None:
    svg = strip_plot_svg(plot(("<b>&", 1.0, False)))
    ET.fromstring(svg)
    assert "style" not in svg
    assert "<b>" not in svg
    assert re.search(r'role="img"><title>Rod journal 1</title><desc>', svg)
