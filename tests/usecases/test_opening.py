"""Opening what a person names."""

from __future__ import annotations

from pathlib import Path

import pytest

from oilwedge.errors import EngineFileError, InputError, ShopFileError
from oilwedge.shop.model import DEFAULT_SHOP
from oilwedge.usecases.opening import file_bytes, open_engine, open_engine_and_shop, open_shop

ENGINE = """
format = 1
[engine]
name = "Opened (invented)"
[layout]
kind = "in-line"
cylinders = 1
firing_order = [1]
throw_angles = ["0 deg"]
main_bearings = 2
caps = "separate"
"""
SHOP = """
[instruments.mic]
title = "micrometer of the folder"
kind = "micrometer"
resolution = "0.001 mm"
permissible_error = "0.002 mm"
"""


@pytest.fixture
def engine_path(tmp_path: Path) -> Path:
    path = tmp_path / "engine.toml"
    path.write_text(ENGINE, encoding="utf-8")
    return path


def test_a_shop_file_beside_the_engine_is_taken_without_being_named(engine_path: Path) -> None:
    engine_path.with_name("shop.toml").write_text(SHOP, encoding="utf-8")
    opened = open_engine_and_shop(engine=engine_path, shop=None)
    assert opened.engine.name == "Opened (invented)"
    assert opened.shop.instruments["mic"].title == "micrometer of the folder"


def test_without_a_shop_file_general_instruments_stand_in(engine_path: Path) -> None:
    assert open_shop(None, beside=engine_path) is DEFAULT_SHOP


def test_a_shop_file_that_was_named_must_be_there(engine_path: Path) -> None:
    with pytest.raises(InputError, match="a shop file is expected here"):
        open_shop(engine_path.with_name("other.toml"), beside=engine_path)


def test_faults_name_the_file(engine_path: Path, tmp_path: Path) -> None:
    engine_path.write_text("format = 1\n[engine", encoding="utf-8")
    with pytest.raises(EngineFileError, match=r"engine\.toml"):
        open_engine(engine_path)
    shop = tmp_path / "shop.toml"
    shop.write_text("[instruments.mic]\nkind = 'hammer'\n", encoding="utf-8")
    with pytest.raises(ShopFileError, match=r"shop\.toml"):
        open_shop(shop, beside=engine_path)


@pytest.mark.parametrize(("name", "words"), [("nowhere", "no such file"), (".", "a folder")])
def test_what_cannot_be_read_is_one_sentence(tmp_path: Path, name: str, words: str) -> None:
    with pytest.raises(InputError, match=words) as caught:
        file_bytes(tmp_path / name, what="an engine file")
    assert len(caught.value.faults) == 1
