"""``oilwedge film window`` from the outside."""

from __future__ import annotations

import json
import subprocess
import sys
import xml.etree.ElementTree as ElementTree
from pathlib import Path

import pytest

import oilwedge

DEMO = Path(oilwedge.__file__).parent / "demo"

pytestmark = pytest.mark.slow


def run(*arguments: object) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "oilwedge", "film", "window", *map(str, arguments)],
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )


def test_engine_with_readings_is_told_as_json_and_drawn(tmp_path: Path) -> None:
    picture = tmp_path / "window.svg"
    done = run(
        DEMO / "v_twin.toml", DEMO / "v_twin.csv", "--film=1um", "--json", f"--picture={picture}"
    )
    assert done.returncode == 0, done.stderr
    told = json.loads(done.stdout)
    assert told["film_um"] == pytest.approx(1.0)
    assert [one["bearing"] for one in told["kinds"][0]["measured"]] == ["big end 1", "big end 2"]
    assert {one["condition"] for one in told["kinds"][0]["conditions"]} >= {
        "hot idle",
        "full load",
        "top speed",
    }
    ElementTree.parse(picture)


def test_film_of_nothing_is_bad_input_in_one_sentence() -> None:
    done = run(DEMO / "v_twin.toml", "--film=0um")
    assert done.returncode == 2
    assert done.stderr.startswith("--film")
    assert len(done.stderr.strip().splitlines()) == 1


def test_engine_without_duty_says_what_is_missing() -> None:
    done = run(Path(__file__).parents[1] / "data" / "bench_four.toml")
    assert done.returncode == 2
    assert "how" not in done.stdout
    assert "[crank_train] stroke" in done.stderr
    assert "Traceback" not in done.stderr
