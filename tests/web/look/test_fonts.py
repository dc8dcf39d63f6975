"""The fonts that the build cuts out of whole typefaces."""

import importlib.util
import re
from pathlib import Path
from types import ModuleType

import pytest
from fontTools.ttLib import TTFont

import oilwedge.web.look
from oilwedge.web.look.templatetags import look

ROOT = Path(__file__).parents[3]
FOLDER = Path(oilwedge.web.look.__file__).parent / "static" / "oilwedge" / "fonts"
WRITTEN = "0123456789±−×·°µ≤≥≈″′½¼⅛–—…‘’“”→←✓éäöüßñçøåłőž"


def _hook() -> ModuleType:
    spec = importlib.util.spec_from_file_location("hatch_build", ROOT / "hatch_build.py")
    assert spec
    assert spec.loader
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_all_fonts_together_are_small() -> None:
    fonts = list(FOLDER.glob("*.woff2"))
    assert len(fonts) == 3
    assert sum(one.stat().st_size for one in fonts) <= 70_000


@pytest.mark.parametrize("name", ["oilwedge-sans", "oilwedge-mono-regular", "oilwedge-mono-medium"])
def test_a_font_has_what_pages_write_and_a_name_of_its_own(name: str) -> None:
    font = TTFont(FOLDER / f"{name}.woff2")
    assert not [sign for sign in WRITTEN if ord(sign) not in font.getBestCmap()]
    assert font["name"].getDebugName(1) in {"Oilwedge Sans", "Oilwedge Mono"}


def test_the_style_sheet_of_the_fonts_names_files_that_are_there() -> None:
    named = re.findall(r'url\("([^"]+)"\)', (FOLDER / "fonts.css").read_text(encoding="utf-8"))
    assert len(named) == 3
    assert all((FOLDER / one).is_file() for one in named)
    assert "SIL OPEN FONT LICENSE" in (FOLDER / "LICENSE.txt").read_text(encoding="utf-8").upper()


@pytest.mark.slow
def test_the_same_packages_give_the_same_bytes(tmp_path: Path) -> None:
    _hook().write_fonts(tmp_path)
    for made in tmp_path.iterdir():
        assert made.read_bytes() == (FOLDER / made.name).read_bytes(), made.name


def test_a_page_does_without_the_fonts_where_they_were_not_built(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    assert "fonts.css" in look.font_styles()
    monkeypatch.setattr(look, "FONTS", tmp_path / "fonts.css")
    assert look.font_styles() == ""
