"""What every test shares: the bench's engine and shop, and examples that are the same every run.

HYPOTHESIS_PROFILE=explore looks for new ones.
"""

import os
from pathlib import Path

import pytest
from hypothesis import settings

from oilwedge.engine.file import read_engine
from oilwedge.engine.model import Engine
from oilwedge.shop.file import read_shop
from oilwedge.shop.model import Shop

settings.register_profile("ci", derandomize=True, deadline=None)
settings.register_profile("explore", deadline=None, max_examples=2000)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "ci"))

DATA = Path(__file__).parent / "data"


def shop_of(name: str) -> Shop:
    return read_shop((DATA / name).read_text(encoding="utf-8"), file="shop.toml")


@pytest.fixture(scope="session")
def bench_engine_text() -> str:
    """The file of an invented in-line four, as a person writes it."""
    return (DATA / "bench_four.toml").read_text(encoding="utf-8")


@pytest.fixture(scope="session")
def bench_engine(bench_engine_text: str) -> Engine:
    return read_engine(bench_engine_text, file="engine.toml")


@pytest.fixture(scope="session")
def wren_single() -> Engine:
    """An invented single whose file gives the size of one journal and the limits of one fit."""
    text = (DATA / "wren_single.toml").read_text(encoding="utf-8")
    return read_engine(text, file="engine.toml")


@pytest.fixture(scope="session")
def bench_shop() -> Shop:
    """Invented: two micrometers that reach everything, a bore gauge set in one, and a strip."""
    return shop_of("bench_shop.toml")


@pytest.fixture(scope="session")
def small_shop() -> Shop:
    """Invented: one micrometer, which does not reach the mains, and one strip."""
    return shop_of("small_shop.toml")
