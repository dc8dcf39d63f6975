import pytest

from oilwedge.report.text_canvas import TextCanvas


def test_a_line_runs_from_corner_to_corner_without_gaps() -> None:
    canvas = TextCanvas(columns=9, rows=5)
    canvas.line([(0.0, 0.0), (1.0, 1.0)], "+")
    lines = canvas.lines()
    assert lines[0].startswith("+")
    assert len(lines[-1]) == 9
    assert all("+" in line for line in lines)


def test_what_lies_outside_is_left_out() -> None:
    canvas = TextCanvas(columns=4, rows=3)
    canvas.put(1.5, 0.5, "x")
    canvas.put(0.5, -1.0, "x")
    assert canvas.lines() == ("", "", "")


def test_a_margin_stands_before_the_rows() -> None:
    canvas = TextCanvas(columns=3, rows=2)
    canvas.put(0.0, 0.0, "o")
    assert canvas.lines(margin=("20", "0")) == ("20 |o", " 0 |")


def test_a_page_without_room_is_refused() -> None:
    with pytest.raises(ValueError, match="two columns"):
        TextCanvas(columns=1, rows=5)
