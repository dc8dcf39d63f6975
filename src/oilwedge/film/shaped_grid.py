"""Finite volumes for a gap of any shape, on lines that meet the edges of the feed.

As :mod:`oilwedge.film.film_grid`: lines stand evenly in s, the mean of the angle θ and Sommerfeld's
γ for the eccentricity of the thinnest place, counted from opposite to it. Here they start on the
edge of the feed and have its other edge on a line too. Units as there: gap in C, widths in R.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from oilwedge.film.bearing import Bearing
from oilwedge.film.feed_place import Feed, FeedPlace
from oilwedge.film.film_grid import FilmGrid, half_width
from oilwedge.film.film_shape import FilmShape

Floats = NDArray[np.float64]
Mask = NDArray[np.bool_]

_LEAST_ON_FEED = 2  # steps of the coarsest grid along half a groove or over a hole


@dataclass(frozen=True, kw_only=True, slots=True)
class Grading:
    """What the lines crowd about: the eccentricity ratio there, and where the gap is thinnest."""

    eccentricity_ratio: float
    thin_angle_rad: float


@dataclass(frozen=True, kw_only=True, slots=True)
class Land:
    """One land: 2 k + 1 ``places`` in R (nodes and faces in turn) and the pressures at its edges.

    ``symmetric``: places[0] is the middle of the bearing and stands for both halves. ``copies``:
    how many such parts the bearing has. ``feed_half_width``: half the width of what feeds it from
    its middle, in R.
    """

    places: Floats
    symmetric: bool
    copies: int
    low_pressure: float
    high_pressure: float
    feed_half_width: float = 0.0


@dataclass(frozen=True, kw_only=True, slots=True)
class ShapedCells:
    """Cells of one land; n lines round the ring, m nodes across. Flow counts in ω R² C/12.

    ``angle`` (n + 1), ``face_angle`` (n) behind each line; ``gap`` (n, m) at the nodes;
    ``turning`` (n): how much more of the turning part of the gap there is at a line's face behind
    than at that before; ``opening`` (n): how fast the gap opens with ω t, times the extent of the
    line; ``low_strip`` and ``high_strip``: widths from the last face to the edge, 0 at a plane of
    symmetry; ``fixed`` cells have the feed's pressure, ``covered`` is their share that is groove.
    """

    land: Land
    angle: Floats
    face_angle: Floats
    dangle: Floats
    z: Floats
    dz: Floats
    gap: Floats
    face_gap: Floats
    edge_gap: Floats
    kx: Floats
    kz: Floats
    couette: Floats
    turning: Floats
    opening: Floats
    low_strip: float
    high_strip: float
    fixed: Mask
    covered: Floats

    @property
    def area(self) -> Floats:
        """Area of each cell in R², (n, m)."""
        return self.dangle[:, None] * self.dz[None, :]

    @property
    def storage(self) -> Floats:
        """What a full cell takes up as its gap opens, in ω R² C/12."""
        return 12.0 * self.opening[:, None] * self.dz[None, :]


def lands_of(
    *, bearing: Bearing, shape: FilmShape, feed: FeedPlace, supply: float, grid: FilmGrid
) -> tuple[Land, ...]:
    """The lands of a bearing, halved or taken once for two where shape and feed allow it.

    ``supply`` pressure is a ratio to μ ω (R/C)².
    """
    even = not (shape.journal_taper_m or shape.tilt_x_rad or shape.tilt_y_rad)
    end = 0.5 * bearing.width_m / bearing.radius_m
    half = grid.across // 2
    edge = 0.5 * feed.width_m / bearing.radius_m
    if feed.kind is Feed.CIRCUMFERENTIAL:
        part = half_width(width=0.5 * (end - edge), count=half)
        middle = 0.5 * (end + edge)
        places = np.concatenate([middle - part[:0:-1], middle + part])
        front = Land(
            places=places,
            symmetric=False,
            copies=2 if even else 1,
            low_pressure=supply,
            high_pressure=0.0,
        )
        rear = Land(
            places=-places[::-1],
            symmetric=False,
            copies=1,
            low_pressure=0.0,
            high_pressure=supply,
        )
        return (front,) if even else (rear, front)
    places = half_width(width=end, count=half)
    if edge > 0.0:
        across = max(_LEAST_ON_FEED * half // 10, round(half * edge / end), 1)
        outside = edge + half_width(width=end - edge, count=half - across)
        places = np.concatenate([np.linspace(0.0, edge, 2 * across + 1), outside[1:]])
    if not even:
        places = np.concatenate([-places[:0:-1], places])
    return (
        Land(
            places=places,
            symmetric=even,
            copies=2 if even else 1,
            low_pressure=0.0,
            high_pressure=0.0,
            feed_half_width=edge,
        ),
    )


def ring_angles(*, grading: Grading, feed_from: float, feed_to: float, count: int) -> Floats:
    """2 ``count`` + 1 angles, lines and faces in turn, in rad, from ``feed_from`` once round.

    Another line stands at ``feed_to`` if that is beyond ``feed_from``.
    """
    e = min(max(grading.eccentricity_ratio, 0.0), 0.999)
    r = math.sqrt((1.0 - e) / (1.0 + e))
    largest = grading.thin_angle_rad + math.pi
    s_from = _even_in(feed_from - largest, r)
    s_end = s_from + 2.0 * math.pi
    if feed_to > feed_from:
        s_to = _even_in(feed_to - largest, r)
        base = max(count // 50, 1)  # grids of twice the step have half the lines on the feed
        share = (s_to - s_from) / (2.0 * math.pi)
        on_feed = base * max(_LEAST_ON_FEED, round(share * count / base))
        on_feed = min(on_feed, count - base * _LEAST_ON_FEED)
        first = np.linspace(s_from, s_to, 2 * on_feed + 1)
        s = np.concatenate([first, np.linspace(s_to, s_end, 2 * (count - on_feed) + 1)[1:]])
    else:
        s = np.linspace(s_from, s_end, 2 * count + 1)
    angles = largest + _angle_at(s, r)
    angles[0], angles[-1] = feed_from, feed_from + 2.0 * math.pi
    return angles


def _even_in(theta: float, r: float) -> float:
    """s = (θ + γ)/2, rising through all turns; tan(γ/2) = r tan(θ/2)."""
    turns = math.floor((theta + math.pi) / (2.0 * math.pi))
    rest = theta - 2.0 * math.pi * turns
    gamma = 2.0 * math.atan2(r * math.sin(0.5 * rest), math.cos(0.5 * rest))
    return 0.5 * (rest + gamma) + 2.0 * math.pi * turns


def _angle_at(s: Floats, r: float) -> Floats:
    """θ of s: the inverse of :func:`_even_in`."""
    turns = np.floor((s + math.pi) / (2.0 * math.pi))
    rest = s - 2.0 * math.pi * turns
    size = np.abs(rest)
    # θ/2 + γ/2 = s and tan(γ/2) = r tan(θ/2) give r tan s t² + (1 + r) t = tan s for t = tan(θ/2)
    sine, lean = np.sin(size), (1.0 + r) * np.cos(size)
    root = np.sqrt(lean**2 + 4.0 * r * sine**2)
    theta = 2.0 * np.where(
        lean > 0.0,
        np.arctan2(2.0 * sine, root + lean),
        np.arctan2(root - lean, 2.0 * r * sine),  # the same without cancellation
    )
    return np.asarray(np.copysign(theta, rest) + 2.0 * math.pi * turns)


def shaped_cells(
    *,
    land: Land,
    bearing: Bearing,
    shape: FilmShape,
    journal_turn_rad: float,
    place: tuple[float, float],
    whirl: tuple[float, float],
    feed: FeedPlace,
    grading: Grading,
    count: int,
) -> ShapedCells:
    """Cells of one land for a journal at ``place`` (e_x, e_y in C) that moves by ``whirl``.

    ``place`` is a ratio to C, ``whirl`` its rate by ω t, ``journal_turn_rad`` in rad.
    """
    start, stop = _feed_span(feed, bearing, place)
    both = ring_angles(grading=grading, feed_from=start, feed_to=stop, count=count)
    angle, face_angle = both[::2], both[1::2]
    before = np.concatenate([[face_angle[-1] - 2.0 * math.pi], face_angle[:-1]])
    z, faces, distances = _split(land)
    dz = np.diff(faces)
    clearance, radius = bearing.radial_clearance_m, bearing.radius_m

    def gap_at(angles: Floats, places: Floats) -> Floats:
        change = shape.gap_change_m(
            angle_rad=angles[:, None],
            place_m=places[None, :] * radius,
            width_m=bearing.width_m,
            journal_turn_rad=journal_turn_rad,
        )
        off = place[0] * np.cos(angles) + place[1] * np.sin(angles)
        return np.asarray(1.0 - off[:, None] + change / clearance)

    lines = angle[:-1]
    dangle = face_angle - before
    face_gap = gap_at(face_angle, z)
    turning = shape.turning_gap_m(angle_rad=face_angle, journal_turn_rad=journal_turn_rad)
    turning -= shape.turning_gap_m(angle_rad=before, journal_turn_rad=journal_turn_rad)
    off_speed = whirl[0] * np.cos(lines) + whirl[1] * np.sin(lines)
    fixed, covered = _fed(feed, land, bearing, start, stop, lines, before, face_angle, z, faces)
    kx = face_gap**3 / np.diff(angle)[:, None] * dz[None, :]
    kz = gap_at(lines, faces) ** 3 * dangle[:, None] / distances[None, :]
    if feed.kind is Feed.HOLE:
        along = angle - 0.5 * (start + stop)
        kx *= _shortened(along[:-1, None], along[1:, None], z[None, :], land.feed_half_width)
        kz[:, 1:-1] *= _shortened(z[None, :-1], z[None, 1:], along[:-1, None], land.feed_half_width)
    return ShapedCells(
        land=land,
        angle=angle,
        face_angle=face_angle,
        dangle=dangle,
        z=z,
        dz=dz,
        gap=gap_at(lines, z),
        face_gap=face_gap,
        edge_gap=gap_at(face_angle, land.places[[0, -1]]),
        kx=kx,
        kz=kz,
        couette=6.0 * face_gap * dz[None, :],
        turning=turning / clearance,
        opening=-turning / clearance - dangle * off_speed,
        low_strip=0.0 if land.symmetric else float(land.places[1] - land.places[0]),
        high_strip=float(land.places[-1] - land.places[-2]),
        fixed=fixed,
        covered=covered,
    )


def _split(land: Land) -> tuple[Floats, Floats, Floats]:
    """Nodes, faces, and the distances between nodes over each face."""
    z = land.places
    if land.symmetric:
        faces = np.concatenate([[z[0]], z[1::2]])
        return z[:-1:2], faces, np.concatenate([[np.inf], np.diff(z[::2])])
    return z[2:-1:2], z[1::2], np.diff(z[::2])


def _feed_span(
    feed: FeedPlace, bearing: Bearing, place: tuple[float, float]
) -> tuple[float, float]:
    """From which angle to which the feed lies; a line of no width from an angle to itself."""
    if feed.angle_rad is None:
        start = math.atan2(place[1], place[0]) + math.pi
        return start, start
    if feed.kind is Feed.HOLE:
        half = 0.5 * feed.width_m / bearing.radius_m
        return feed.angle_rad - half, feed.angle_rad + half
    return feed.angle_rad, feed.angle_rad + feed.span_rad


def _fed(
    feed: FeedPlace,
    land: Land,
    bearing: Bearing,
    start: float,
    stop: float,
    lines: Floats,
    before: Floats,
    behind: Floats,
    z: Floats,
    faces: Floats,
) -> tuple[Mask, Floats]:
    """Cells that have the feed's pressure, and the share of each that is groove and not land."""
    fixed = np.zeros((lines.size, z.size), dtype=np.bool_)
    covered = np.zeros(fixed.shape)
    if feed.kind is Feed.AXIAL:
        fixed[0] = True
    elif feed.kind is Feed.HALF:
        on = (lines >= start - 1e-12) & (lines <= stop + 1e-9)
        fixed = on[:, None] & (np.abs(z) <= land.feed_half_width * (1.0 + 1e-9))[None, :]
        turn = 2.0 * math.pi
        round_it = _overlap(before, behind, start, stop)
        round_it += _overlap(before + turn, behind + turn, start, stop)
        edge = land.feed_half_width
        covered = (round_it / (behind - before))[:, None] * (
            _overlap(faces[:-1], faces[1:], -edge, edge) / np.diff(faces)
        )[None, :]
    elif feed.kind is Feed.HOLE:
        radius = land.feed_half_width
        away = (lines - 0.5 * (start + stop))[:, None] ** 2 + z[None, :] ** 2
        fixed = away <= radius**2 * (1.0 + 1e-9)
        taken = float(np.sum(fixed * ((behind - before)[:, None] * np.diff(faces)[None, :])))
        hole = math.pi * radius**2 * (0.5 if land.symmetric else 1.0)
        covered = np.where(fixed, min(1.0, hole / taken), 0.0)
    return fixed, covered


def _shortened(first: Floats, second: Floats, across: Floats, radius: float) -> Floats:
    """Distance of two nodes over the part of it that is outside the hole; 1 off its rim.

    The rim cuts the way from a node in the hole to one outside: the film begins there.
    """
    inside = radius**2 * (1.0 + 1e-9) - across**2
    half = np.sqrt(np.maximum(inside, 0.0))
    in_first, in_second = first**2 <= inside, second**2 <= inside
    step = second - first
    leaving = np.divide(
        step, second - half, out=np.ones(np.shape(inside + step)), where=in_first & ~in_second
    )
    entering = np.divide(
        step, -half - first, out=np.ones(np.shape(inside + step)), where=~in_first & in_second
    )
    return np.asarray(leaving * entering)


def _overlap(low: Floats, high: Floats, start: float, stop: float) -> Floats:
    return np.asarray(np.maximum(np.minimum(high, stop) - np.maximum(low, start), 0.0))
