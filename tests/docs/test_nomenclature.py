"""Every name in the code that the nomenclature gives is there."""

from __future__ import annotations

import importlib
import re
from pathlib import Path

import pytest

from oilwedge.fits.limits import Condition
from oilwedge.fits.verdict import State

PAGE = (Path(__file__).parents[2] / "docs" / "nomenclature.md").read_text(encoding="utf-8")
ROWS = [
    [cell.strip() for cell in line.strip("|").split("|")]
    for line in PAGE.splitlines()
    if line.startswith("|") and not line.startswith("|---")
]
NAMES = sorted({name for row in ROWS for name in re.findall(r"`([a-z_0-9]+\.[\w.]+)`", row[-1])})


def find(name: str) -> object:
    """What a dotted name under the package stands for."""
    parts = name.split(".")
    for length in range(len(parts), 0, -1):
        try:
            found: object = importlib.import_module(".".join(["oilwedge", *parts[:length]]))
        except ModuleNotFoundError:
            continue
        for part in parts[length:]:
            found = getattr(found, part)
        return found
    raise LookupError(name)


def test_there_are_names() -> None:
    assert len(NAMES) > 60


@pytest.mark.parametrize("name", NAMES)
def test_a_name_is_there(name: str) -> None:
    assert find(name) is not None


def test_every_state_of_a_fit_is_explained() -> None:
    words = {row[0] for row in ROWS}
    assert {state.value for state in State} <= words


def test_every_condition_is_named() -> None:
    assert all(condition.value in PAGE for condition in Condition)
