"""The lines of a new file for how the engine runs can be filled in as they stand."""

from __future__ import annotations

import re

import pytest
from tests.engine.running_made_up import read

from oilwedge.engine.skeleton_running import write_running

FIGURES = {
    "stroke": "80", "rod_length": "130", "piston_set": "300", "pin": "80", "rod": "500",
    "rod_big_end": "360", "rod_small_end": "140", "bobweight": "400", "width": "18",
    "groove_width": "3", "bore_relief": "10", "journal_roughness": "0.1", "shell_roughness": "0.4",
    "speed": "3000", "peak_pressure": "60", "inlet_pressure": "1", "oil_pressure": "3",
    "oil_temperature": "95",
}  # fmt: skip


def filled(text: str) -> str:
    """Every commented key with its figure; places and the data sheet stay out."""
    lines = []
    for line in text.splitlines():
        match = re.match(r"# (\w+) = ", line)
        if match and match[1] in FIGURES:
            line = line.removeprefix("# ").replace('"? ', f'"{FIGURES[match[1]]} ')
        elif match and match[1] == "compression_ratio":
            line = "compression_ratio = 9.5"
        elif match and match[1] == "groove":
            line = 'groove = "half"'
        elif match and match[1] == "data_sheet":
            line = re.sub(r"\? (?=mm2/s)", "60 ", line.removeprefix("# "), count=1)
            line = line.replace('"? mm2/s', '"10 mm2/s').replace('"? kg', '"860 kg')
        lines.append(line)
    return "\n".join(lines)


def test_as_written_it_says_nothing_yet() -> None:
    running = read("\n".join(write_running(units="mm"))).running
    assert running.crank_train.stroke_m is None
    assert [one.name for one in running.conditions] == ["hot idle", "full load", "top speed"]
    assert all(one.speed_rpm is None for one in running.conditions)


def test_every_line_can_be_filled_in() -> None:
    engine = read(filled("\n".join(write_running(units="mm"))))
    train = engine.running.crank_train
    assert (train.stroke_m, train.bobweight_kg) == pytest.approx((0.08, 0.4))
    assert engine.running.bearing("main").groove_width_m == pytest.approx(0.003)
    assert engine.oil.data_sheet is not None
    assert engine.oil.data_sheet.viscosity_40c_m2_s == pytest.approx(60e-6)
    assert all(one.oil_temperature_c == 95.0 for one in engine.running.conditions)


def test_a_manual_in_inches_gets_ounces() -> None:
    text = "\n".join(write_running(units="in"))
    assert '# piston_set = "? oz"' in text
    assert '# stroke = "? in"' in text
    assert all(len(line) <= 100 for line in text.splitlines())
