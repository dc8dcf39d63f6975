"""Make the page's fonts when the package is built: the house typeface, cut down to what pages use.

The font packages hold whole typefaces; a page needs Latin letters and the signs of measuring.
The same packages give the same bytes.  The cut fonts bear names of their own, as the licence of
the typeface asks of changed versions; the licence travels with them.
"""

from __future__ import annotations

import importlib.util
import logging
from pathlib import Path
from typing import Any

from fontTools import subset
from fontTools.ttLib import TTFont
from fontTools.varLib import instancer
from hatchling.builders.hooks.plugin.interface import BuildHookInterface

FONTS = Path("src/oilwedge/web/look/static/oilwedge/fonts")
LATIN = [*range(0x20, 0x7F), *range(0xA0, 0x180)]
SIGNS = "−≤≥≈≠″′…—–‑‘’“”‚„•→←↑↓✓⅛√∞€Δ₀₁₂₃₄\u2009\u202f"
SANS, MONO = "fontpkg_ibm_plex_sans", "fontpkg_ibm_plex_mono"
SANS_FEATURES = ["kern", "mark", "ccmp", "locl", "tnum", "frac"]
MONO_FEATURES = ["mark", "ccmp", "locl", "zero"]
FAMILY, UNIQUE, FULL, POSTSCRIPT = 1, 3, 4, 6
NAMES_KEPT = {0, 2, 5, 13, 14}  # copyright, style, version, licence and its address

STYLES = """\
@font-face{font-family:"Oilwedge Sans";font-weight:400 600;font-display:swap;\
src:url("oilwedge-sans.woff2") format("woff2")}
@font-face{font-family:"Oilwedge Mono";font-weight:400;font-display:swap;\
src:url("oilwedge-mono-regular.woff2") format("woff2")}
@font-face{font-family:"Oilwedge Mono";font-weight:500;font-display:swap;\
src:url("oilwedge-mono-medium.woff2") format("woff2")}
"""


class FontHook(BuildHookInterface[Any]):
    """Write the fonts, their style sheet and their licence into the package."""

    PLUGIN_NAME = "custom"

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        """Run before a wheel, an editable one too, is put together."""
        write_fonts(Path(self.root) / FONTS)


def write_fonts(folder: Path) -> None:
    """Write all fonts into the folder."""
    logging.getLogger("fontTools").setLevel(logging.ERROR)
    folder.mkdir(parents=True, exist_ok=True)
    sans = _cut(_file(SANS, "IBMPlexSans[wdth,wght].ttf"), SANS_FEATURES)
    # one file for both weights is smaller than two
    sans = instancer.instantiateVariableFont(sans, {"wght": (400, 600), "wdth": 100})
    _save(sans, folder / "oilwedge-sans.woff2", "Oilwedge Sans")
    for weight in ("Regular", "Medium"):
        mono = _cut(_file(MONO, f"IBMPlexMono-{weight}.ttf"), MONO_FEATURES)
        _save(mono, folder / f"oilwedge-mono-{weight.lower()}.woff2", "Oilwedge Mono")
    (folder / "fonts.css").write_text(STYLES, encoding="utf-8", newline="\n")
    licence = _file(SANS, "LICENSE").read_text(encoding="utf-8")
    (folder / "LICENSE.txt").write_text(licence, encoding="utf-8", newline="\n")


def _file(package: str, name: str) -> Path:
    found = importlib.util.find_spec(package)
    for place in (found.submodule_search_locations or []) if found else []:
        for path in (Path(place) / name, Path(place) / "files" / name):
            if path.is_file():
                return path
    raise FileNotFoundError(f"{package} has no {name}; install the packages of build-system")


def _cut(source: Path, features: list[str]) -> TTFont:
    font = TTFont(source, recalcTimestamp=False)
    options = subset.Options()
    options.layout_features = features
    options.hinting = False
    options.drop_tables += ["meta", "DSIG"]
    options.name_IDs = ["*"]
    subsetter = subset.Subsetter(options)
    subsetter.populate(unicodes=[*LATIN, *map(ord, SIGNS)])
    subsetter.subset(font)
    return font


def _save(font: TTFont, path: Path, family: str) -> None:
    names = font["name"]
    used = {record.nameID for record in names.names if record.nameID >= 256}
    names.names = [one for one in names.names if one.nameID in NAMES_KEPT | used]
    for number in (FAMILY, UNIQUE, FULL):
        names.setName(family, number, 3, 1, 0x409)
    names.setName(family.replace(" ", ""), POSTSCRIPT, 3, 1, 0x409)
    font.flavor = "woff2"
    font.save(path)
