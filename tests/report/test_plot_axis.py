import pytest

from oilwedge.report.plot_axis import (
    Axis,
    LogAxis,
    axis_from_zero,
    figures_text,
    number_text,
    round_step,
)


def test_a_value_stands_in_proportion() -> None:
    axis = Axis(low=0.0, high=8.0, start_px=100.0, end_px=20.0)
    assert axis.at(2.0) == pytest.approx(80.0)
    assert axis.at(8.0) == pytest.approx(20.0)


def test_ticks_are_round_few_and_on_the_axis() -> None:
    axis = Axis(low=0.02, high=0.12, start_px=0.0, end_px=1.0)
    assert axis.ticks(most=6) == pytest.approx((0.02, 0.04, 0.06, 0.08, 0.10, 0.12))
    assert [text for _, text in axis.labelled(most=6)][-2:] == ["0.10", "0.12"]
    assert len(axis.ticks(most=3)) <= 3


def test_a_negative_tick_has_a_real_minus_sign_and_zero_none() -> None:
    texts = [text for _, text in Axis(low=-2, high=2, start_px=0, end_px=1).labelled(most=5)]
    assert texts == ["−2", "−1", "0", "1", "2"]


def test_an_axis_from_zero_holds_every_value() -> None:
    axis = axis_from_zero((3.0, 17.2), start_px=0.0, end_px=1.0)
    assert (axis.low, axis.high) == (0.0, 20.0)
    assert axis_from_zero((0.0,), start_px=0.0, end_px=1.0).high == 1.0


def test_an_axis_without_length_is_refused() -> None:
    with pytest.raises(ValueError, match="cannot reach"):
        Axis(low=1.0, high=1.0, start_px=0.0, end_px=1.0)
    with pytest.raises(ValueError, match="above 0"):
        round_step(0.0)


@pytest.mark.parametrize(
    ("value", "text"),
    [(0.846, "0.85"), (1.84, "1.8"), (9.96, "10"), (38.4, "38"), (142.4, "142"), (0.0, "0"),
     (-2.31, "−2.3")],
)  # fmt: skip
def test_two_figures_count_and_whole_numbers_stay(value: float, text: str) -> None:
    assert figures_text(value) == text


@pytest.mark.parametrize(("value", "text"), [(1.5, "1.5"), (20.0, "20"), (-3.0, "−3"), (0.0, "0")])
def test_a_number_has_no_needless_digits(value: float, text: str) -> None:
    assert number_text(value) == text


def test_equal_ratios_are_equally_long() -> None:
    axis = LogAxis.around((1.3, 18.0), start_px=100.0, end_px=0.0)
    assert axis.low == pytest.approx(1.0)
    assert axis.high >= 18.0
    assert axis.at(1.0) - axis.at(4.0) == pytest.approx(axis.at(4.0) - axis.at(16.0))
    assert axis.ticks() == pytest.approx((1.0, 2.0, 5.0, 10.0))


def test_thin_films_have_ticks_too() -> None:
    axis = LogAxis.around((0.034, 0.6), start_px=100.0, end_px=0.0)
    assert axis.ticks() == pytest.approx((0.02, 0.05, 0.1, 0.2, 0.5))
    one = LogAxis.around((2.0,), start_px=1.0, end_px=0.0)
    assert one.low == pytest.approx(2.0)
    with pytest.raises(ValueError, match="equal ratios"):
        LogAxis(low=0.0, high=1.0, start_px=0.0, end_px=1.0)
