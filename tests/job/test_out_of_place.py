"""A reading of something that the engine file does not have stays on record and judges nothing."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from oilwedge.engine.file import read_engine
from oilwedge.job.standing import standing
from oilwedge.metrology.instrument import GENERIC_INSTRUMENTS
from oilwedge.metrology.reading import Reading
from oilwedge.shop.model import DEFAULT_SHOP
from oilwedge.usecases.judging import judge

ENGINE = read_engine(
    (Path(__file__).parents[1] / "data" / "wren_single.toml").read_text(encoding="utf-8"), file="e"
)
GOOD = Reading(
    id="a",
    feature="rod_journal",
    number=1,
    place="front",
    direction="across",
    value_m=0.04797,
    text="47.97",
    unit="mm",
)
STRANGE = (
    replace(GOOD, id="b", feature="third_wing"),
    replace(GOOD, id="c", number=9),
    replace(GOOD, id="d", place="beyond"),
    replace(GOOD, id="e", direction="inwards"),
)


@pytest.mark.parametrize("strange", STRANGE, ids=lambda one: f"{one.feature} {one.number}")
def test_it_does_not_judge_and_is_told(strange: Reading) -> None:
    now = standing(engine=ENGINE, entries=(GOOD, strange), instruments=GENERIC_INSTRUMENTS)
    assert now.readings == (GOOD,)
    assert now.out_of_place == (strange,)


def test_the_judgement_says_so_in_a_sentence() -> None:
    judgement = judge(engine=ENGINE, shop=DEFAULT_SHOP, entries=(GOOD, *STRANGE))
    assert judgement.notes == (
        "4 readings judge nothing, for this engine file has no such place: third wing 1,"
        " rod journal 9, rod journal 1.",
    )
