"""docs/formats/film-cycle.md lists every key that the films of an engine have, and no other."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest

import oilwedge
from oilwedge.engine.file import read_engine
from oilwedge.shop.file import read_shop
from oilwedge.usecases.demonstration import DemoEngine, demo_bytes, demonstration
from oilwedge.usecases.film_cycle import film_cycle
from oilwedge.usecases.film_cycle_json import film_cycle_json
from oilwedge.usecases.importing import BadRows, read_table
from oilwedge.usecases.judging import judge

pytestmark = pytest.mark.slow

PAGE = (Path(__file__).parents[2] / "docs" / "formats" / "film-cycle.md").read_text("utf-8")
# What stands in many places has one section; a key that nothing else has tells it.
EVERYWHERE = {"regime": "film", "low_is_bound": "interval", "ends": "transient"}
TOP = "The answer"


def documented() -> dict[str, set[str]]:
    sections = re.split(r"^## ", PAGE, flags=re.MULTILINE)[1:]
    return {
        section.partition("\n")[0]: set(re.findall(r"^\| `(\w+)` \|", section, re.MULTILINE))
        for section in sections
    }


def gather(node: Any, path: str, found: dict[str, set[str]]) -> None:
    """Keys of each object in a JSON value, by the section that describes it."""
    if isinstance(node, list):
        for item in node:
            gather(item, path, found)
    if not isinstance(node, dict):
        return
    special = [section for key, section in EVERYWHERE.items() if key in node]
    name = special[0] if special else path
    found.setdefault(name or TOP, set()).update(node)
    for key, value in node.items():
        gather(value, f"{name}.{key}" if name else key, found)


@pytest.fixture(scope="module")
def present() -> dict[str, set[str]]:
    names = demonstration(DemoEngine.FOUR)
    engine = read_engine(demo_bytes(names.engine_file).decode(), file=names.engine_file)
    shop = read_shop(demo_bytes("shop.toml").decode(), file="shop.toml")
    read = read_table(
        demo_bytes(names.readings_file),
        engine=engine,
        shop=shop,
        name=names.readings_file,
        bad_rows=BadRows.KEEP_GOOD,
    )
    films = film_cycle(
        judgement=judge(engine=engine, shop=shop, entries=read.entries),
        condition="full load",
        draws=100,
        reference="rod 1",
        folder=Path(oilwedge.__file__).parent / "demo",
    )
    found: dict[str, set[str]] = {}
    gather(film_cycle_json(films), "", found)
    return found


def test_sections_are_the_objects_of_the_answer(present: dict[str, set[str]]) -> None:
    assert set(documented()) == set(present)


def test_each_section_lists_the_keys_that_are_there(present: dict[str, set[str]]) -> None:
    assert documented() == present


def test_each_link_in_the_page_leads_to_a_section() -> None:
    anchors = {name.lower().replace(" ", "-").replace(".", "") for name in documented()}
    links = set(re.findall(r"\]\(#([\w-]+)\)", PAGE))
    assert links <= anchors
