"""Fasteners, grades, oil and duty come out in the units of the model."""

import pytest

from oilwedge.engine.file import read_engine
from oilwedge.engine.model import Engine, Reuse

HEAD = """\
format = 1
engine = { name = "trial" }
layout = { kind = "in-line", cylinders = 1, firing_order = [1], throw_angles = ["0 deg"], \
main_bearings = 2 }
"""


def engine_of(addition: str) -> Engine:
    return read_engine(HEAD + addition, file="e.toml")


def test_a_speed_is_in_turns_a_minute() -> None:
    """100 turns a second are 6000 a minute (arithmetic)."""
    assert engine_of('[duty]\nspeed = "6000 rpm"\n').duty.speed_rpm == 6000
    assert engine_of('[duty]\nspeed = "100 rps"\n').duty.speed_rpm == pytest.approx(6000)


def test_a_temperature_is_in_celsius() -> None:
    """212 °F is 100 °C (by definition of the scales)."""
    duty = engine_of('[duty]\noil_temperature = "212 F"\npeak_pressure = "90 bar"\n').duty
    assert duty.oil_temperature_c == pytest.approx(100.0, abs=1e-9)
    assert duty.peak_pressure_pa == pytest.approx(9e6)


def test_stages_are_torques_or_angles_and_keep_their_text() -> None:
    bolts = engine_of(
        '[fasteners.rod_bolts]\nstages = ["15 lbf ft", "90 deg"]\nreuse = "once"\n'
    ).fasteners["rod_bolts"]
    first, second = bolts.stages
    # 1 lbf ft = 1.355 817 948 N m (READ, exact by definition of pound and foot)
    assert first.torque_n_m == pytest.approx(15 * 1.355_817_948, rel=1e-9)
    assert (first.text, second.angle_deg, bolts.reuse) == ("15 lbf ft", 90.0, Reuse.ONCE)


def test_grades_keep_mark_wall_and_text() -> None:
    grades = engine_of(
        '[grades.rod_shells]\nmarks = [{ mark = "A", wall = "1.5 mm" }]\n'
        'undersizes = ["0.010 in"]\noversizes = ["0.25 mm"]\n'
    ).grades["rod_shells"]
    assert (grades.marks[0].mark, grades.marks[0].size_m, grades.marks[0].text) == (
        "A",
        0.0015,
        "1.5 mm",
    )
    assert grades.undersizes_m == pytest.approx((0.000254,))
    assert grades.oversizes_m == pytest.approx((0.00025,))
