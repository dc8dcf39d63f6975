"""``oilwedge film bearing`` as a person runs it."""

from __future__ import annotations

import json
import os
import subprocess
import sys

import pytest

USUAL = (
    *("--diameter", "50mm", "--width", "25mm", "--clearance", "50um"),
    *("--viscosity", "10mPa.s", "--speed", "3000rpm", "--load", "5kN"),
)


def film(*options: str, home: str = "") -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "oilwedge", "film", "bearing", *options],
        capture_output=True,
        encoding="utf-8",
        check=False,
        env={"PYTHONUTF8": "1", "PATH": "", "HOME": home or os.environ.get("HOME", "/")},
    )


def test_json_is_strict_and_alone_on_the_standard_output() -> None:
    found = film(*USUAL, "--rupture", "mass-conserving", "--json")
    assert found.returncode == 0
    answer = json.loads(found.stdout)
    assert answer["rupture"] == "mass-conserving"
    assert 0.0 < answer["eccentricity_ratio"] < 1.0
    assert abs(answer["convergence"]["mass_error"]) < 1e-6


def test_a_person_gets_a_page() -> None:
    found = film(*USUAL)
    assert found.returncode == 0
    assert "Minimum film" in found.stdout
    assert "Sommerfeld" in found.stdout


@pytest.mark.parametrize(
    ("option", "value", "words"),
    [
        ("--clearance", "0um", "more than 0"),
        ("--speed", "0rpm", "more than 0"),
        ("--load", "5e9 N", "which no film carries"),
        ("--width", "25", "unit is missing"),
        ("--groove", "spiral", "axial"),
        ("--taper", "120um", "must not touch"),
        ("--out-of-round", "3", "unit is missing"),
    ],
)
def test_bad_input_ends_with_2_and_one_sentence(option: str, value: str, words: str) -> None:
    found = film(*USUAL, option, value)
    assert found.returncode == 2
    assert words in found.stderr
    assert "Traceback" not in found.stderr


def test_the_help_does_not_wait_for_the_compiler() -> None:
    program = (
        "import sys, oilwedge.cli.main as m; m.app_for([]);"
        "sys.exit('numba' in sys.modules or 'scipy' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", program], check=False).returncode == 0
