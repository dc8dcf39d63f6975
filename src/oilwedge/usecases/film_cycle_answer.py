"""What the oil films of a whole engine are like: one answer for each condition of its duty."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from oilwedge.engine.model import Engine
from oilwedge.fits.verdict import State

if TYPE_CHECKING:
    from oilwedge.engine.running import Condition
    from oilwedge.film.cycle_film import CycleFilm
    from oilwedge.film.film_shape import FilmShape
    from oilwedge.film.oil import Oil
    from oilwedge.film.transient import TransientOrbit
    from oilwedge.film.virtual_builds import BuildBand
    from oilwedge.usecases.crank_loads import BearingLoad, EngineLoads

__all__ = ["BearingFilm", "EngineFilm", "LeftOut", "ReferenceFilm"]


TOUCHING_SHAPE = 0.6
"""Of the film: a measured form that takes more leaves the figure for round parts without ground."""
HOTTEST_OIL_C = 200.0
"""The laws of the oil end there (oilwedge.film.oil)."""


@dataclass(frozen=True, kw_only=True, slots=True)
class ReferenceFilm:
    """The same bearing by the reference route: the whole film in time, step by step.

    At the running clearance and the viscosity of the quick route. ``film``: round, straight parts
    with the quick route's own rupture (Reynolds) and open ends, so that what differs is the
    method; ``mass_conserving``: a film that keeps its oil, ends in oil, so that what differs is
    physics; ``shaped``: as ``film``, with taper, barrel and out-of-round as measured and the relief
    of the shells, None where none of them is known. None too where that route has no answer:
    ``notes`` say why.
    """

    film: TransientOrbit | None
    mass_conserving: TransientOrbit | None
    shaped: TransientOrbit | None
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class LeftOut:
    """A bearing without an answer: its title, and why (a phrase)."""

    key: str
    title: str
    why: str


@dataclass(frozen=True, kw_only=True, slots=True)
class BearingFilm:
    """One bearing at one condition, with its clearance as measured.

    ``cold_clearance_m``: mean diametral clearance at 20 °C, with its standard uncertainty
    ``clearance_u_m``. ``mid_limit_m``: the middle of the build limits in force; ``at_mid_limit``
    the same bearing with that clearance. ``band``: where the film lies with all that is uncertain.
    ``shape``: taper, barrel and out-of-round as measured, and the relief of the shells;
    ``shape_gap_m``: how much that takes off the radial gap at the worst place of it, at the most.
    ``thinnest_share``: in which share of the virtual builds it is the bearing with the least film.
    ``sentence``: what it comes to, in plain words.
    """

    load: BearingLoad
    cold_clearance_m: float
    clearance_u_m: float
    state: State
    film: CycleFilm
    shape: FilmShape
    shape_gap_m: float = 0.0
    mid_limit_m: float | None = None
    at_mid_limit: CycleFilm | None = None
    band: BuildBand | None = None
    thinnest_share: float | None = None
    reference: ReferenceFilm | None = None
    sentence: str = ""

    @property
    def overheats(self) -> bool:
        """Whether its oil would leave hotter than the laws of an oil hold for."""
        return self.film.outlet_temperature_c > HOTTEST_OIL_C

    @property
    def may_touch(self) -> bool:
        """Whether the measured form takes so much of the film that the parts may touch."""
        return self.shape_gap_m > TOUCHING_SHAPE * self.minimum_film_m

    @property
    def stands(self) -> bool:
        """Whether the film of round parts is a figure to lean on."""
        return not (self.overheats or self.may_touch)

    @property
    def minimum_film_m(self) -> float:
        """The smallest film of the cycle."""
        return self.film.orbit.minimum_film_m

    @property
    def change_from_mid_limit(self) -> float | None:
        """By what share the smallest film differs from that at mid-limit; negative: thinner."""
        if self.at_mid_limit is None:
            return None
        return self.minimum_film_m / self.at_mid_limit.orbit.minimum_film_m - 1.0


@dataclass(frozen=True, kw_only=True, slots=True)
class EngineFilm:
    """All bearings of an engine at one condition: rods then mains, in order.

    ``oil``: what was calculated with, named ``oil_name``, supplied at ``supply_temperature_c``;
    ``oil_words`` says what it stands for. ``chosen_film_m``: below which the share of the cycle is
    counted, and ``chosen_from`` says where that number is from. ``left_out``: bearings without an
    answer. ``assumptions``: every rule of thumb that was used, in words. ``sentences``: what it
    comes to for the engine as a whole. ``draws`` and ``seed`` of the bands; 0 draws: no bands.
    """

    engine: Engine
    condition: Condition
    loads: EngineLoads
    oil: Oil
    oil_name: str
    oil_words: str
    supply_temperature_c: float
    chosen_film_m: float
    chosen_from: str
    bearings: tuple[BearingFilm, ...]
    left_out: tuple[LeftOut, ...]
    sentences: tuple[str, ...]
    assumptions: tuple[str, ...]
    notes: tuple[str, ...]
    draws: int
    seed: int

    @property
    def thinnest(self) -> BearingFilm | None:
        """The bearing that runs on the thinnest film; None where none has an answer."""
        return min(self.bearings, key=lambda one: one.minimum_film_m, default=None)

    def bearing(self, key: str) -> BearingFilm | None:
        """The bearing of a key ("rod 2"), if it has an answer."""
        return next((one for one in self.bearings if one.load.key == key), None)
