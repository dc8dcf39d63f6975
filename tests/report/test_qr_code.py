"""A QR code for pages is inert: no style, no class, and a name for who cannot see it."""

import re
from xml.etree import ElementTree

import segno

from oilwedge.report.qr_code import QUIET_MODULES, qr_svg

ADDRESS = "https://bench.test:8470/invitation/an-invented-token"


def dark_modules(svg: str) -> set[tuple[int, int]]:
    """The modules that the drawing's path covers: it runs along rows, from left to right."""
    path = ElementTree.fromstring(svg).findall("path")[-1].get("d") or ""
    x, y, found = 0.0, 0.0, set()
    for kind, numbers in re.findall(r"([Mmh])([-\d. ]+)", path):
        values = [float(one) for one in re.findall(r"-?\d*\.?\d+", numbers)]
        if kind == "M":
            x, y = values
        elif kind == "m":
            x, y = x + values[0], y + values[1]
        else:
            found |= {(int(x) + step, int(y)) for step in range(int(values[0]))}
            x += values[0]
    return found


def test_the_drawing_is_the_code_with_its_quiet_zone() -> None:
    # segno's own matrix is the reference; ISO/IEC 18004 asks for four light modules (RECALLED).
    matrix = segno.make_qr(ADDRESS, error="m").matrix
    wanted = {
        (x + QUIET_MODULES, y + QUIET_MODULES)
        for y, row in enumerate(matrix)
        for x, dark in enumerate(row)
        if dark
    }
    assert QUIET_MODULES == 4
    assert dark_modules(qr_svg(ADDRESS, title="t")) == wanted


def test_a_strict_policy_lets_it_be() -> None:
    svg = qr_svg(ADDRESS, title="t")
    assert "style" not in svg
    assert "class" not in svg
    assert "<script" not in svg


def test_a_screen_reader_gets_its_title_whatever_stands_in_it() -> None:
    title = r"The address of <bench> & \1"
    root = ElementTree.fromstring(qr_svg(ADDRESS, title=title))
    assert root.get("role") == "img"
    assert root.findtext("title") == title
