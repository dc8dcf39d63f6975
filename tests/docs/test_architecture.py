"""The page on architecture names the rooms that there are, and files that exist."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from xml.etree import ElementTree

import pytest

ROOT = Path(__file__).parents[2]
DOCS = ROOT / "docs"
PACKAGE = ROOT / "src" / "oilwedge"
PAGE = (DOCS / "ARCHITECTURE.md").read_text(encoding="utf-8")


def rooms_in_the_contract() -> set[str]:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    contracts = project["tool"]["importlinter"]["contracts"]
    (layers,) = [one["layers"] for one in contracts if one["id"] == "rooms"]
    return set(re.findall(r"\w+", " ".join(layers)))


def test_the_table_of_rooms_is_that_of_the_import_contract() -> None:
    section = PAGE.partition("## Rooms")[2].partition("\n## ")[0]
    first_cells = [line.split("|")[1] for line in section.splitlines() if line.startswith("| `")]
    listed = set(re.findall(r"`(\w+)`", " ".join(first_cells)))
    assert listed - {"demo"} == rooms_in_the_contract()


def test_every_room_of_the_package_is_listed() -> None:
    names = {path.stem for path in PACKAGE.iterdir() if not path.name.startswith(("_", "py."))}
    assert {name for name in names if f"`{name}`" not in PAGE} == set()


@pytest.mark.parametrize("name", sorted(set(re.findall(r"`([a-z_]+/[\w./]+)`", PAGE))))
def test_a_module_that_is_named_is_there(name: str) -> None:
    places = [ROOT / name, PACKAGE / name, PACKAGE / f"{name}.py"]
    assert any(place.exists() for place in places)


def test_the_drawing_is_an_image_with_words_for_it() -> None:
    tree = ElementTree.parse(DOCS / "architecture.svg")
    space = "{http://www.w3.org/2000/svg}"
    assert tree.getroot().get("role") == "img"
    assert tree.findtext(f"{space}title")
    assert tree.findtext(f"{space}desc")


@pytest.mark.parametrize("page", sorted(DOCS.rglob("*.md")), ids=lambda path: path.name)
def test_links_between_pages_lead_somewhere(page: Path) -> None:
    for target in re.findall(r"\]\(([^)#:]+)(?:#[^)]*)?\)", page.read_text(encoding="utf-8")):
        assert (page.parent / target).exists(), target
