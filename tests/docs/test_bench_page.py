"""The page about the bench: what it says of typed digits, commands and addresses is so."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest
from django.urls import resolve as resolve_address

from oilwedge.usecases.measuring import resolve, situation_of
from oilwedge.usecases.opening import DEFAULT_SHOP, engine_of_text

PAGE = Path(__file__).parents[2] / "docs" / "tutorial" / "bench.md"
TEXT = PAGE.read_text(encoding="utf-8")
PROGRAM = str(Path(sys.executable).with_name("oilwedge"))
DATA = Path(__file__).parents[1] / "data"


def typed_rows() -> list[tuple[str, str]]:
    """What is typed, and the value that the page says it is taken as."""
    rows = []
    for line in TEXT.splitlines():
        cells = [cell.strip() for cell in line.strip("|").split("|")]
        if len(cells) == 2 and cells[0].startswith("`"):
            value = re.search(r"\d+\.\d+", cells[1])
            for typed in re.findall(r"`([^`]+)`", cells[0]):
                rows.append((typed, value[0] if value else typed))
    return rows


def test_the_page_shows_what_is_typed() -> None:
    assert len(typed_rows()) == 5


@pytest.mark.parametrize(("typed", "value"), typed_rows())
def test_what_is_typed_is_taken_as_the_page_says(typed: str, value: str) -> None:
    text = (DATA / "wren_single.toml").read_text(encoding="utf-8")
    text = text.replace('nominal = "47.98 mm"', 'nominal = "47.980 mm"')
    situation = situation_of(
        engine=engine_of_text(text, file="e"),
        shop=DEFAULT_SHOP,
        entries=(),
        feature="rod_journal",
        number=1,
        place="front",
        direction="across",
        instrument="",
    )
    taken = resolve(typed=typed, unit="mm", situation=situation)
    assert f"{value} mm" in taken.shown


def commands() -> list[str]:
    return sorted(
        {" ".join(found.split()) for found in re.findall(r"`oilwedge ((?:shop\s)?[a-z]+)", TEXT)}
    )


@pytest.mark.parametrize("command", commands())
def test_every_command_of_the_page_is_there(command: str) -> None:
    answer = subprocess.run([PROGRAM, *command.split(), "--help"], capture_output=True, text=True)
    assert answer.returncode == 0, answer.stderr


def test_the_address_of_the_certificate_is_there() -> None:
    assert "/certificate" in TEXT
    assert resolve_address("/certificate").url_name == "certificate"
