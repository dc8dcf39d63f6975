"""Cells of :mod:`oilwedge.film.transient` round a bearing and along its width.

Lines lie evenly round the bearing. Along the width the cells are finer near the ends of a land.
Half the width is enough where nothing tells front from rear; with a groove all round the middle one
land is; else the whole width has its cells.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from oilwedge.errors import Fault, OutOfRangeError
from oilwedge.film.bearing import Bearing, Groove
from oilwedge.film.film_grid import half_width
from oilwedge.film.film_shape import FilmShape
from oilwedge.film.transient_kernel import FEED, NEXT, SIDE, WIDE

Floats = NDArray[np.float64]

_WHOLE_SHARE = 1.5  # cells on a whole width, over those on half of one


@dataclass(frozen=True, kw_only=True, slots=True)
class RingGrid:
    """Lines ``around`` the bearing, and cells ``across`` half its width or one land."""

    around: int = 180
    across: int = 8

    def __post_init__(self) -> None:
        if not (24 <= self.around <= 2000 and 2 <= self.across <= 60):
            raise OutOfRangeError(
                Fault(
                    given=f"{self.around} x {self.across} cells",
                    allowed="24 to 2000 lines round the bearing and 2 to 60 cells across half its"
                    " width are solved",
                )
            )

    @property
    def least_gap(self) -> float:
        """The smallest gap over C, a ratio, that it resolves: it doubles within two lines."""
        return 0.5 * (2.0 * 2.0 * math.pi / self.around) ** 2


@dataclass(frozen=True, kw_only=True, slots=True)
class Strip:
    """The cells of one line: ``strip`` (4, m) for the kernel, ``place`` of the nodes, in R.

    ``copies``: how many such strips the bearing has; two are mirror images.
    """

    strip: Floats
    place: Floats
    copies: int


def ring_of(around: int) -> Floats:
    """Cosine and sine at ``around`` cells and at the faces ahead of them, (4, n)."""
    cells = 2.0 * math.pi * (np.arange(around) + 0.5) / around
    faces = 2.0 * math.pi * (np.arange(around) + 1.0) / around
    return np.stack([np.cos(cells), np.sin(cells), np.cos(faces), np.sin(faces)])


def cell_angles(around: int) -> Floats:
    """Angles of the cells' nodes."""
    return np.asarray(2.0 * math.pi * (np.arange(around) + 0.5) / around)


def lay_out(*, bearing: Bearing, shape: FilmShape, across: int) -> Strip:
    """The cells along the width, z from the middle of the bearing towards the front."""
    end = 0.5 * bearing.width_m / bearing.radius_m
    grooved = bearing.groove is Groove.CIRCUMFERENTIAL
    inner = end - bearing.land_width_m / bearing.radius_m if grooved else 0.0
    mirrored = not (shape.journal_taper_m or shape.tilt_x_rad or shape.tilt_y_rad)
    if mirrored and not grooved:
        return _joined([half_width(width=end, count=across)], copies=2, ends=(0, SIDE))
    if mirrored:
        return _joined([_land(inner, end, across)], copies=2, ends=(FEED, SIDE))
    whole = round(_WHOLE_SHARE * across)
    if not grooved:
        return _joined([_land(-end, end, whole)], copies=1, ends=(SIDE, SIDE))
    lands = [_land(-end, -inner, whole // 2), _land(inner, end, whole // 2)]
    return _joined(lands, copies=1, ends=(SIDE, SIDE))


def _land(low: float, high: float, count: int) -> Floats:
    """Faces and nodes in turn, finer at both edges."""
    count += count % 2
    half = half_width(width=0.5 * (high - low), count=count // 2)
    return np.concatenate([-half[:0:-1], half]) + 0.5 * (low + high)


def _joined(lands: list[Floats], *, copies: int, ends: tuple[int, int]) -> Strip:
    """Lands one after the other; between two of them is the groove. 0 for an end: none is there."""
    strips = []
    for number, places in enumerate(lands):
        faces, nodes = places[::2], places[1::2]
        strip = np.zeros((4, nodes.size))
        strip[WIDE] = np.diff(faces)
        strip[NEXT, :-1] = 1.0 / np.diff(nodes)
        low = ends[0] if number == 0 else FEED
        high = ends[1] if number == len(lands) - 1 else FEED
        if low:
            strip[low, 0] += 1.0 / (nodes[0] - faces[0])
        strip[high, -1] += 1.0 / (faces[-1] - nodes[-1])
        strips.append(strip)
    place = np.concatenate([places[1::2] for places in lands])
    return Strip(strip=np.concatenate(strips, axis=1), place=place, copies=copies)


def whole_width(values: Floats, *, copies: int) -> Floats:
    """Values (n, m) over the whole width, rear to front, from those of a strip."""
    return np.concatenate([values[:, ::-1], values], axis=1) if copies == 2 else values


def smallest_gaps(gaps: Floats, strip: Strip) -> Floats:
    """The smallest of each gap (nodes, n, m), by a parabola round its smallest line.

    At the edges of the strip it is drawn out from the two nodes beside them.
    """
    wide, place = strip.strip[WIDE], strip.place
    low = 0.5 * wide[0] / (place[1] - place[0])
    high = 0.5 * wide[-1] / (place[-1] - place[-2])
    first = gaps[..., :1] + low * (gaps[..., :1] - gaps[..., 1:2])
    last = gaps[..., -1:] + high * (gaps[..., -1:] - gaps[..., -2:-1])
    whole = np.concatenate([first, gaps, last], axis=2)
    line = whole.argmin(axis=1)[:, None, :]
    count = whole.shape[1]
    here, before, after = (
        np.take_along_axis(whole, (line + k) % count, axis=1)[:, 0, :] for k in (0, -1, 1)
    )
    bend = before + after - 2.0 * here
    drop = np.divide((after - before) ** 2, 8.0 * bend, out=np.zeros_like(bend), where=bend > 0.0)
    return np.asarray((here - drop).min(axis=1))
