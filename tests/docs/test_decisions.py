"""The pages on decisions speak of code that is there, and the index names all of them."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
FOLDER = ROOT / "docs" / "decisions"
PAGES = sorted(path for path in FOLDER.glob("*.md") if path.name != "README.md")
PACKAGE = ROOT / "src" / "oilwedge"
SOURCE = "\n".join(path.read_text(encoding="utf-8") for path in sorted(PACKAGE.rglob("*.py")))
PARTS = ("**What is done.**", "**Why.**", "**What speaks against it.**", "**Where.**")


def name_of(path: Path) -> str:
    return path.stem


def test_the_index_names_every_page() -> None:
    index = (FOLDER / "README.md").read_text(encoding="utf-8")
    linked = re.findall(r"\[(.*?)\]\((\S+\.md)\)", index)
    assert sorted(target for _, target in linked) == [path.name for path in PAGES]
    for title, target in linked:
        assert (FOLDER / target).read_text(encoding="utf-8").startswith(f"# {title}\n")


@pytest.mark.parametrize("path", PAGES, ids=name_of)
def test_a_page_says_what_why_what_against_it_and_where(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    assert [part for part in PARTS if part in text] == list(PARTS)


@pytest.mark.parametrize("path", PAGES, ids=name_of)
def test_the_files_and_names_of_a_page_are_there(path: Path) -> None:
    where = path.read_text(encoding="utf-8").partition("**Where.**")[2]
    names = re.findall(r"`([\w./]+)`", where)
    assert names
    for name in names:
        if name.endswith((".py", ".toml")):
            assert (PACKAGE / name).is_file(), name
        else:
            assert re.search(rf"\b{re.escape(name.rpartition('.')[2])}\b", SOURCE), name
