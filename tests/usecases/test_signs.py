"""The crank as the map: the same drawing before and after measuring."""

from __future__ import annotations

from oilwedge.engine.file import read_engine
from oilwedge.engine.layout import LayoutKind
from oilwedge.engine.skeleton import SkeletonAnswers, write_skeleton
from oilwedge.usecases.planning.crank import unmeasured_crank
from oilwedge.usecases.signs import crank_drawing


def test_the_build_sheet_draws_the_crank_as_the_plan_does() -> None:
    for kind in LayoutKind:
        text = write_skeleton(answers=SkeletonAnswers(kind=kind, cylinders=4))
        engine = read_engine(text, file="new.toml")
        assert crank_drawing(engine=engine) == unmeasured_crank(engine.layout)
