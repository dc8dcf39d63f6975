"""The words of work and of sizes, read and said."""

from __future__ import annotations

import pytest

from oilwedge.usecases.importing.part_words import read_step, step_side


@pytest.mark.parametrize(
    ("undersize_factor", "step_m", "side"),
    [
        (-1.0, 0.00025, "under"),  # journal ground under
        (-1.0, -0.00025, "over"),
        (0.5, 0.00025, "under"),  # shell for that journal: a thicker wall
        (1.0, 0.00050, "over"),  # cylinder bored over
        (1.0, -0.00050, "under"),
    ],
)
def test_a_step_said_is_the_step_read(undersize_factor: float, step_m: float, side: str) -> None:
    assert step_side(step_m=step_m, undersize_factor=undersize_factor) == side
    text = f"{abs(step_m) * 1000:.2f} mm {side}"
    assert read_step(text, undersize_factor=undersize_factor) == pytest.approx(step_m)
