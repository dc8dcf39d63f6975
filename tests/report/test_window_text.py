import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from oilwedge.report.encoding import Encoding
from oilwedge.report.window import Bound, WindowMark, WindowSign, window_text

finite = st.floats(allow_nan=False, allow_infinity=False)


def _line(mark: WindowMark, encoding: Encoding = Encoding.ASCII) -> str:
    sign = WindowSign(low=0.0, high=12.0, service_high=18.0, marks=(mark,))
    (line,) = window_text(sign, encoding=encoding)
    return line


# 36 columns: one on each side for arrows, 34 for 33 steps; the drawing is 2.75 windows wide,
# so that a window of 12 takes 12 steps and one step is 1; 0.75 windows (9) lie below.
def test_the_middle_of_the_window_is_drawn_at_the_middle_column() -> None:
    line = _line(WindowMark(value=6.0))
    assert line == "..........[-----o-----].....#......."
    assert line.index("[") == 1 + 9
    assert line.index("]") == 1 + 9 + 12
    assert line.index("#") == 1 + 9 + 18
    assert line.index("o") * 2 == line.index("[") + line.index("]")


def test_a_whisker_reaches_its_uncertainty_to_each_side() -> None:
    line = _line(WindowMark(value=6.0, half_width=3.0))
    assert line == "..........[--|==o==|--].....#......."


@pytest.mark.parametrize(("value", "column"), [(5.4, 15), (5.6, 16), (6.4, 16), (6.6, 17)])
def test_a_dot_stands_in_the_nearest_column(value: float, column: int) -> None:
    assert _line(WindowMark(value=value)).index("o") == column


def test_the_unicode_drawing_has_the_same_columns() -> None:
    line = _line(WindowMark(value=6.0, half_width=3.0), Encoding.UNICODE)
    assert line == "··········[──┣━━●━━┫──]·····▌·······"


def test_limits_stay_in_sight_under_a_whisker() -> None:
    line = _line(WindowMark(value=13.0, half_width=8.0))
    assert line[22] == "]"
    assert line[28] == "#"


@pytest.mark.parametrize(("value", "end"), [(100.0, "o>"), (-100.0, "<o")])
def test_a_value_off_the_drawing_stands_at_the_edge_with_an_arrow(value: float, end: str) -> None:
    line = _line(WindowMark(value=value))
    assert (line[-2:] if value > 0 else line[:2]) == end


def test_one_sided_information_is_an_arrow_without_a_dot() -> None:
    least = _line(WindowMark(value=6.0, bound=Bound.AT_LEAST))
    most = _line(WindowMark(value=6.0, bound=Bound.AT_MOST))
    assert least.endswith("=>")
    assert most.startswith("<=")
    assert least[16] == most[16] == "|"
    assert "o" not in least + most


def test_a_missing_limit_is_open_to_its_side() -> None:
    (line,) = window_text(WindowSign(high=1.0), encoding=Encoding.ASCII)
    assert "[" not in line
    assert line.startswith("-")
    assert line.endswith(".")


def test_each_way_of_measuring_has_a_line_with_its_label() -> None:
    marks = (WindowMark(label="gauges", value=5.0), WindowMark(label="strip", value=7.0))
    lines = window_text(WindowSign(low=0.0, high=12.0, marks=marks))
    assert [line[36:] for line in lines] == [" gauges", " strip"]
    assert lines[0].index("●") < lines[1].index("●")


def test_a_window_without_a_value_is_one_line_of_limits() -> None:
    assert len(window_text(WindowSign(low=0.0, high=1.0))) == 1


def test_a_drawing_too_narrow_to_be_read_is_refused() -> None:
    with pytest.raises(ValueError, match="9 columns"):
        window_text(WindowSign(), width=8)


@given(
    limits=st.lists(st.none() | finite, min_size=4, max_size=4),
    value=finite,
    half_width=st.none() | st.floats(min_value=0, max_value=math.inf),
    bound=st.sampled_from(Bound),
    width=st.integers(9, 60),
    encoding=st.sampled_from(Encoding),
)
def test_any_numbers_give_a_line_of_the_width(
    limits: list[float | None],
    value: float,
    half_width: float | None,
    bound: Bound,
    width: int,
    encoding: Encoding,
) -> None:
    low, high, service_low, service_high = limits
    if low is not None and high is not None and low > high:
        low, high = high, low
    sign = WindowSign(
        low=low,
        high=high,
        service_low=service_low,
        service_high=service_high,
        marks=(WindowMark(value=value, half_width=half_width, bound=bound),),
    )
    (line,) = window_text(sign, width=width, encoding=encoding)
    assert len(line) == width
    if bound is Bound.VALUE:
        assert ("o" if encoding is Encoding.ASCII else "●") in line


@given(st.lists(finite, min_size=2, max_size=5), finite, st.floats(1e-9, 1e9))
def test_dots_stay_in_the_order_of_their_values(
    values: list[float], low: float, width: float
) -> None:
    marks = tuple(WindowMark(value=value) for value in sorted(values))
    lines = window_text(WindowSign(low=low, high=low + width, marks=marks))
    columns = [line.index("●") for line in lines]
    assert columns == sorted(columns)
