"""The demo's engines, judged once for all tests here."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from importlib import resources
from pathlib import Path

import pytest

from oilwedge.report.encoding import Encoding
from oilwedge.report.terminal import Colour, render_terminal
from oilwedge.usecases.importing.imported import BadRows
from oilwedge.usecases.judgement import FitResult, Judgement
from oilwedge.usecases.judging import judge
from oilwedge.usecases.length_face import LengthFace
from oilwedge.usecases.opening import open_engine_and_shop
from oilwedge.usecases.reading_in import ReadIn, read_in
from oilwedge.usecases.verdict_document import screen_document

DEMO = Path(str(resources.files("oilwedge").joinpath("demo")))


@dataclass(frozen=True, kw_only=True)
class Shown:
    """One engine of the demo: what was read, what was judged, and the screen as one line."""

    taken: ReadIn
    judgement: Judgement
    screen: str

    def fit(self, key: str, number: int = 1) -> FitResult:
        return next(one for one in self.judgement.fits if (one.key, one.number) == (key, number))

    def says(self, label: str) -> str:
        """What stands under a label, up to the next one's verdict."""
        remarks = self.screen.partition("What is wrong, where, what to do")[2]
        _, found, rest = remarks.partition(f" {label}: ")
        assert found, f"nothing is said of {label}"
        return rest[:2500]


@cache
def shown(name: str) -> Shown:
    opened = open_engine_and_shop(engine=DEMO / f"{name}.toml", shop=None)
    taken = read_in(
        paths=[DEMO / f"{name}.csv"],
        engine=opened.engine,
        shop=opened.shop,
        bad_rows=BadRows.KEEP_GOOD,
    )
    judgement = judge(
        engine=opened.engine, shop=opened.shop, entries=taken.entries, notes=taken.notes
    )
    document = screen_document(
        judgement=judgement,
        face=LengthFace(unit=opened.engine.unit),
        worst_first=False,
        every_way=False,
    )
    text = render_terminal(document, columns=80, encoding=Encoding.UNICODE, colour=Colour.NONE)
    return Shown(taken=taken, judgement=judgement, screen=" ".join(text.split()))


@pytest.fixture
def demo() -> Callable[[str], Shown]:
    return shown
