"""In words, under what conditions a journal's path was found."""

from __future__ import annotations

from typing import Final

from oilwedge.film.bearing import Rupture
from oilwedge.film.path_groove import PathGroove
from oilwedge.units import format_number
from oilwedge.usecases.film_groove import groove_words
from oilwedge.usecases.film_path import PathAnswer

CONDITIONS: Final = "rigid, round and parallel parts; one viscosity"
_REYNOLDS: Final = "rupture by the Reynolds condition"
_KEEPS: Final = "rupture mass-conserving: the cavity holds the oil that it was given"
_OPEN: Final = "ends open to the surroundings"
_FLOODED: Final = "ends flooded: the cavity is a vacuum and draws oil in"
GRID_WORDS: Final = (
    "with the oil kept, this grid leaves the film some per cent too thin (about 4 % in the case"
    " tried): most of the difference to the mobility route may be that"
)
_ROUTES: Final = {
    PathGroove.NONE: "mobility on a map of finite width",
    PathGroove.FULL: "mobility on a map of finite width, for each land",
    PathGroove.HALF: "mobility on a map fixed to the bearing",
    PathGroove.HOLE: "mobility on a map fixed to the bearing",
}


def route_words(answer: PathAnswer) -> str:
    """The route in a few words."""
    if answer.transient is None:
        return _ROUTES[answer.groove.kind]
    grid = answer.transient.grid
    return f"transient: the whole film at every step, {grid.around} lines round the bearing"


def conditions(answer: PathAnswer) -> str:
    """Groove, ends, parts, viscosity and rupture."""
    groove, orbit = groove_words(answer.groove), answer.transient
    if orbit is None:
        return f"{groove}, {_OPEN}; {CONDITIONS}; {_REYNOLDS}"
    if answer.supply_pressure_pa > 0.0:
        bar = format_number(value=answer.supply_pressure_pa / 1e5, decimals=1)
        groove = groove.replace("at ambient pressure", f"at {bar} bar over the surroundings")
    ends = _OPEN if orbit.ends.value == "open" else _FLOODED
    rupture = _KEEPS if orbit.rupture is Rupture.MASS_CONSERVING else _REYNOLDS
    return f"{groove}, {ends}; {CONDITIONS}; {rupture}"
