"""``oilwedge demo`` as a person runs it."""

from __future__ import annotations

import subprocess
import sys
from importlib import resources
from pathlib import Path

import pytest

MAKE_SHOWN = ("four.toml", "four.csv", "shop.toml")


def run(*arguments: str, folder: Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "oilwedge", *arguments],
        cwd=folder,
        capture_output=True,
        encoding="utf-8",
        check=False,
        env={"PYTHONUTF8": "1", "PATH": ""},
    )


def shipped(name: str) -> bytes:
    return resources.files("oilwedge").joinpath("demo", name).read_bytes()


@pytest.fixture(scope="module")
def first(
    tmp_path_factory: pytest.TempPathFactory,
) -> tuple[Path, subprocess.CompletedProcess[str]]:
    folder = tmp_path_factory.mktemp("demo")
    return folder, run("demo", "--once", folder=folder)


def test_the_demo_works_although_its_fits_are_not_all_right(first) -> None:
    _, result = first
    assert result.returncode == 0, result.stderr
    assert "past service limit" in result.stdout
    assert "Traceback" not in result.stderr


def test_it_lays_out_the_files_and_writes_the_build_sheet(first) -> None:
    folder, result = first
    for name in MAKE_SHOWN:
        assert (folder / "oilwedge-demo" / name).read_bytes() == shipped(name)
    sheet = folder / "oilwedge-demo" / "four_build_sheet.pdf"
    assert sheet.read_bytes().startswith(b"%PDF")
    assert "four_build_sheet.pdf" in result.stderr


def test_it_says_that_all_is_invented_and_what_to_try_next(first) -> None:
    _, result = first
    assert "Never build a real engine by it." in result.stdout
    for command in ("judge", "plan", "take", "sheet blank"):
        assert f"oilwedge {command} four.toml" in result.stdout


def test_no_line_is_wider_than_80_columns(first) -> None:
    folder, result = first
    long = [line for line in result.stdout.splitlines() if len(line) > 80]
    assert [line for line in long if str(folder) not in line] == []


def test_the_refused_row_is_asked_back_and_left_to_be_mended(first) -> None:
    folder, result = first
    assert "did you mean inches (47.97 mm)?" in result.stderr
    mend = folder / "oilwedge-demo" / "four_rows_to_mend.csv"
    assert "1.8887" in mend.read_text(encoding="utf-8")


def test_the_command_that_it_names_shows_the_same_and_ends_with_1(first) -> None:
    folder, result = first
    again = run("judge", "four.toml", "four.csv", "--keep-good", folder=folder / "oilwedge-demo")
    assert again.returncode == 1
    assert again.stdout in result.stdout


def test_the_mended_row_can_be_judged_with_the_rest(first, tmp_path: Path) -> None:
    folder, _ = first
    for path in (folder / "oilwedge-demo").iterdir():
        (tmp_path / path.name).write_bytes(path.read_bytes())
    mend = tmp_path / "four_rows_to_mend.csv"
    text = mend.read_text(encoding="utf-8")
    mend.write_text(text.replace(",1.8887,", ",47.972,"), encoding="utf-8")
    files = ("four.toml", "four.csv", "four_rows_to_mend.csv")
    result = run("judge", *files, "--keep-good", folder=tmp_path)
    assert result.returncode == 1
    assert "four_rows_to_mend.csv" not in result.stderr


def test_what_somebody_changed_stays_and_is_judged(tmp_path: Path) -> None:
    folder = tmp_path / "play"
    folder.mkdir()
    text = shipped("v_twin.csv").decode().replace("Invented readings", "My invented readings")
    (folder / "v_twin.csv").write_text(text, encoding="utf-8", newline="")
    result = run("demo", "v-twin", "--folder", str(folder), folder=tmp_path)
    assert result.returncode == 0, result.stderr
    assert (folder / "v_twin.csv").read_text(encoding="utf-8") == text
    assert "My invented readings" in result.stdout
    assert "v_twin.csv is not as it came with the demo" in result.stderr


@pytest.mark.slow
def test_all_three_engines_are_shown_one_after_another(tmp_path: Path) -> None:
    result = run("demo", "--all", folder=tmp_path)
    assert result.returncode == 0, result.stderr
    for name in ("Heron four", "Plover three diesel", "Snipe V-twin"):
        assert name in result.stdout
    made = {path.name for path in (tmp_path / "oilwedge-demo").iterdir()}
    assert {f"{one}_build_sheet.pdf" for one in ("four", "three_diesel", "v_twin")} <= made


def test_a_folder_that_cannot_be_made_is_bad_input_in_one_sentence(tmp_path: Path) -> None:
    (tmp_path / "taken").write_text("a file", encoding="utf-8")
    result = run("demo", "--folder", "taken", folder=tmp_path)
    assert result.returncode == 2
    assert "name another one with --folder" in result.stderr
    assert (tmp_path / "taken").read_text(encoding="utf-8") == "a file"


def test_an_engine_that_is_not_in_the_demo_is_refused(tmp_path: Path) -> None:
    result = run("demo", "six", folder=tmp_path)
    assert result.returncode == 2
    assert "three-diesel" in result.stderr
    assert list(tmp_path.iterdir()) == []
