"""A short engine file (invented, an in-line four) to which tables of how it runs are added."""

from __future__ import annotations

from oilwedge.engine.file import Checked, check_engine
from oilwedge.engine.model import Engine

BASE = """format = 1
[engine]
name = "Made up"
[layout]
kind = "in-line"
cylinders = 4
firing_order = [1, 3, 4, 2]
throw_angles = ["0 deg", "180 deg", "180 deg", "0 deg"]
main_bearings = 5
[features.rod_journal]
size = ["47.96 mm", "47.98 mm"]
length = "22 mm"
[features.main_journal]
nominal = "55 mm"
[features.main_housing_bore]
material = "aluminium"
size = ["59.000 mm", "59.014 mm"]
[features.cylinder_bore]
size = ["82.00 mm", "82.02 mm"]
[fits.rod_bearing]
build = ["0.02 mm", "0.05 mm"]
[fits.main_bearing]
build = ["0.02 mm", "0.05 mm"]
[fits.main_housing]
[fits.piston_clearance]
"""
FIRST_LINE = BASE.count("\n") + 1
"""The line on which the added text begins."""


def check(tables: str) -> Checked:
    """The check of the file with these tables added."""
    return check_engine(BASE + tables, file="made_up.toml")


def read(tables: str) -> Engine:
    """The engine of the file with these tables added; it has to be without faults."""
    checked = check(tables)
    assert checked.engine is not None, [fault.sentence() for fault in checked.faults]
    return checked.engine


def only_fault(tables: str) -> str:
    """The sentence of the only fault of the file with these tables added."""
    faults = check(tables).faults
    assert len(faults) == 1, [fault.sentence() for fault in faults]
    return faults[0].sentence()
