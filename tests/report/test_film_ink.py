import re

import pytest

from oilwedge.report.film_ink import (
    Firing,
    LabelPlaces,
    at_round,
    cycle_angle,
    firing_words,
    interpolated,
    shortened,
    turning_arrow,
)


def test_angles_round_the_bearing_count_clockwise_from_up() -> None:
    assert at_round((0.0, 0.0), 10.0, 0.0) == pytest.approx((0.0, -10.0))
    assert at_round((0.0, 0.0), 10.0, 90.0) == pytest.approx((10.0, 0.0))


def test_a_value_between_two_angles_and_one_of_the_next_cycle() -> None:
    angles, values = (0.0, 360.0, 720.0), (0.0, 4.0, 0.0)
    assert interpolated(90.0, angles, values) == pytest.approx(1.0)
    assert interpolated(-90.0, angles, values) == pytest.approx(1.0)
    assert cycle_angle(810.0, angles) == pytest.approx(90.0)


def test_labels_do_not_lie_on_each_other_and_stay_in_the_frame() -> None:
    places = LabelPlaces(left=0.0, top=0.0, right=100.0, bottom=100.0)
    set_labels = [places.beside((50.0, 50.0), f"{n}") for n in range(40)]
    boxes = places.taken
    assert "" in set_labels  # no room for forty
    for n, (left, top, right, bottom) in enumerate(boxes):
        assert left >= 0.0
        assert top >= 0.0
        assert right <= 100.0
        assert bottom <= 100.0
        for other in boxes[:n]:
            assert right <= other[0] or left >= other[2] or bottom <= other[1] or top >= other[3]


def test_no_label_stands_on_a_line() -> None:
    places = LabelPlaces(left=0.0, top=0.0, right=100.0, bottom=100.0)
    places.keep_clear_of([(0.0, 50.0), (100.0, 50.0)])
    places.beside((50.0, 50.0), "180")
    left, top, right, bottom = places.taken[-1]
    assert bottom < 50.0 or top > 50.0
    assert left < right


def test_a_long_name_is_cut_where_the_room_ends() -> None:
    assert shortened("main bearing", room_px=1000.0) == "main bearing"
    assert shortened("main bearing", room_px=40.0).endswith("…")


def test_who_fires_is_said() -> None:
    assert firing_words(()) == ""
    assert firing_words((Firing(angle_deg=180.0, cylinder="3"),)) == "Fires: cylinder 3 at 180°."


def test_the_arrow_of_turning_points_clockwise() -> None:
    middle = (100.0, 100.0)
    svg = turning_arrow(middle, 50.0)
    head = re.findall(r"(-?[\d.]+) (-?[\d.]+)", svg.rsplit("<path", 1)[1])
    tip, left, right = ((float(x) - middle[0], float(y) - middle[1]) for x, y in head)
    back = (left[0] + right[0]) / 2.0, (left[1] + right[1]) / 2.0
    assert tip[0] * (tip[1] - back[1]) - tip[1] * (tip[0] - back[0]) > 0.0  # y runs down the page
