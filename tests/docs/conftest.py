"""What the tests of the documents share: pages, their blocks and tables, the engine on them."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import pytest

from oilwedge.engine.file import read_engine
from oilwedge.engine.model import Engine
from oilwedge.shop.file import read_shop
from oilwedge.shop.model import Shop

DOCS = Path(__file__).parents[2] / "docs"
Blocks = Callable[[str, str], list[str]]
FirstCells = Callable[[str, str], list[str]]


def page_text(name: str) -> str:
    return (DOCS / name).read_text(encoding="utf-8")


@pytest.fixture
def blocks() -> Blocks:
    """Fenced blocks of a page whose info string is exactly this one."""

    def find(name: str, info: str) -> list[str]:
        pattern = rf"^```{re.escape(info)}\n(.*?)^```$"
        return re.findall(pattern, page_text(name), re.DOTALL | re.MULTILINE)

    return find


@pytest.fixture
def first_cells() -> FirstCells:
    """First cells of the table under a heading of a page, without backticks."""

    def find(name: str, heading: str) -> list[str]:
        _, found, rest = page_text(name).partition(f"\n{heading}\n")
        assert found, f"{name} has no heading {heading}"
        section = re.split(r"^#", rest, maxsplit=1, flags=re.MULTILINE)[0]
        rows = [line for line in section.splitlines() if line.startswith("|")]
        return [row.split("|")[1].strip().strip("`") for row in rows[2:]]

    return find


@pytest.fixture
def page_engine(blocks: Blocks) -> Engine:
    """The engine that the page on the engine file builds up."""
    found = blocks("formats/engine-file.md", "toml")
    return read_engine("\n".join(found), file="engine.toml")


@pytest.fixture
def page_shop(blocks: Blocks) -> Shop:
    """The shop of the page on the shop file."""
    return read_shop(blocks("formats/shop-file.md", "toml")[0], file="shop.toml")
