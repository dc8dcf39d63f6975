"""docs/formats/job-summary.md lists every key that a summary has, and no other."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest

from oilwedge.engine.model import Engine
from oilwedge.shop.model import Shop
from oilwedge.usecases.job_summary import summary
from oilwedge.usecases.judging import judge
from oilwedge.usecases.length_face import LengthFace

PAGE = Path(__file__).parents[2] / "docs" / "formats" / "job-summary.md"


def listed() -> dict[str, set[str]]:
    sections = re.split(r"^## ", PAGE.read_text(encoding="utf-8"), flags=re.MULTILINE)[1:]
    return {
        section.partition("\n")[0]: set(re.findall(r"^\| `(\w+)` \|", section, re.MULTILINE))
        for section in sections
    }


@pytest.fixture(scope="module")
def found(bench_engine: Engine, bench_shop: Shop) -> dict[str, Any]:
    judgement = judge(engine=bench_engine, shop=bench_shop, entries=())
    return summary(judgement, LengthFace(unit="mm"))


def test_the_top_lists_every_key(found: dict[str, Any]) -> None:
    assert listed()["The summary"] == set(found)


@pytest.mark.parametrize("section", ["fits", "crank", "readings", "next_step"])
def test_a_section_lists_the_keys_that_are_there(section: str, found: dict[str, Any]) -> None:
    part = found[section]
    assert listed()[section] == set(part[0] if isinstance(part, list) else part)
