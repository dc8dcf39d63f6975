"""``oilwedge judge`` as a person runs it: whole processes, exit codes, strict JSON."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

ENGINE = """
format = 1
[engine]
name = "Judged two (invented)"
[layout]
kind = "in-line"
cylinders = 2
firing_order = [1, 2]
throw_angles = ["0 deg", "180 deg"]
main_bearings = 3
caps = "separate"
[features.rod_journal]
nominal = "47.980 mm"
[features.rod_shell_bore]
nominal = "48.010 mm"
[fits.rod_bearing]
build = ["0.021 mm", "0.049 mm"]
service = "0.060 mm"
"""
HEADER = "id,feature,number,place,direction,value [mm]\n"


def rows(clearance_um: float, number: int = 1) -> str:
    bore = 47.972 + clearance_um / 1000
    return (
        f"j{number},rod journal,{number},front,along,47.972\n"
        f"k{number},rod journal,{number},rear,across,47.972\n"
        f"b{number},rod bearing bore,{number},front,square,{bore:.3f}\n"
        f"c{number},rod bearing bore,{number},rear,square,{bore:.3f}\n"
    )


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "engine.toml").write_text(ENGINE, encoding="utf-8")
    return tmp_path


def judge(folder: Path, table: str, *options: str) -> subprocess.CompletedProcess[str]:
    (folder / "readings.csv").write_text(table, encoding="utf-8")
    return subprocess.run(
        [sys.executable, "-m", "oilwedge", "judge", "engine.toml", "readings.csv", *options],
        cwd=folder,
        capture_output=True,
        encoding="utf-8",
        check=False,
        env={"PYTHONUTF8": "1", "PATH": ""},
    )


def test_all_right_ends_with_0(folder: Path) -> None:
    found = judge(folder, HEADER + rows(35))
    assert (found.returncode, found.stderr) == (0, "")
    assert "right" in found.stdout


def test_complete_asks_for_every_fit(folder: Path) -> None:
    assert judge(folder, HEADER + rows(35), "--complete").returncode == 1
    assert judge(folder, HEADER + rows(35) + rows(36, 2), "--complete").returncode == 0


@pytest.mark.parametrize("clearance_um", [10, 55, 90])
def test_a_fit_that_is_not_right_ends_with_1(folder: Path, clearance_um: float) -> None:
    assert judge(folder, HEADER + rows(clearance_um)).returncode == 1


def test_a_fit_that_cannot_be_told_ends_with_1(folder: Path) -> None:
    found = judge(folder, HEADER + rows(43), "--rule", "safety-margin")
    assert found.returncode == 1
    assert "cannot tell" in found.stdout
    assert "What would decide" in " ".join(found.stdout.split())


@pytest.mark.parametrize(
    ("table", "words"),
    [
        ("", "the file is empty"),
        (HEADER, "no readings under them"),
        (HEADER + "x,rod journal,1,front,along,much\n", "row 2"),
        (HEADER + "x,rod yournal,1,front,along,47.97\n", "did you mean"),
        (HEADER + "x,rod journal,1,front,along,1.8887\n", "did you mean inches"),
        (HEADER + "x,rod journal,9,front,along,47.97\n", "numbers 1 to 2"),
    ],
)
def test_bad_input_ends_with_2_and_one_sentence(folder: Path, table: str, words: str) -> None:
    found = judge(folder, table)
    assert found.returncode == 2
    assert found.stdout == ""
    assert words in found.stderr
    assert "Traceback" not in found.stderr


def test_a_missing_file_ends_with_2(folder: Path) -> None:
    found = judge(folder, HEADER + rows(35), "--shop", "nowhere.toml")
    assert found.returncode == 2
    assert "nowhere.toml" in found.stderr


def test_json_is_strict_and_keeps_the_exit_code(folder: Path) -> None:
    found = judge(folder, HEADER + rows(55), "--json")

    def refuse(word: str) -> Any:
        raise AssertionError(word)

    document = json.loads(found.stdout, parse_constant=refuse)
    assert found.returncode == 1
    assert document["all_right"] is False
    assert document["fits"][0]["state"] == "loose"


def test_the_budget_of_one_fit_can_be_asked_for(folder: Path) -> None:
    found = judge(folder, HEADER + rows(35), "--budget", "rod bearing 1")
    assert found.returncode == 0
    assert "permissible error" in found.stdout
    wrong = judge(folder, HEADER + rows(35), "--budget", "rod bering 1")
    assert wrong.returncode == 2
    assert "did you mean 'rod bearing 1'" in wrong.stderr


def test_lengths_are_shown_in_the_unit_asked_for(folder: Path) -> None:
    found = judge(folder, HEADER + rows(35), "--unit", "in", "--k")
    assert "0.0014 ±" in found.stdout
    assert "(k = 1.96)" in found.stdout.replace("\N{NO-BREAK SPACE}", " ")


def test_good_rows_are_judged_on_request_and_bad_ones_written_out(folder: Path) -> None:
    table = HEADER + rows(35) + "x,rod journal,2,front,along,much\n"
    found = judge(folder, table, "--keep-good", "--rest", "rest.csv")
    assert found.returncode == 0
    assert "row 6" in found.stderr
    assert "much" in (folder / "rest.csv").read_text(encoding="utf-8")


def test_a_sheet_is_written_whole_or_not_at_all(folder: Path) -> None:
    found = judge(folder, HEADER + rows(35), "--sheet", "sheet.pdf")
    assert found.returncode == 0
    assert (folder / "sheet.pdf").read_bytes().startswith(b"%PDF")
    missing = judge(folder, HEADER + rows(35), "--sheet", "no/such/folder/sheet.pdf")
    assert missing.returncode == 2
    assert "cannot be written" in missing.stderr


def test_output_that_nobody_reads_on_is_no_fault(folder: Path) -> None:
    (folder / "readings.csv").write_text(HEADER + rows(35), encoding="utf-8")
    command = [sys.executable, "-m", "oilwedge", "judge", "engine.toml", "readings.csv", "--json"]
    process = subprocess.Popen(
        command, cwd=folder, stdout=subprocess.PIPE, stderr=subprocess.PIPE, env={"PATH": ""}
    )
    assert process.stdout is not None
    process.stdout.close()
    assert process.stderr is not None
    error = process.stderr.read().decode()
    process.stderr.close()
    process.wait()
    assert "Traceback" not in error
    assert "fault of oilwedge" not in error


def test_films_need_a_sheet_to_stand_on(folder: Path) -> None:
    answer = judge(folder, HEADER + rows(35.0), "--film")
    assert answer.returncode == 2
    assert answer.stderr.startswith("--film: the oil films go on the build sheet; name it with")


def test_an_engine_without_duty_says_so_on_its_sheet(folder: Path) -> None:
    pypdf = pytest.importorskip("pypdf")
    answer = judge(folder, HEADER + rows(35.0), "--film", "--sheet", "sheet.pdf")
    assert answer.returncode == 0, answer.stderr
    pages = pypdf.PdfReader(folder / "sheet.pdf").pages
    text = " ".join(" ".join(page.extract_text() for page in pages).split())
    assert "The oil film was not computed: the engine file does not say the stroke" in text
