"""An out-of-round journal under a steady load: its middle follows the turning shape.

The oval pushes the middle about twice a revolution, and where the film is thin the middle gives
way: taken turn by turn as if it stood still, an oval would seem to cost several times the film that
it does. So the middle's motion is followed, at each turn with the speed (v_x, v_y) at which the
film, squeezed by it, carries the load, until half a turn of the journal repeats the last; over the
first half turn the oval grows to its size, so that the middle is never asked to jump. What is left
out is that the oil in the cavity takes time to follow (quasi-steady in the film fraction).
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from oilwedge.errors import Fault, OutOfRangeError
from oilwedge.film.bearing import Bearing, Rupture
from oilwedge.film.feed_place import AT_LARGEST_GAP, Feed, FeedPlace
from oilwedge.film.film_grid import FilmGrid
from oilwedge.film.film_shape import FilmShape
from oilwedge.film.shaped_case import ShapedCase
from oilwedge.film.shaped_film import DEFAULT_GRID, ShapedFilm, level_at, solve_case
from oilwedge.film.shaped_gap import ShapedGap
from oilwedge.film.shaped_search import ShapedLevel, force_of
from oilwedge.film.unit_film import FilmNotSettledError

Floats = NDArray[np.float64]

MOST_HALF_TURNS = 30
REPEATS = 2e-3  # of the thinnest film: how well half a turn has to repeat
_CARRIES = 1e-5  # of the load
_ROUNDS = 25
_SPEED_STEP = 1e-3
_LEAST_GAP = 1e-3


def solve_turning(
    *,
    bearing: Bearing,
    shape: FilmShape,
    feed: FeedPlace = AT_LARGEST_GAP,
    viscosity_pa_s: float,
    speed_rad_s: float,
    load_n: float,
    load_angle_rad: float = 0.0,
    rupture: Rupture = Rupture.REYNOLDS,
    grid: FilmGrid = DEFAULT_GRID,
    turns: int = 36,
) -> tuple[ShapedFilm, tuple[tuple[float, float], ...]]:
    """Find the film at the worst of ``turns`` turns of an out-of-round journal.

    The turns are spread over half a revolution, after which an oval repeats; the path is followed
    on the grid of twice the step, where there is one, and the worst moment solved on the grid
    itself. Gives its film, and each turn in rad with its minimum film in m on the path. A journal
    that is not out of round has one turn. Errors as :func:`~oilwedge.film.shaped_film.solve_shaped`
    and FilmNotSettledError for a path that does not repeat.
    """
    case = ShapedCase(
        bearing=bearing,
        shape=shape,
        feed=feed,
        viscosity_pa_s=viscosity_pa_s,
        speed_rad_s=speed_rad_s,
        load_n=load_n,
        load_angle_rad=load_angle_rad,
        rupture=rupture,
        grid=grid,
    )
    if shape.journal_out_of_round_m == 0.0:
        film = solve_case(case=case)
        return film, ((0.0, film.minimum_film_m),)
    moments = _followed(replace(case, grid=grid.coarser() or grid), turns)
    worst = min(moments, key=lambda moment: moment.gap)
    film = solve_case(case=case, turn_rad=worst.turn_rad, whirl=worst.whirl, start=worst.place)
    clearance = bearing.radial_clearance_m
    return film, tuple((moment.turn_rad, moment.gap * clearance) for moment in moments)


@dataclass(frozen=True, kw_only=True, slots=True)
class _Moment:
    """Turn of the journal, its place in C and the rate of that by ω t, and the least gap in C."""

    turn_rad: float
    place: tuple[float, float]
    whirl: tuple[float, float]
    gap: float


def _followed(case: ShapedCase, turns: int) -> list[_Moment]:
    """Half a turn of the journal that repeats the one before."""
    mean_shape = replace(case.shape, journal_out_of_round_m=0.0)
    mean = solve_case(case=replace(case, shape=mean_shape))
    clearance = case.bearing.radial_clearance_m
    place = np.array([mean.ex_m, mean.ey_m]) / clearance
    inner = 0.5 * case.feed.width_m if case.feed.kind is Feed.CIRCUMFERENTIAL else 0.0
    ShapedGap(bearing=case.bearing, shape=case.shape, inner_m=inner)  # refuses one that is closed
    gap = ShapedGap(bearing=case.bearing, shape=mean_shape, inner_m=inner)
    level = level_at(case=case, gap=gap, grid=case.grid, place=(place[0], place[1]))
    towards = np.array([math.cos(case.load_angle_rad), math.sin(case.load_angle_rad)])
    load = case.load_n / (case.pressure_unit_pa * case.bearing.radius_m**2) * towards
    angles, least_of_mean = gap.least_all_round()
    speeds = _Speeds(
        level=level,
        load=load,
        load_n=case.load_n,
        angles=angles,
        least_of_mean=least_of_mean,
    )
    step = math.pi / turns
    for half_turn in range(MOST_HALF_TURNS):
        moments = []
        before = place
        for number in range(turns):
            turn = number * step
            grown = min(1.0, half_turn + number / turns)
            oval = grown * case.shape.journal_out_of_round_m
            level.shape = replace(case.shape, journal_out_of_round_m=oval)
            speed, least = speeds.at(place, turn)
            moments.append(
                _Moment(
                    turn_rad=turn,
                    place=(float(place[0]), float(place[1])),
                    whirl=(float(speed[0]), float(speed[1])),
                    gap=least,
                )
            )
            half = place + 0.5 * step * speed
            place = place + step * speeds.at(half, turn + 0.5 * step)[0]
        thinnest = min(moment.gap for moment in moments)
        if half_turn and float(np.hypot(*(place - before))) < REPEATS * thinnest:
            return moments
    raise FilmNotSettledError(
        Fault(
            given=f"{case.shape.journal_out_of_round_m * 1e6:g} µm out of round",
            allowed=f"the journal's path does not repeat within {MOST_HALF_TURNS} half turns",
            action="give more load, or leave out-of-round out",
        )
    )


@dataclass(kw_only=True, slots=True)
class _Speeds:
    """The speed of the journal's middle at which the film carries the load."""

    level: ShapedLevel
    load: Floats
    load_n: float
    angles: Floats
    least_of_mean: Floats
    speed: Floats | None = None
    slopes: Floats | None = None

    def at(self, place: Floats, turn_rad: float) -> tuple[Floats, float]:
        """Find the speed at a place and turn, by ω t in C, and the least gap there in C."""
        self.level.turn_rad = turn_rad
        speed = np.zeros(2) if self.speed is None else self.speed
        rest = self._rest(place, speed)
        fresh = self.slopes is None
        slopes = self._slopes(place, speed, rest) if self.slopes is None else self.slopes
        for _ in range(_ROUNDS):
            size = float(np.hypot(rest[0], rest[1]))
            if size < _CARRIES:
                self.speed, self.slopes = speed, slopes
                return speed, self._least(place)
            step = -np.linalg.solve(slopes, rest)
            tried = self._rest(place, speed + step)
            if float(np.hypot(tried[0], tried[1])) > 0.5 * size and not fresh:
                slopes, fresh = self._slopes(place, speed, rest), True
                continue
            while float(np.hypot(tried[0], tried[1])) > size and float(np.hypot(*step)) > 1e-9:
                step = 0.5 * step
                tried = self._rest(place, speed + step)
            length = float(step @ step)
            slopes = slopes + np.outer(tried - rest - slopes @ step, step) / length
            speed, rest, fresh = speed + step, tried, False
        raise FilmNotSettledError(
            Fault(
                given=f"a load of {self.load_n:g} N",
                allowed="the speed of the journal's middle was not found at a turn of"
                f" {math.degrees(turn_rad):.0f}°",
                action="try another grid or the other condition of rupture",
            )
        )

    def _rest(self, place: Floats, speed: Floats) -> Floats:
        self.level.whirl = (float(speed[0]), float(speed[1]))
        if self._least(place) < _LEAST_GAP:
            clearance_nm = self.level.gap.bearing.radial_clearance_m * 1e9
            raise OutOfRangeError(
                Fault(
                    given=f"a load of {self.load_n:g} N",
                    allowed="with the measured shape it would press the film under a thousandth of"
                    f" the radial clearance ({clearance_nm / 1e3:.3g} nm), which no film carries",
                    action="check load, speed, viscosity, clearance and the measured shape",
                )
            )
        force = force_of(self.level.film((float(place[0]), float(place[1]))))
        return np.asarray((force - self.load) / float(np.hypot(self.load[0], self.load[1])))

    def _slopes(self, place: Floats, speed: Floats, rest: Floats) -> Floats:
        columns = [
            (self._rest(place, speed + _SPEED_STEP * axis) - rest) / _SPEED_STEP
            for axis in np.eye(2)
        ]
        return np.column_stack(columns)

    def _least(self, place: Floats) -> float:
        """Least gap in C: an oval changes it alike all along the width."""
        oval = self.level.shape.turning_gap_m(
            angle_rad=self.angles, journal_turn_rad=self.level.turn_rad
        )
        off = place[0] * np.cos(self.angles) + place[1] * np.sin(self.angles)
        clearance = self.level.gap.bearing.radial_clearance_m
        return float(np.min(self.least_of_mean + oval / clearance - off))
