"""One cycle of :mod:`oilwedge.film.transient`, step by step.

A step that does not settle, or that uses up more than a fifth of the film left, is taken again,
half as long: the journal cannot leave its clearance circle, and nothing is clamped. Lengths count
in C, times in crank angle, pressures in μ ω (R/C)².
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from oilwedge.film.transient_kernel import (
    COPIES,
    FREE,
    LAYERS,
    LOAD_X,
    LOAD_Y,
    SPAN,
    SPIN,
    film_step,
    gap_at,
)
from oilwedge.film.transient_lines import RIGHT
from oilwedge.film.transient_rates import PEAK, RATES, oil_held, step_rates

Floats = NDArray[np.float64]
Mask = NDArray[np.bool_]

_ROOM_A_STEP = 0.2  # of the film left
_SMALLEST_STEP = 2.0**-12  # of the way from one angle to the next
_NO_LOAD = 1e-9  # of the largest


@dataclass(frozen=True, kw_only=True, slots=True)
class Ring:
    """The cells and what holds at their edges, as :mod:`oilwedge.film.transient_kernel` has them.

    ``forms`` (1 or as many as angles, n, m): what the form of the parts adds to the gap; ``fixed``
    cells keep their pressure.
    """

    ring: Floats
    strip: Floats
    flags: Floats
    fixed: Mask
    forms: Floats

    @property
    def is_round(self) -> bool:
        """Whether the form adds nothing, so that the smallest gap is 1 − ε."""
        return not self.forms.any()


@dataclass(kw_only=True, slots=True)
class FilmState:
    """Where the journal is, and the film: pressure, film fraction, full cells; drift guesses."""

    place: Floats
    p: Floats
    theta: Floats
    film: Mask
    drift: tuple[float, float] = (0.0, 0.0)
    try_part: float = 1.0

    def oil(self, ring: Ring, node: int) -> float:
        """The oil in the gap at an angle, times 12, in units of R² C."""
        form = ring.forms[min(node, ring.forms.shape[0] - 1)]
        held = oil_held(
            ring.ring, ring.strip, float(ring.flags[COPIES]), self.place, form, self.theta
        )
        return float(held)


@dataclass(kw_only=True, slots=True)
class Cycle:
    """What one cycle gave: ``least`` gap and ``where`` of each interval, ``rates`` (intervals,
    RATES) as means (the peak as the largest), and the film where it is thinnest.

    ``stuck_at`` is the angle at which no step settled; None after a whole cycle.
    """

    path: Floats
    least: Floats
    where: Floats
    rates: Floats
    steps: int = 0
    rounds: int = 0
    stuck_at: float | None = None
    thinnest: float = math.inf
    thinnest_p: Floats = field(default_factory=lambda: np.empty((0, 0)))
    thinnest_theta: Floats = field(default_factory=lambda: np.empty((0, 0)))


def run_cycle(*, ring: Ring, angle: Floats, load: Floats, state: FilmState) -> Cycle:
    """One cycle from where ``state`` stands, which is carried to its end.

    angle: (nodes) of the crank, rad. load: (nodes, 3) W in x and y, and ω_j/ω.
    """
    count = angle.size - 1
    cycle = Cycle(
        path=np.empty((count + 1, 2)),
        least=np.full(count, math.inf),
        where=np.zeros(count),
        rates=np.zeros((count, RATES)),
    )
    cycle.path[0] = state.place[:2]
    small = _NO_LOAD * float(np.hypot(load[:, 0], load[:, 1]).max())
    stepper = _Stepper(ring=ring, state=state, small=small)
    for node in range(count):
        if not stepper.interval(angle, load, node, cycle):
            cycle.stuck_at = float(angle[node])
            break
        cycle.path[node + 1] = state.place[:2]
    return cycle


class _Stepper:
    """Steps from angle to angle, with the room to work in."""

    def __init__(self, *, ring: Ring, state: FilmState, small: float) -> None:
        n, m = state.film.shape
        self.ring, self.state, self.small = ring, state, small
        self.band, self.right = np.empty((n * m, 2 * m + 1)), np.empty((n * m, RIGHT + m))
        self.cell, self.gap = np.empty((LAYERS, n, m)), np.empty((n, m))
        self.now, self.sums = np.zeros(4), np.zeros(RATES)
        self.round = ring.is_round

    def interval(self, angle: Floats, load: Floats, node: int, cycle: Cycle) -> bool:
        """From one angle to the next; false where no step settles."""
        span = float(angle[node + 1] - angle[node])
        state, part = self.state, 0.0
        while part < 1.0:
            share = min(state.try_part, 1.0 - part)
            self.now[SPAN] = share * span
            self._aim(load, node, part + 0.5 * share)
            before = state.p.copy(), state.theta.copy(), state.film.copy()
            forms = self._form(node, part), self._form(node, part + share)
            took = self._step(forms, before[1])
            cycle.steps += 1
            cycle.rounds += took
            least, room = self._room(forms[1])
            moved = math.hypot(*(state.place[2:] - state.place[:2]))
            if took == 0 or not least > 0.0 or moved > _ROOM_A_STEP * room:
                state.p, state.theta, state.film = before
                state.drift, state.try_part = (0.0, 0.0), 0.5 * share
                if state.try_part < _SMALLEST_STEP:
                    return False
                continue
            part = 1.0 if share == 1.0 - part else part + share
            self._note(forms, share, least, float(angle[node]) + part * span, node, cycle)
            x, y = (state.place[2:] - state.place[:2]) / self.now[SPAN]
            state.drift = float(x), float(y)
            state.place[:2] = state.place[2:]
            state.try_part = min(1.0, 2.0 * share) if moved < 0.5 * _ROOM_A_STEP * room else share
        return True

    def _aim(self, load: Floats, node: int, middle: float) -> None:
        """Load and speed in the middle of a step, and a guess of the place at its end.

        Where there is no load, the journal only turns with the film.
        """
        now, place, flags = self.now, self.state.place, self.ring.flags
        now[LOAD_X], now[LOAD_Y], now[SPIN] = load[node] + (load[node + 1] - load[node]) * middle
        place[2:] = place[:2] + np.array(self.state.drift) * now[SPAN]
        flags[FREE] = 1.0
        if math.hypot(now[LOAD_X], now[LOAD_Y]) <= self.small:
            turn = 0.5 * float(now[SPIN] * now[SPAN])
            place[2] = place[0] * math.cos(turn) - place[1] * math.sin(turn)
            place[3] = place[1] * math.cos(turn) + place[0] * math.sin(turn)
            flags[FREE] = 0.0

    def _form(self, node: int, part: float) -> Floats:
        forms = self.ring.forms
        if forms.shape[0] == 1:
            return np.asarray(forms[0])
        return np.asarray(forms[node] + (forms[node + 1] - forms[node]) * part)

    def _step(self, forms: tuple[Floats, Floats], theta0: Floats) -> int:
        ring, state = self.ring, self.state
        took = film_step(
            ring.ring,
            ring.strip,
            ring.flags,
            ring.fixed,
            self.now,
            forms[0],
            forms[1],
            state.place,
            theta0,
            state.p,
            state.theta,
            state.film,
            self.band,
            self.right,
            self.cell,
        )
        return int(took)

    def _room(self, form: Floats) -> tuple[float, float]:
        """The smallest gap at the step's end, and the gap by which its length is judged."""
        x0, y0, x, y = self.state.place
        if self.round:
            return 1.0 - math.hypot(x, y), 1.0 - math.hypot(x0, y0)
        gap_at(self.ring.ring, x, y, form, self.gap)
        least = float(self.gap.min())
        return least, least

    def _note(
        self,
        forms: tuple[Floats, Floats],
        share: float,
        least: float,
        angle: float,
        node: int,
        cycle: Cycle,
    ) -> None:
        """Enter a step into the record of its interval."""
        ring, state = self.ring, self.state
        x, y = 0.5 * (state.place[:2] + state.place[2:])
        gap_at(ring.ring, float(x), float(y), 0.5 * (forms[0] + forms[1]), self.gap)
        step_rates(
            ring.strip,
            ring.flags,
            ring.fixed,
            float(self.now[SPIN]),
            self.gap,
            state.p,
            state.theta,
            self.cell,
            self.sums,
        )
        peak = max(float(cycle.rates[node, PEAK]), float(self.sums[PEAK]))
        cycle.rates[node] += share * self.sums
        cycle.rates[node, PEAK] = peak
        if least < cycle.least[node]:
            cycle.least[node], cycle.where[node] = least, angle
        if least < cycle.thinnest:
            cycle.thinnest = least
            cycle.thinnest_p, cycle.thinnest_theta = state.p.copy(), state.theta.copy()
