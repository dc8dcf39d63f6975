"""docs/formats/judgement.md lists every key that a judgement has, and no other."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from oilwedge.engine.file import read_engine
from oilwedge.fits.limits import LimitName
from oilwedge.fits.verdict import Doubt, State
from oilwedge.job.entry import Event, EventKind, WorkKind
from oilwedge.job.questions import QuestionKind
from oilwedge.shop.file import read_shop
from oilwedge.uncertainty.quantity import SourceKind
from oilwedge.usecases.demonstration import DemoEngine, demo_bytes, demonstration
from oilwedge.usecases.importing import BadRows, read_table
from oilwedge.usecases.joint_chance import joint_chance
from oilwedge.usecases.judgement_json import judgement_json
from oilwedge.usecases.judging import judge
from oilwedge.usecases.length_face import LengthFace

PAGE = (Path(__file__).parents[2] / "docs" / "formats" / "judgement.md").read_text(encoding="utf-8")
# What stands in many places has one section; a key that nothing else has tells it.
EVERYWHERE = {"coverage_factor": "quantity", "looks_like_m": "question", "fittings": "remedy"}
OPEN = {"joint_chance.by_kind"}  # its keys are keys of fits
TOP = "The judgement"


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
    if not isinstance(node, dict) or path in OPEN:
        return
    special = [section for key, section in EVERYWHERE.items() if key in node]
    name = special[0] if special else path
    found.setdefault(name or TOP, set()).update(node)
    for key, value in node.items():
        gather(value, f"{name}.{key}" if name else key, found)


def demo_judgement(demo: DemoEngine) -> dict[str, Any]:
    names = demonstration(demo)
    engine = read_engine(demo_bytes(names.engine_file).decode(), file=names.engine_file)
    shop = read_shop(demo_bytes("shop.toml").decode(), file="shop.toml")
    read = read_table(
        demo_bytes(names.readings_file),
        engine=engine,
        shop=shop,
        name=names.readings_file,
        bad_rows=BadRows.KEEP_GOOD,
    )
    ground = Event(
        id="late", kind=EventKind.WORK, subject="main_journals", number=1, work=WorkKind.POLISHED
    )
    judgement = judge(engine=engine, shop=shop, entries=[*read.entries, ground])
    chance = joint_chance(judgement=judgement, generator=np.random.default_rng(1), draws=1000)
    return judgement_json(judgement=judgement, face=LengthFace(unit="mm"), chance=chance)


@pytest.fixture(scope="module")
def present() -> dict[str, set[str]]:
    found: dict[str, set[str]] = {}
    for demo in DemoEngine:
        gather(demo_judgement(demo), "", found)
    return found


def test_the_sections_are_the_objects_of_a_judgement(present: dict[str, set[str]]) -> None:
    assert set(documented()) == set(present)


@pytest.mark.parametrize("section", sorted(documented()))
def test_a_section_lists_the_keys_that_are_there(
    section: str, present: dict[str, set[str]]
) -> None:
    assert documented()[section] == present[section]


@pytest.mark.parametrize("enum", [State, Doubt, LimitName, SourceKind, QuestionKind])
def test_every_word_that_a_key_can_hold_stands_on_the_page(enum: Any) -> None:
    for member in enum:
        assert re.search(rf"\b{member.name.lower()}\b", PAGE), member


def test_every_link_within_the_page_has_its_heading() -> None:
    anchors = {
        re.sub(r"[^\w -]", "", heading).lower().replace(" ", "-") for heading in documented()
    }
    links = set(re.findall(r"\]\(#([^)]*)\)", PAGE))
    assert links <= anchors
