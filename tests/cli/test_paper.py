"""``--paper``: A4 and letter, by those names, wherever a PDF is written."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from oilwedge.usecases.demonstration import demo_bytes

pdfium = pytest.importorskip("pypdfium2")

# ANSI/ASME Y14.1 size A (8.5 in by 11 in) and ISO 216 A4 (RECALLED), in points of 1/72 in.
LETTER_PT, A4_PT = (612, 792), (595, 842)
WRITES = {
    "judge": ["judge", "v_twin.toml", "v_twin.csv", "--sheet", "out.pdf"],
    "plan": ["plan", "v_twin.toml", "--pdf", "out.pdf"],
    "sheet": ["sheet", "blank", "v_twin.toml", "--output", "out.pdf"],
}


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    for name in ("v_twin.toml", "v_twin.csv", "shop.toml"):
        (tmp_path / name).write_bytes(demo_bytes(name))
    return tmp_path


def run(folder: Path, *words: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "oilwedge", *words],
        cwd=folder,
        capture_output=True,
        encoding="utf-8",
        check=False,
        env={"PYTHONUTF8": "1", "PATH": ""},
    )


@pytest.mark.parametrize("command", WRITES)
@pytest.mark.parametrize(("choice", "size"), [("letter", LETTER_PT), ("a4", A4_PT)])
def test_every_pdf_comes_on_the_paper_that_was_asked_for(
    folder: Path, command: str, choice: str, size: tuple[int, int]
) -> None:
    answer = run(folder, *WRITES[command], "--paper", choice)
    assert answer.returncode in (0, 1), answer.stderr
    with pdfium.PdfDocument(folder / "out.pdf") as document:
        assert tuple(round(length) for length in document[0].get_size()) == size


@pytest.mark.parametrize("command", [["judge"], ["plan"], ["sheet", "blank"]])
def test_help_names_the_paper_as_a_person_says_it(folder: Path, command: list[str]) -> None:
    told = run(folder, *command, "--help").stdout
    assert "letter" in told
    assert "us-letter" not in told
