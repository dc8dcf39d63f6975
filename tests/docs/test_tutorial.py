"""The tutorial works as written: its commands are run, its output is looked for.

What is typed stands behind the prompts on the page. Files are written where the text says so.
"""

from __future__ import annotations

import os
import re
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

PAGE = "tutorial/first-engine.md"
PROGRAM = str(Path(sys.executable).with_name("oilwedge"))
LEFT_OUT = "…"
PROMPT = re.compile(r"^(?P<prompt>.*(?: >|\]:))(?: (?P<typed>.*))?$")


@dataclass(frozen=True)
class Ran:
    """A command of the page, what the page shows, and what happened."""

    command: str
    shown: tuple[str, ...]
    output: str
    code: int


def typed_in(shown: list[str]) -> str:
    answers = [match["typed"] or "" for line in shown if (match := PROMPT.match(line))]
    return "".join(f"{answer}\n" for answer in answers)


def run(block: str, *, folder: Path) -> Ran:
    first, *shown = block.splitlines()
    assert first.startswith("$ oilwedge "), first
    words = [
        quoted or bare for quoted, bare in re.findall(r'"([^"]*)"|(\S+)', first.removeprefix("$ "))
    ]
    answer = subprocess.run(
        [PROGRAM, *words[1:]],
        input=typed_in(shown),
        cwd=folder,
        env={**os.environ, "PYTHONUNBUFFERED": "1", "PYTHONUTF8": "1", "NO_COLOR": "1"},
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        encoding="utf-8",
        check=False,
    )
    return Ran(first, tuple(shown), answer.stdout, answer.returncode)


@pytest.fixture(scope="module")
def ran(tmp_path_factory: pytest.TempPathFactory) -> list[Ran]:
    """Every command of the page, run in order in one folder, with the files that it asks for."""
    page = (Path(__file__).parents[2] / "docs" / PAGE).read_text(encoding="utf-8")
    folder = tmp_path_factory.mktemp("tutorial")
    done: list[Ran] = []
    for info, block in re.findall(r"^```(\w+)\n(.*?)^```$", page, re.DOTALL | re.MULTILINE):
        if info == "console":
            done.append(run(block, folder=folder))
        elif info == "csv":
            (folder / "after.csv").write_text(block, encoding="utf-8")
        elif block.startswith("format"):
            (folder / "shop.toml").write_text(block, encoding="utf-8")
        else:
            engine = folder / "kite.toml"
            kept, found, _ = engine.read_text(encoding="utf-8").partition("# --- sizes")
            assert found, "the skeleton has no line that begins with '# --- sizes'"
            engine.write_text(kept + block, encoding="utf-8")
    assert (folder / "kite.pdf").read_bytes().startswith(b"%PDF")
    return done


def pieces(shown: tuple[str, ...]) -> Iterator[str]:
    """What must be found, in order: lines and prompts, cut where something is left out."""
    for line in shown:
        match = PROMPT.match(line)
        for piece in (match["prompt"] if match else line).split(LEFT_OUT):
            if piece.strip():
                yield " ".join(piece.split())


def test_every_command_shows_what_the_page_shows(ran: list[Ran]) -> None:
    assert len(ran) == 8
    for one in ran:
        output = " ".join(one.output.split())
        at = 0
        for piece in pieces(one.shown):
            found = output.find(piece, at)
            assert found >= 0, f"{one.command}\nhas no {piece!r} here:\n{one.output}"
            at = found + len(piece)


def test_no_more_is_asked_than_the_page_answers(ran: list[Ran]) -> None:
    taken = next(one for one in ran if " take " in one.command)
    asked = taken.output.count(" > ")
    assert asked == sum(PROMPT.match(line) is not None for line in taken.shown)


def test_exit_codes_are_those_that_the_page_says(ran: list[Ran]) -> None:
    judged = [one.code for one in ran if " judge " in one.command]
    assert judged == [1, 1, 0]
    assert all(one.code == 0 for one in ran if " judge " not in one.command)


def test_the_micrometer_is_not_in_the_budget(ran: list[Ran]) -> None:
    budget = next(one.output for one in ran if "--budget" in one.command)
    assert "permissible error of bore gauge" in budget
    assert "permissible error of micrometer" not in budget


def test_cautions_stand_before_the_work() -> None:
    page = (Path(__file__).parents[2] / "docs" / PAGE).read_text(encoding="utf-8")
    first = page.index("manual, local rules and licensed practice come first")
    assert first < page.index("## 1.")
    assert page.index("**Caution.**") < page.index("## 4. Measure")
    assert page.rindex("**Caution.**") > page.index("## 7.")
