"""One bearing by the reference route: the whole film in time, beside the quick answer."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING

from oilwedge.errors import InputError
from oilwedge.usecases.film_cycle_answer import BearingFilm, ReferenceFilm

if TYPE_CHECKING:
    from oilwedge.film.bearing import Bearing
    from oilwedge.film.bearing_case import BearingCase
    from oilwedge.film.transient import TransientOrbit

__all__ = ["with_reference"]


def with_reference(
    one: BearingFilm, *, case: BearingCase, progress: Callable[[str], None]
) -> BearingFilm:
    """The bearing with the reference route beside it; ``progress`` hears which run begins.

    The clearance counts as the mean of the whole bore with the relief of its shells: shells are
    measured across the crown, where they are thickest, so half the relief is added for that run.
    """
    from oilwedge.film.bearing import Rupture
    from oilwedge.film.film_shape import ROUND, FilmShape
    from oilwedge.film.path_groove import PathGroove
    from oilwedge.film.transient import Ends, solve_transient

    notes: list[str] = []
    name = one.load.title

    def run(
        what: str, bearing: Bearing, rupture: Rupture, ends: Ends, shape: FilmShape = ROUND
    ) -> TransientOrbit | None:
        progress(f"{name}: reference route, {what} ...")
        try:
            found = solve_transient(
                history=case.history,
                bearing=bearing,
                viscosity_pa_s=one.film.viscosity_pa_s,
                rupture=rupture,
                ends=ends,
                shape=shape,
            )
        except InputError as error:
            notes.append(f"For {what} it has no answer: {error.faults[0].allowed.rstrip('.')}.")
            return None
        if not found.converged:
            notes.append(
                f"For {what} it has no answer: the path does not close within {found.cycles} cycles"
                f" (residual {found.residual:.1e}, 1e-4 allowed)."
            )
            return None
        return found

    if case.groove is PathGroove.HALF:
        notes.append(
            "It takes the bearing without its half groove, so that this too is in the difference."
        )
    plain = _bearing(case, one.film.hot_clearance_m)
    film = run("round parts", plain, Rupture.REYNOLDS, Ends.OPEN)
    kept = run("a film that keeps its oil", plain, Rupture.MASS_CONSERVING, Ends.FLOODED)
    shaped = None
    if not one.shape.is_round:
        wider = _bearing(case, one.film.hot_clearance_m + 0.5 * one.shape.bore_relief_m)
        shaped = run("parts as measured", wider, Rupture.REYNOLDS, Ends.OPEN, one.shape)
    reference = ReferenceFilm(film=film, mass_conserving=kept, shaped=shaped, notes=tuple(notes))
    return replace(one, reference=reference)


def _bearing(case: BearingCase, clearance_m: float) -> Bearing:
    """A groove all round parts it in two lands; other openings are not in this route."""
    from oilwedge.film.bearing import Bearing, Groove
    from oilwedge.film.path_groove import PathGroove

    full = case.groove is PathGroove.FULL
    return Bearing(
        diameter_m=case.diameter_m,
        width_m=case.width_m,
        diametral_clearance_m=clearance_m,
        groove=Groove.CIRCUMFERENTIAL if full else Groove.NONE,
        groove_width_m=case.groove_width_m if full else 0.0,
    )
