"""Drawings beside each other as one figure, for paper; a page sets them one under the other."""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import accumulate

from oilwedge.report.document import Figure
from oilwedge.report.svg_text import svg_picture

GAP_PX = 20.0
_SIZE = re.compile(r'^<svg [^>]*? width="([\d.]+)" height="([\d.]+)"')


def figure_row(figures: Sequence[Figure], *, title: str, least_width_px: float = 0.0) -> Figure:
    """One figure of all, their tops in line, with all their words.

    ``least_width_px`` keeps one drawing alone at the size of two beside each other.

    Errors: a ValueError for no figure and for a drawing that does not tell its size.
    """
    if not figures:
        raise ValueError("a row of figures needs one figure at least")
    sizes = [_size(one.svg) for one in figures]
    lefts = accumulate((width + GAP_PX for width, _ in sizes[:-1]), initial=0.0)
    width = sum(width for width, _ in sizes) + GAP_PX * (len(figures) - 1)
    body = "".join(
        one.svg.replace("<svg ", f'<svg x="{left:g}" y="0" ', 1)
        for one, left in zip(figures, lefts, strict=True)
    )
    described = " ".join(one.alternative_text for one in figures)
    return Figure(
        svg=svg_picture(
            width=max(width, least_width_px),
            height=max(height for _, height in sizes),
            title=title,
            description=described,
            body=body,
        ),
        caption="\n".join(one.caption for one in figures if one.caption),
        alternative_text=described,
        text="\n\n".join(one.text for one in figures if one.text),
        ascii_text="\n\n".join(one.ascii_text for one in figures if one.ascii_text),
    )


def _size(svg: str) -> tuple[float, float]:
    found = _SIZE.match(svg)
    if found is None:
        raise ValueError("a drawing has to tell its width and height")
    return float(found.group(1)), float(found.group(2))
