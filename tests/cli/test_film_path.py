"""``oilwedge film path`` from the outside."""

from __future__ import annotations

import json
import math
import subprocess
import sys
from pathlib import Path

import pytest

OPTIONS = (
    "--diameter=50mm",
    "--width=25mm",
    "--clearance=50um",
    "--viscosity=10mPa.s",
    "--speed=3000rpm",
)


def run(*arguments: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "oilwedge", "film", "path", *arguments],
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )


@pytest.fixture
def loads(tmp_path: Path) -> Path:
    file = tmp_path / "loads.csv"
    rows = [f"{angle},5000,0" for angle in range(0, 361, 10)]
    file.write_text("\n".join(["angle [deg],fx [N],fy [N]", *rows]), encoding="utf-8")
    return file


@pytest.mark.slow
def test_path_is_printed_as_json(loads: Path) -> None:
    done = run(f"--loads={loads}", *OPTIONS, "--json")
    assert done.returncode == 0, done.stderr
    assert json.loads(done.stdout)["converged"] is True


@pytest.mark.slow
def test_missing_table_is_bad_input_in_one_sentence(tmp_path: Path) -> None:
    done = run(f"--loads={tmp_path / 'none.csv'}", *OPTIONS)
    assert done.returncode == 2
    assert "none.csv cannot be read" in done.stderr
    assert len(done.stderr.strip().splitlines()) == 1


@pytest.mark.slow
def test_whole_film_shows_its_progress_beside_the_answer(loads: Path) -> None:
    done = run(f"--loads={loads}", *OPTIONS, "--route=transient", "--json")
    assert done.returncode == 0, done.stderr
    assert "Cycle 1: its end misses its start by" in done.stderr
    values = json.loads(done.stdout)
    assert abs(values["mobility_difference_percent"]) < 2.0


@pytest.mark.slow
def test_path_that_does_not_close_is_printed_and_not_taken_for_an_answer(tmp_path: Path) -> None:
    file = tmp_path / "loads.csv"
    rows = [
        f"{angle},{20 * math.cos(math.radians(angle / 2)):.6f},"
        f"{20 * math.sin(math.radians(angle / 2)):.6f}"
        for angle in range(0, 720, 5)
    ]
    file.write_text("\n".join(["angle [deg],fx [N],fy [N]", *rows]), encoding="utf-8")
    done = run(f"--loads={file}", *OPTIONS, "--json")
    assert done.returncode == 2
    values = json.loads(done.stdout)
    assert values["converged"] is False
    assert values["fault"] == done.stderr.strip().splitlines()[-1]


@pytest.mark.slow
def test_groove_comes_with_width_and_place(loads: Path) -> None:
    done = run(f"--loads={loads}", *OPTIONS, "--groove=half", "--groove-width=5mm", "--json")
    assert done.returncode == 0, done.stderr
    values = json.loads(done.stdout)
    assert values["groove"] == "half"
    assert values["converged"] is True
    bare = run(f"--loads={loads}", *OPTIONS, "--groove=half")
    assert bare.returncode == 2
    assert "--groove-width" in bare.stderr
    assert len(bare.stderr.strip().splitlines()) == 1
