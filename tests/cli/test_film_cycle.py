"""``oilwedge film cycle`` from the outside."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

import oilwedge

pytestmark = pytest.mark.slow

DEMO = Path(oilwedge.__file__).parent / "demo"
TWIN = (str(DEMO / "v_twin.toml"), str(DEMO / "v_twin.csv"))
QUICK = ("--at=full load", "--draws=0")


def run(*arguments: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "oilwedge", "film", "cycle", *arguments],
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )


def test_films_are_told_and_progress_goes_its_own_way() -> None:
    done = run(*TWIN, *QUICK)
    assert done.returncode == 0, done.stderr
    assert "At full load, big end 1 runs on" in " ".join(done.stdout.split())
    assert "journal paths of 4 bearings" in done.stderr
    assert "..." not in done.stdout


def test_films_are_printed_as_json() -> None:
    done = run(*TWIN, *QUICK, "--oil=10W-40", "--json")
    assert done.returncode == 0, done.stderr
    (condition,) = json.loads(done.stdout)["conditions"]
    assert condition["oil"] == "10W-40"
    assert condition["bearings"][0]["film"]["convergence"]["converged"] is True


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (("--at=half load",), "did you mean 'full load'"),
        (("--route=transient",), '--route transient --bearing "rod 2"'),
        (("--bearing=rod 1",), "--route transient --bearing"),
        (("--film=0um",), "--film"),
        (("--draws=7",), "--draws"),
        (("--oil=treacle",), "a grade is written such as 5W-30"),
    ],
)
def test_bad_input_is_one_sentence(options: tuple[str, ...], words: str) -> None:
    done = run(*TWIN, *options)
    assert done.returncode == 2
    assert done.stdout == ""
    assert words in done.stderr
    assert len(done.stderr.strip().splitlines()) == 1
    assert "Traceback" not in done.stderr


def test_engine_without_a_duty_lists_what_is_missing(tmp_path: Path) -> None:
    table = tmp_path / "readings.csv"
    table.write_text("feature,number,value [mm]\nrod journal,1,48.0\n", encoding="utf-8")
    done = run(str(Path(__file__).parents[1] / "data" / "bench_four.toml"), str(table))
    assert done.returncode == 2
    assert done.stdout == ""
    assert "the file does not say" in done.stderr


def test_no_answer_at_all_is_no_success(tmp_path: Path) -> None:
    table = tmp_path / "readings.csv"
    head = Path(TWIN[1]).read_text(encoding="utf-8").splitlines()[0]
    table.write_text(f"{head}\n", encoding="utf-8")
    done = run(TWIN[0], str(table), *QUICK)
    assert done.returncode in (1, 2)
    assert "Traceback" not in done.stderr


def test_films_are_set_as_pages(tmp_path: Path) -> None:
    sheet = tmp_path / "films.pdf"
    done = run(*TWIN, *QUICK, f"--sheet={sheet}")
    assert done.returncode == 0, done.stderr
    assert sheet.read_bytes().startswith(b"%PDF")
