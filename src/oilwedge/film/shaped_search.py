"""Search for the place at which a film of any shape carries its load."""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from oilwedge.errors import Fault, OutOfRangeError
from oilwedge.film.bearing import Rupture
from oilwedge.film.feed_place import FeedPlace
from oilwedge.film.film_grid import FilmGrid
from oilwedge.film.film_shape import FilmShape
from oilwedge.film.shaped_gap import ShapedGap
from oilwedge.film.shaped_grid import Grading, Land, lands_of, shaped_cells
from oilwedge.film.shaped_unit import ShapedLand, solve_land
from oilwedge.film.unit_film import FilmNotSettledError

Floats = NDArray[np.float64]
Mask = NDArray[np.bool_]

MOST_LAMBDA = 0.999
MOST_STEPS = 40
_SLOPE_STEP = 1e-5
_LONGEST = 0.7
_HALVINGS = 6
_FURTHEST = math.atanh(MOST_LAMBDA)


@dataclass(kw_only=True, slots=True)
class ShapedLevel:
    """Films on one grid; keeps the full cells of the last as the guess for the next.

    ``supply`` and forces are free of units. The out-of-round of ``shape``, ``turn_rad`` of the
    journal, and ``whirl``, the rate of its place by ω t, may be changed between two films.
    """

    gap: ShapedGap
    feed: FeedPlace
    supply: float
    rupture: Rupture
    grid: FilmGrid
    grading: Grading
    shape: FilmShape
    turn_rad: float
    whirl: tuple[float, float] = (0.0, 0.0)
    films: int = 0
    last: tuple[ShapedLand, ...] = ()
    _lands: tuple[Land, ...] = field(init=False)

    def __post_init__(self) -> None:
        self._lands = lands_of(
            bearing=self.gap.bearing,
            shape=self.gap.shape,
            feed=self.feed,
            supply=self.supply,
            grid=self.grid,
        )

    def film(self, place: tuple[float, float]) -> tuple[ShapedLand, ...]:
        """Solve all lands with the journal at ``place``, in C."""
        solved = []
        for number, land in enumerate(self._lands):
            cells = shaped_cells(
                land=land,
                bearing=self.gap.bearing,
                shape=self.shape,
                journal_turn_rad=self.turn_rad,
                place=place,
                whirl=self.whirl,
                feed=self.feed,
                grading=self.grading,
                count=self.grid.around,
            )
            if self.last:
                guess = _mapped(self.last[number], cells.angle[:-1], cells.z)
            else:
                past = (cells.angle[:-1] - math.atan2(place[1], place[0])) % (2.0 * math.pi)
                guess = np.repeat(
                    ((past > math.pi) | (past < 0.2 * math.pi))[:, None], cells.z.size, axis=1
                )
            solved.append(
                solve_land(
                    cells=cells,
                    feed=self.feed.kind,
                    supply=self.supply,
                    rupture=self.rupture,
                    guess=guess,
                )
            )
        self.films += 1
        self.last = tuple(solved)
        return self.last


def force_of(lands: tuple[ShapedLand, ...]) -> Floats:
    """The load that the lands carry together, (2)."""
    return np.array(
        [
            sum(land.cells.land.copies * land.force_x for land in lands),
            sum(land.cells.land.copies * land.force_y for land in lands),
        ]
    )


def _mapped(before: ShapedLand, angles: Floats, z: Floats) -> Mask:
    """The full cells of another grid, taken from line to line and node to node next to it."""
    lines = before.cells.angle[:-1]
    turned = (angles - lines[0] + 1e-9) % (2.0 * math.pi) + lines[0]
    after = np.searchsorted(before.cells.angle, turned, side="right") - 1
    nodes = np.abs(before.cells.z[:, None] - z[None, :]).argmin(axis=0)
    return np.ascontiguousarray(before.film[np.clip(after, 0, lines.size - 1)][:, nodes])


@dataclass(frozen=True, kw_only=True, slots=True)
class Found:
    """Where a search ended: u, the slopes there, place in C, film, and the miss over the load."""

    u: Floats
    slopes: Floats
    place: tuple[float, float]
    lands: tuple[ShapedLand, ...]
    miss: float


@dataclass(frozen=True, kw_only=True, slots=True)
class Reach:
    """The largest displacement in each direction, from u to places in C."""

    angles: Floats
    least: Floats

    @classmethod
    def of(cls, gap: ShapedGap) -> Reach:
        """Take it from a gap."""
        angles, least = gap.least_all_round()
        return cls(angles=angles, least=least)

    def place(self, u: Floats) -> tuple[float, float]:
        """e = tanh |u| times the reach in the direction of u, a ratio to C."""
        size = float(np.hypot(u[0], u[1]))
        if size == 0.0:
            return 0.0, 0.0
        e = math.tanh(size) * self._furthest(float(u[0]), float(u[1]))
        return e * float(u[0]) / size, e * float(u[1]) / size

    def u(self, place: tuple[float, float]) -> Floats:
        """Give u of a place, a ratio to C, that leaves a gap: the inverse of :meth:`place`."""
        size = math.hypot(*place)
        if size == 0.0:
            return np.zeros(2)
        reached = min(size / self._furthest(*place), MOST_LAMBDA)
        return math.atanh(reached) * np.array(place) / size

    def _furthest(self, x: float, y: float) -> float:
        facing = (np.cos(self.angles) * x + np.sin(self.angles) * y) / math.hypot(x, y)
        ahead = facing > 0.01
        return float(np.min(self.least[ahead] / facing[ahead]))


@dataclass(frozen=True, kw_only=True, slots=True)
class _Search:
    """The film's force against the load, as a function of u."""

    level: ShapedLevel
    reach: Reach
    load: Floats

    def at(self, u: Floats) -> tuple[Found, Floats]:
        """Solve the film at u; with what is left of the compared force (2)."""
        place = self.reach.place(u)
        lands = self.level.film(place)
        wanted = self.load / float(np.hypot(self.load[0], self.load[1]))
        force = force_of(lands) / float(np.hypot(self.load[0], self.load[1]))
        size = float(np.hypot(force[0], force[1]))
        scaled = force * (math.log1p(size) / size if size > 0.0 else 1.0)
        left = force - wanted
        found = Found(
            u=u,
            slopes=np.eye(2),
            place=place,
            lands=lands,
            miss=float(np.hypot(left[0], left[1])),
        )
        return found, scaled - math.log(2.0) * wanted

    def slopes(self, u: Floats, rest: Floats) -> Floats:
        """How the compared force changes with u, by steps."""
        columns = [(self.at(u + _SLOPE_STEP * axis)[1] - rest) / _SLOPE_STEP for axis in np.eye(2)]
        return np.column_stack(columns)

    def shortened(self, found: Found, rest: Floats, step: Floats) -> tuple[Found, Floats] | None:
        """Take the step, or a part of it that betters the balance; None if none does."""
        for _ in range(_HALVINGS):
            u = found.u + step
            size = float(np.hypot(u[0], u[1]))
            if size > _FURTHEST:
                u = u * (_FURTHEST / size)
            new, left = self.at(u)
            if np.hypot(left[0], left[1]) < np.hypot(rest[0], rest[1]):
                return new, left
            step = 0.5 * step
        return None


def balance(
    *,
    level: ShapedLevel,
    reach: Reach,
    load: Floats,
    u: Floats,
    slopes: Floats | None,
    tolerance: float,
    load_n: float,
) -> Found:
    """Find u at which the film's force is ``load`` (2), to ``tolerance`` of it.

    ``slopes`` of the compared force by u, None to take them on this grid. OutOfRangeError where
    the film would have to be thinner than a thousandth of the reach, FilmNotSettledError where the
    search stalls; both name ``load_n``, the load in N.
    """
    search = _Search(level=level, reach=reach, load=load)
    found, rest = search.at(u)
    fresh = slopes is None
    j = search.slopes(u, rest) if slopes is None else slopes
    for _ in range(MOST_STEPS):
        if found.miss <= tolerance:
            return replace(found, slopes=j)
        step = np.asarray(-np.linalg.solve(j, rest), dtype=np.float64)
        at_limit = float(np.hypot(found.u[0], found.u[1])) > 0.9999 * _FURTHEST
        if at_limit and fresh and float(step @ found.u) > 0.0:
            raise _too_heavy(level.gap, load_n)
        step *= min(1.0, _LONGEST / float(np.hypot(step[0], step[1])))
        tried = search.shortened(found, rest, step) if not at_limit or fresh else None
        if tried is None:
            if fresh:
                break
            j, fresh = search.slopes(found.u, rest), True
            continue
        moved = tried[0].u - found.u
        j = j + np.outer(tried[1] - rest - j @ moved, moved) / float(moved @ moved)
        (found, rest), fresh = tried, False
    raise FilmNotSettledError(
        Fault(
            given=f"a load of {load_n:g} N",
            allowed=f"after {level.films} films the search for the journal's place ends"
            f" {found.miss * 100:.2g} % of the load out of balance",
            action="try another grid, the other condition of rupture or less supply pressure",
        )
    )


def _too_heavy(gap: ShapedGap, load_n: float) -> OutOfRangeError:
    clearance_nm = gap.bearing.radial_clearance_m * 1e9
    return OutOfRangeError(
        Fault(
            given=f"a load of {load_n:g} N",
            allowed="it would press the film under a thousandth of the radial clearance"
            f" ({clearance_nm / 1e3:.3g} nm), which no film carries",
            action="check load, speed, viscosity, clearance and the measured shape",
        )
    )
