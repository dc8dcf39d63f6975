import math
from itertools import pairwise

import pytest

from oilwedge.report.contour import level_lines

AXIS = tuple(n / 10.0 for n in range(-20, 21))


def hill(x: float, y: float) -> float:
    return 4.0 - x * x - y * y


FIELD = tuple(tuple(hill(x, y) for y in AXIS) for x in AXIS)


def test_a_hill_has_one_closed_line_at_its_true_distance() -> None:
    (line,) = level_lines(AXIS, AXIS, FIELD, level=3.0)
    assert line[0] == line[-1]
    assert [math.hypot(*point) for point in line] == pytest.approx([1.0] * len(line), abs=4e-3)


def test_the_field_is_higher_on_the_right_of_a_line() -> None:
    (line,) = level_lines(AXIS, AXIS, FIELD, level=3.0)
    area = sum(a[0] * b[1] - b[0] * a[1] for a, b in pairwise(line)) / 2.0
    assert area == pytest.approx(-math.pi, rel=5e-3)  # clockwise round the top


def test_a_plane_is_crossed_once_from_edge_to_edge() -> None:
    field = tuple(tuple(x for _ in AXIS) for x in AXIS)
    (line,) = level_lines(AXIS, AXIS, field, level=0.05)
    assert {round(x, 12) for x, _ in line} == {0.05}
    assert sorted({y for _, y in line}) == pytest.approx(AXIS)


@pytest.mark.parametrize(("middle", "count"), [(0.4, 2), (0.6, 2)])
def test_a_saddle_gives_two_lines_that_do_not_cross(middle: float, count: int) -> None:
    high = (1.0, 4.0 * middle - 1.0)
    field = ((high[0], 0.0), (0.0, high[1]))
    lines = level_lines((0.0, 1.0), (0.0, 1.0), field, level=0.5)
    assert len(lines) == count
    joined_low = middle < 0.5
    near_high = all(
        min(math.dist(point, corner) for corner in ((0.0, 0.0), (1.0, 1.0))) <= 0.5
        for line in lines
        for point in line
    )
    assert near_high is joined_low


def test_nothing_is_drawn_where_the_level_is_not_met() -> None:
    assert level_lines(AXIS, AXIS, FIELD, level=9.0) == ()


def test_a_grid_or_field_that_does_not_fit_is_refused() -> None:
    with pytest.raises(ValueError, match="two by two"):
        level_lines((0.0,), AXIS, FIELD, level=1.0)
    with pytest.raises(ValueError, match="one value"):
        level_lines(AXIS, AXIS, FIELD[:-1], level=1.0)
