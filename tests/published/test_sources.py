"""Every published check says where its figures came from."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest

HERE = Path(__file__).parent
FOLDERS = sorted(path for path in HERE.iterdir() if path.is_dir() and path.name != "__pycache__")
STATUSES = {"READ", "RECALLED", "COMPUTED"}


def name_of(path: Path) -> str:
    return path.name


def test_there_are_published_checks() -> None:
    assert FOLDERS


@pytest.mark.parametrize("folder", FOLDERS, ids=name_of)
def test_each_folder_holds_its_source_and_a_check(folder: Path) -> None:
    assert (folder / "source.toml").is_file(), f"{folder.name}: write a source.toml"
    assert list(folder.glob("test_*.py")), f"{folder.name}: a source without a check"


@pytest.mark.parametrize("path", sorted(HERE.glob("*/source.toml")), ids=lambda p: p.parent.name)
def test_each_source_is_complete(path: Path) -> None:
    source = tomllib.loads(path.read_text(encoding="utf-8"))
    for key in ("author", "title", "table_or_page", "status"):
        assert isinstance(source[key], str), f"{key} must be text"
        assert source[key].strip(), f"{key} must not be empty"
    assert isinstance(source["year"], int)
    assert 1850 < source["year"] < 2100
    assert isinstance(source["notes"], str)
    words = re.split(r"\s*[+|,]\s*", source["status"])
    assert set(words) <= STATUSES, f"status is made of {sorted(STATUSES)}, joined by +"
