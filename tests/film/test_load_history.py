"""The load on a journal over whole turns."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from oilwedge.errors import InputError
from oilwedge.film.load_history import LoadHistory, close_history

Array = NDArray[np.float64]


def history(angle_deg: Array, *, drift: float = 0.0, speed: float = 300.0) -> LoadHistory:
    angle = np.radians(angle_deg)
    return close_history(
        angle_rad=angle,
        force_x_n=1000.0 * np.cos(angle) + drift * angle,
        force_y_n=1000.0 * np.sin(angle),
        journal_speed_rad_s=np.full(angle.size, 300.0),
        turning_speed_rad_s=speed,
    )


def test_last_row_may_stand_or_be_left_out() -> None:
    whole = history(np.arange(0.0, 721.0, 10.0))
    short = history(np.arange(0.0, 720.0, 10.0))
    assert whole.turns == short.turns == 2
    np.testing.assert_allclose(whole.angle_rad, short.angle_rad)
    np.testing.assert_allclose(whole.force_x_n, short.force_x_n)


def test_first_angle_may_be_any() -> None:
    assert history(np.arange(-180.0, 180.0, 5.0)).turns == 1


@pytest.mark.parametrize(
    ("angles", "drift", "speed", "words"),
    [
        (np.arange(0.0, 351.0, 10.0)[:-3], 0.0, 300.0, "one or two whole turns"),
        (np.arange(0.0, 1081.0, 10.0), 0.0, 300.0, "one or two whole turns"),
        (np.delete(np.arange(0.0, 361.0, 10.0), [5, 6]), 0.0, 300.0, "gap from 40 deg to 70 deg"),
        (np.arange(0.0, 361.0, 40.0), 0.0, 300.0, "30 deg at the most"),
        (np.array([0.0, 10.0, 10.0, 20.0, 30.0]), 0.0, 300.0, "larger than the one before"),
        (np.arange(0.0, 361.0, 10.0), 50.0, 300.0, "a load that repeats"),
        (np.arange(0.0, 361.0, 10.0), 0.0, 0.0, "above 0"),
        (np.array([0.0, 10.0]), 0.0, 300.0, "at least four"),
    ],
)
def test_bad_history_is_one_sentence(angles: Array, drift: float, speed: float, words: str) -> None:
    with pytest.raises(InputError, match=words) as caught:
        history(angles, drift=drift, speed=speed)
    assert "\n" not in str(caught.value)


def test_no_load_and_no_number_are_refused() -> None:
    angle = np.linspace(0.0, 2.0 * np.pi, 37)
    none = np.zeros(37)
    with pytest.raises(InputError, match="no path of its own"):
        LoadHistory(
            angle_rad=angle,
            force_x_n=none,
            force_y_n=none,
            journal_speed_rad_s=none,
            turning_speed_rad_s=1.0,
        )
    with pytest.raises(InputError, match="no number"):
        LoadHistory(
            angle_rad=angle,
            force_x_n=none + np.nan,
            force_y_n=none,
            journal_speed_rad_s=none,
            turning_speed_rad_s=1.0,
        )
