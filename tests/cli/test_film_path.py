"""``oilwedge film path`` from the outside."""

from __future__ import annotations

import json
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
def test_route_that_is_not_built_is_not_offered(loads: Path) -> None:
    done = run(f"--loads={loads}", *OPTIONS, "--route=transient")
    assert done.returncode == 2
    assert "Traceback" not in done.stderr
