"""A slider-crank of a printed exercise, worked out apart from the code."""

from __future__ import annotations

import math
import tomllib
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from oilwedge.film.kinematics import SliderCrank, motion
from oilwedge.film.rod_load import RodMasses

pytestmark = pytest.mark.published
VALUES = tomllib.loads(Path(__file__).with_name("source.toml").read_text("utf-8"))
R, L = VALUES["crank"]["throw_mm"] * 1e-3, VALUES["crank"]["rod_mm"] * 1e-3
SPEED = VALUES["crank"]["speed_rpm"] * math.pi / 30
CRANK = SliderCrank(throw_m=R, rod_length_m=L)


@pytest.mark.parametrize("row", VALUES["at"], ids=lambda row: f"{row['angle_deg']} deg")
def test_travel_velocity_and_acceleration(row: dict[str, Any]) -> None:
    angle = math.radians(row["angle_deg"])
    found = motion(crank=CRANK, angle_rad=angle, speed_rad_s=SPEED)
    assert float(found.piston_travel_m) * 1e3 == pytest.approx(row["travel_mm"], abs=5e-4)
    assert float(found.piston_velocity_m_s) == pytest.approx(row["velocity"], abs=5e-4)
    assert float(found.piston_acceleration_m_s2) == pytest.approx(row["acceleration"], abs=5e-3)
    two_velocity = R * SPEED * (math.sin(angle) + R / L / 2 * math.sin(2 * angle))
    two_acceleration = R * SPEED**2 * (math.cos(angle) + R / L * math.cos(2 * angle))
    assert two_velocity == pytest.approx(row["two_term_velocity"], abs=5e-4)
    assert two_acceleration == pytest.approx(row["two_term_acceleration"], abs=5e-3)


def test_the_fastest_moment() -> None:
    angles = np.radians(np.arange(0.0, 180.0, 0.01))
    found = motion(crank=CRANK, angle_rad=angles, speed_rad_s=SPEED)
    fastest = int(np.argmax(found.piston_velocity_m_s))
    printed = VALUES["fastest"]
    assert found.piston_velocity_m_s[fastest] == pytest.approx(printed["velocity"], abs=5e-4)
    assert np.degrees(angles[fastest]) == pytest.approx(printed["angle_deg"], abs=0.02)


def test_the_fastest_moment_of_a_second_crank() -> None:
    row = VALUES["second_crank"]
    angles = np.radians(np.arange(0.0, 180.0, 0.01))
    found = motion(
        crank=SliderCrank(throw_m=row["throw_m"], rod_length_m=row["rod_m"]),
        angle_rad=angles,
        speed_rad_s=row["speed_rpm"] * math.pi / 30,
    )
    fastest = int(np.argmax(found.piston_velocity_m_s))
    assert found.piston_velocity_m_s[fastest] == pytest.approx(row["fastest"], abs=5e-3)
    assert np.degrees(angles[fastest]) == pytest.approx(row["angle_deg"], abs=0.02)


def test_the_split_of_a_rods_mass_and_what_inertia_is_left() -> None:
    row = VALUES["rod_split"]
    big = row["mass_kg"] * (row["length_m"] - row["from_big_end_m"]) / row["length_m"]
    masses = RodMasses(
        piston_set_kg=0.4,
        pin_kg=0.1,
        rod_kg=row["mass_kg"],
        rod_big_end_kg=big,
        rod_small_end_kg=row["mass_kg"] - big,
        rod_inertia_kg_m2=row["inertia_kg_m2"],
    )
    assert masses.big_end_kg == pytest.approx(row["big_end_kg"], abs=5e-7)
    assert masses.reciprocating_kg - 0.5 == pytest.approx(row["small_end_kg"], abs=5e-7)
    residual = masses.residual_inertia_kg_m2(rod_length_m=row["length_m"])
    assert residual == pytest.approx(row["residual_kg_m2"], abs=5e-6)
