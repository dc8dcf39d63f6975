"""``oilwedge engine``: the questions, and what a check says."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest


def run(*arguments: str, typed: str = "") -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "oilwedge", "engine", *arguments],
        input=typed,
        capture_output=True,
        text=True,
        check=False,
        timeout=60,
    )


@pytest.mark.parametrize("typed", ["", "Robin\n", "Robin\nV\n8\nseparate\n"])
def test_the_end_of_the_input_ends_the_questions_without_a_file(tmp_path: Path, typed: str) -> None:
    done = run("new", str(tmp_path / "new.toml"), typed=typed)
    assert done.returncode == 2
    assert "the questions ended early" in done.stderr.lower()
    assert not list(tmp_path.iterdir())


def test_a_new_file_of_one_cylinder_is_without_fault(tmp_path: Path) -> None:
    file = tmp_path / "single.toml"
    assert run("new", str(file), typed="Robin\n\n1\n" + "\n" * 8).returncode == 0
    checked = run("check", str(file))
    assert checked.returncode == 0
    assert "1 cylinder, 2 main bearings" in checked.stdout


DEMO = Path(__file__).parents[2] / "src" / "oilwedge" / "demo"


def test_a_check_says_what_films_over_a_cycle_still_need(tmp_path: Path) -> None:
    text = (DEMO / "four.toml").read_text(encoding="utf-8")
    file = tmp_path / "four.toml"
    file.write_text(text.replace('rod_length = "130 mm"\n', ""), encoding="utf-8")
    checked = run("check", str(file))
    assert checked.returncode == 0
    assert "no faults, 0 to look at again" in checked.stdout
    assert "there is no length of the rod between its centres yet: [crank_train] rod_length; " in (
        checked.stdout
    )


def test_a_check_of_a_file_with_everything_says_no_more(tmp_path: Path) -> None:
    assert len(run("check", str(DEMO / "four.toml")).stdout.splitlines()) == 1
    told = run("check", str(DEMO / "single.toml")).stdout
    assert "Not in the file: what films over a cycle need" in told
