"""``oilwedge oil``: by grade, by data sheet, as JSON and as a chart."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from xml.etree import ElementTree

import pytest

from oilwedge.cli import main as program

SHEET = "40C=68 mm2/s; 100C=11.5 mm2/s; 15C=860 kg/m3; HTHS=3.1 mPa.s"  # invented


def run(monkeypatch: pytest.MonkeyPatch, *arguments: str) -> int:
    monkeypatch.setattr(sys, "argv", ["oilwedge", "oil", *arguments])
    return program.main()


def test_a_grade_at_a_temperature(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(monkeypatch, "5W-30", "--at", "110C") == 0
    said = capsys.readouterr()
    assert "110*" in said.out
    assert "typical band" in said.out
    assert said.err == ""


def test_a_data_sheet_as_json(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(monkeypatch, "--data-sheet", SHEET, "--at", "212F", "--json") == 0
    found = json.loads(capsys.readouterr().out)
    (row,) = found["rows"]
    assert row["temperature_c"] == pytest.approx(100.0)
    assert row["kinematic_mm2_s"]["high"] == pytest.approx(11.5)


def test_a_chart_is_written(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    path = tmp_path / "oil.svg"
    assert run(monkeypatch, "10W-40", "--chart", str(path)) == 0
    assert f"Chart written to {path}" in capsys.readouterr().err
    assert ElementTree.parse(path).getroot().get("role") == "img"


@pytest.mark.parametrize(
    "arguments",
    [
        [],
        ["25W-20"],
        ["10W"],
        ["5W-33"],
        ["5W-30", "--at", "300C"],
        ["5W-30", "--at", "hot"],
        ["--data-sheet", "40C=10 mm2/s; 100C=12 mm2/s"],
        ["--data-sheet", "40C=68 mm2/s; 100C=11.5 mm2/s; 15C=860 kg/m3; HTHS=9 mPa.s"],
        ["--data-sheet", "40C=68 mm2/s; 100C=11.5 mm2/s; 15C=0.86 kg/m3"],
        ["5W-30", "--chart", "/nowhere/at/all.svg"],
    ],
)
def test_bad_input_is_one_sentence(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], arguments: list[str]
) -> None:
    assert run(monkeypatch, *arguments) == 2
    said = capsys.readouterr().err.strip()
    assert said.endswith(".")
    assert "\n" not in said
    assert "fault of oilwedge" not in said
