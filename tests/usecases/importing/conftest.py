"""An invented engine and an invented shop."""

from collections.abc import Callable

import pytest

from oilwedge.engine.file import read_engine
from oilwedge.engine.model import Engine
from oilwedge.shop.file import read_shop
from oilwedge.shop.model import Shop
from oilwedge.usecases.importing import BadRows, Imported, read_table

ENGINE = """
format = 1
[engine]
name = "Bench four"
[layout]
kind = "in-line"
cylinders = 4
numbering = "1 at the front"
firing_order = [1, 3, 4, 2]
throw_angles = ["0 deg", "180 deg", "180 deg", "0 deg"]
main_bearings = 5
caps = "separate"
[features.rod_journal]
nominal = "47.98 mm"
tolerance = ["-0.015 mm", "0 mm"]
[features.main_journal]
size = ["54.980 mm", "55.000 mm"]
[features.rod_upper_wall]
size = ["1.483 mm", "1.490 mm"]
[features.cylinder_bore]
size = ["81.000 mm", "81.030 mm"]
[features.crank_end_gap]
[features.piston_deck_height]
[fits.rod_bearing]
build = ["0.021 mm", "0.049 mm"]
service = "0.060 mm"
from = "Invented manual, page 12"
[fits.main_bearing]
build = ["0.021 mm", "0.049 mm"]
[fits.crank_end_float]
build = ["0.10 mm", "0.28 mm"]
"""
SHOP = """
[instruments.mic2]
title = "outside micrometer 25 to 50"
kind = "micrometer"
range = ["25 mm", "50 mm"]
resolution = "0.001 mm"
permissible_error = "0.004 mm"
[strips.fine]
title = "fine strip"
range = ["0.025 mm", "0.076 mm"]
bars = [{width = "2.5 mm", clearance = "0.025 mm"}, {width = "0.8 mm", clearance = "0.076 mm"}]
"""


@pytest.fixture(scope="session")
def engine() -> Engine:
    return read_engine(ENGINE, file="engine.toml")


@pytest.fixture(scope="session")
def shop() -> Shop:
    return read_shop(SHOP, file="shop.toml")


Take = Callable[[str | bytes], Imported]


@pytest.fixture
def take(engine: Engine, shop: Shop) -> Take:
    """Read a table, good rows and bad."""

    def read(text: str | bytes) -> Imported:
        data = text.encode() if isinstance(text, str) else text
        return read_table(
            data, engine=engine, shop=shop, name="readings.csv", bad_rows=BadRows.KEEP_GOOD
        )

    return read
