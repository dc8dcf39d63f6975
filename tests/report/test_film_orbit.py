from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise
from xml.etree import ElementTree

import pytest

from oilwedge.report.film_ink import BearingWords, Firing
from oilwedge.report.film_orbit import (
    CENTRE,
    CIRCLE_PX,
    SHELL_PX,
    JournalPath,
    OrbitDrawing,
    describe_orbit,
    orbit_figure,
    orbit_svg,
)

from .drawing_parts import centre, check_drawing, only, parts, points, words

ANGLES = tuple(float(deg) for deg in range(0, 721, 2))


def path(*, clearance_um: float = 25.0, largest: float = 0.9) -> JournalPath:
    """A loop that comes nearest to the shell at crank angle 450°, 90° round the bearing."""
    turns = [math.radians(deg / 2.0) for deg in ANGLES]
    sizes = [largest - 0.2 * (1.0 - math.cos(turn - math.radians(225.0))) for turn in turns]
    places = [turn - math.radians(135.0) for turn in turns]
    return JournalPath(
        angles_deg=ANGLES,
        x=tuple(e * math.cos(place) for e, place in zip(sizes, places, strict=True)),
        y=tuple(e * math.sin(place) for e, place in zip(sizes, places, strict=True)),
        radial_clearance_um=clearance_um,
    )


def drawing() -> OrbitDrawing:
    return OrbitDrawing(
        title="Big end <2> & more",
        path=path(),
        compared=path(clearance_um=20.0, largest=0.8),
        chosen_film_um=3.0,
        firings=(Firing(angle_deg=0.0, cylinder="2"),),
        groove_deg=(-90.0, 90.0),
        hole_deg=40.0,
    )


def test_the_words_stay_in_the_frame_and_are_no_markup() -> None:
    svg = orbit_svg(drawing())
    check_drawing(svg)
    assert words(svg)[0] == "Big end <2> & more"


def test_the_least_film_is_marked_where_it_is() -> None:
    x, y = centre(orbit_svg(drawing()), "least")
    assert (x - CENTRE[0], CENTRE[1] - y) == pytest.approx((0.9 * CIRCLE_PX, 0.0), abs=0.02)
    tick = points(only(orbit_svg(drawing()), "least-place"))
    assert all(place[0] > CENTRE[0] + CIRCLE_PX - 0.01 for place in tick)
    assert all(place[1] == pytest.approx(CENTRE[1], abs=0.02) for place in tick)


def test_both_paths_have_one_scale() -> None:
    svg = orbit_svg(drawing())
    radius = {kind: float(only(svg, kind).get("r", "")) for kind in ("clearance",)}
    compared = float(only(svg, "compared-clearance").get("r", ""))
    assert radius["clearance"] == pytest.approx(CIRCLE_PX)
    assert compared / radius["clearance"] == pytest.approx(20.0 / 25.0, rel=1e-3)
    ends = points(only(svg, "scale-bar"))
    assert ends[1][0] - ends[0][0] == pytest.approx(CIRCLE_PX / 25.0 * 5.0, abs=0.02)
    assert "5 µm" in words(svg)


def test_the_thin_stretch_is_thick_and_only_it() -> None:
    svg = orbit_svg(drawing())
    inside = [math.hypot(x - CENTRE[0], y - CENTRE[1]) for x, y in points(only(svg, "thin"))]
    assert min(inside) >= (25.0 - 3.0) / 25.0 * CIRCLE_PX - 0.02
    plain = replace(drawing(), chosen_film_um=None)
    assert not parts(orbit_svg(plain), "thin")


def test_a_journal_that_turns_is_drawn_clockwise() -> None:
    places = points(only(orbit_svg(drawing()), "path"))
    area = sum(
        (a[0] - CENTRE[0]) * (b[1] - CENTRE[1]) - (b[0] - CENTRE[0]) * (a[1] - CENTRE[1])
        for a, b in pairwise(places)
    )
    assert area > 0.0  # y runs down the page


def test_it_says_the_least_film_its_angle_and_who_fires() -> None:
    said = describe_orbit(drawing())
    assert "Least film 2.5 µm at crank angle 450°, 90° round the bearing" in said
    assert "cylinder 2 at 0°" in said
    assert "Mid-limit: 4.0 µm" in said


def test_a_terminal_sees_the_least_film_at_the_right_edge() -> None:
    text = orbit_figure(drawing()).ascii_text
    row = text.split("\n")[12]
    assert row.rindex("o") > 0.9 * 47
    assert "o least film 2.5 µm   * fires" in text


def test_the_sides_of_the_bearing_are_named() -> None:
    svg = orbit_svg(replace(drawing(), words=BearingWords(top="block", bottom="cap")))
    assert {"block 0°", "90°", "cap 180°", "270°"} <= set(words(svg))


def test_groove_and_hole_are_drawn_if_there_are_any() -> None:
    svg = orbit_svg(drawing())
    assert len(parts(svg, "groove")) == len(parts(svg, "hole")) == 1
    svg = orbit_svg(replace(drawing(), groove_deg=None, hole_deg=None))
    assert not parts(svg, "groove")
    assert not parts(svg, "hole")


def test_groove_and_hole_lie_at_their_angles_clockwise_from_the_top() -> None:
    svg = orbit_svg(replace(drawing(), groove_deg=(30.0, 120.0), hole_deg=120.0))
    for kind, angles in (("groove", (30.0, 120.0)), ("hole", (120.0, 120.0))):
        found = points(only(svg, kind))
        for place, angle in zip((found[0], found[-1]), angles, strict=True):
            round_it = math.degrees(math.atan2(place[0] - CENTRE[0], CENTRE[1] - place[1]))
            assert round_it == pytest.approx(angle, abs=0.02), kind


@pytest.mark.parametrize("split_deg", [90.0, 60.0])
def test_the_shells_meet_at_both_ends_of_the_split(split_deg: float) -> None:
    svg = orbit_svg(replace(drawing(), split_deg=split_deg))
    found = []
    for one in ElementTree.fromstring(svg).iter():
        ends = points(one)
        if len(ends) != 2:
            continue
        outer = ends[1][0] - CENTRE[0], CENTRE[1] - ends[1][1]
        if math.hypot(*outer) == pytest.approx(CIRCLE_PX + SHELL_PX + 5.0, abs=0.02):
            found.append(math.degrees(math.atan2(*outer)) % 360.0)
    assert sorted(found) == pytest.approx([split_deg, split_deg + 180.0], abs=0.02)


def test_the_heads_on_the_path_point_the_way_it_runs() -> None:
    """This path runs clockwise all the way."""
    heads = []
    for one in ElementTree.fromstring(orbit_svg(drawing())).iter():
        ends = points(one)
        inside = all(math.dist(place, CENTRE) < CIRCLE_PX for place in ends)
        if len(ends) == 3 and inside and one.get("fill") == "currentColor":
            heads.append(ends)
    assert len(heads) == 3
    for tip, left, right in heads:
        back = (left[0] + right[0]) / 2.0, (left[1] + right[1]) / 2.0
        arm = tip[0] - CENTRE[0], tip[1] - CENTRE[1]
        assert arm[0] * (tip[1] - back[1]) - arm[1] * (tip[0] - back[0]) > 0.0


def test_a_wider_circle_beside_it_sets_the_scale() -> None:
    svg = orbit_svg(replace(drawing(), compared=path(clearance_um=30.0, largest=0.8)))
    assert float(only(svg, "compared-clearance").get("r", "")) == pytest.approx(CIRCLE_PX)
    ours = float(only(svg, "clearance").get("r", ""))
    assert ours == pytest.approx(CIRCLE_PX * 25.0 / 30.0, abs=0.01)
    x, _ = centre(svg, "least")
    assert x - CENTRE[0] == pytest.approx(0.9 * ours, abs=0.02)


def test_what_is_no_path_is_refused() -> None:
    with pytest.raises(ValueError, match="two points"):
        JournalPath(angles_deg=(), x=(), y=(), radial_clearance_um=25.0)
    with pytest.raises(ValueError, match="two points"):
        JournalPath(angles_deg=(0.0,), x=(0.1,), y=(0.1,), radial_clearance_um=25.0)
    with pytest.raises(ValueError, match="unlike length"):
        JournalPath(angles_deg=(0.0, 1.0), x=(0.1, 0.2), y=(0.1,) * 3, radial_clearance_um=25.0)
    with pytest.raises(ValueError, match="inside its clearance"):
        JournalPath(angles_deg=(0.0, 1.0), x=(0.1, 1.0), y=(0.1, 0.2), radial_clearance_um=25.0)
    with pytest.raises(ValueError, match="above 0"):
        JournalPath(angles_deg=(0.0, 1.0), x=(0.1, 0.2), y=(0.1, 0.2), radial_clearance_um=0.0)
    with pytest.raises(ValueError, match="rise"):
        JournalPath(angles_deg=(1.0, 1.0), x=(0.1, 0.2), y=(0.1, 0.2), radial_clearance_um=9.0)


def test_a_much_wider_clearance_is_said_and_not_drawn_beside() -> None:
    wide = replace(drawing(), compared=path(clearance_um=50.0, largest=0.8))
    svg = orbit_svg(wide)
    check_drawing(svg)
    assert not parts(svg, "compared")
    assert not parts(svg, "compared-clearance")
    assert float(only(svg, "clearance").get("r", "")) == pytest.approx(CIRCLE_PX)
    assert "too wide to be drawn beside it" in orbit_figure(wide).caption
