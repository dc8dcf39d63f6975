"""What a judgement says of a bearing that a film needs: its clearance, how sure, its shape."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from oilwedge.engine.model import Fit, Shape, WayKind
from oilwedge.fits.verdict import Doubt, State
from oilwedge.metrology.extremes import debiased_magnitude
from oilwedge.metrology.form import FormFit
from oilwedge.uncertainty.quantity import Quantity, linear_combination
from oilwedge.usecases.judgement import FitResult, Judgement

if TYPE_CHECKING:
    from oilwedge.film.film_shape import FilmShape

__all__ = ["MeasuredBearing", "Unmeasured", "measured_bearing", "shape_gap_m"]

_AROUND, _ALONG = 72, 21


@dataclass(frozen=True, kw_only=True, slots=True)
class MeasuredBearing:
    """A bearing's mean diametral clearance at 20 °C with its standard uncertainty, m.

    ``mid_limit_m``: the middle of the build limits in force, None where one of them is missing.
    """

    clearance_m: float
    clearance_u_m: float
    state: State
    mid_limit_m: float | None
    shape: FilmShape


@dataclass(frozen=True, kw_only=True, slots=True)
class Unmeasured:
    """Why a bearing has no clearance to calculate with, as a phrase."""

    why: str


def measured_bearing(
    *, judgement: Judgement, fit_key: str, number: int, width_m: float, bore_relief_m: float = 0.0
) -> MeasuredBearing | Unmeasured:
    """The clearance of one bearing as the judgement has it, or why it has none.

    Nothing is taken from readings that contradict each other, wait for an answer, or were taken
    with an instrument that failed its zero check. ``width_m`` of the shell, over which taper and
    barrel are given; ``bore_relief_m`` of the shells goes into the shape as it is.
    """
    result = next(
        (one for one in judgement.fits if (one.key, one.number) == (fit_key, number)), None
    )
    if result is None:
        known = judgement.engine.fits.get(fit_key)
        if known is not None and number in known.numbers:
            return Unmeasured(why="it is still being measured")
        return Unmeasured(why="the engine file has no oil clearance for it")
    why = _why_not(result)
    mean = result.measurement.evidence.mean
    if why or mean is None:
        return Unmeasured(why=why or "not measured")
    if mean.value <= 0.0:
        return Unmeasured(why="the measured parts leave no clearance to build a film in")
    limits = result.verdict.limits
    middle = None
    if limits.low_m is not None and limits.high_m is not None:
        middle = 0.5 * (limits.low_m + limits.high_m)
    return MeasuredBearing(
        clearance_m=mean.value,
        clearance_u_m=mean.standard_uncertainty,
        state=result.verdict.state,
        mid_limit_m=middle if middle is not None and middle > 0.0 else None,
        shape=_shape(judgement, result, width_m=width_m, bore_relief_m=bore_relief_m),
    )


def _why_not(result: FitResult) -> str:
    measurement, doubt = result.measurement, result.verdict.doubt
    if measurement.disagree:
        return "its readings disagree, and no average is taken"
    if doubt is Doubt.QUESTION:
        return "a question about a reading is open"
    if doubt is Doubt.ZERO_CHECK:
        return "the instrument failed its zero check, so its readings are in doubt"
    evidence = measurement.evidence
    if evidence.mean is None:
        return "not measured" if evidence.empty else "its readings say only at least or at most"
    return ""


def _shape(
    judgement: Judgement, result: FitResult, *, width_m: float, bore_relief_m: float
) -> FilmShape:
    """Taper and barrel of the journal less those of the bore, and the journal's oval.

    From the fitted forms with the noise taken out, over the width of the shell. What nobody looked
    for is 0.
    """
    from oilwedge.film.film_shape import FilmShape

    journal, bore = _forms(judgement, result.fit, result.number, width_m=width_m)
    pairs = [(1.0, journal), (-1.0, bore)]
    slopes = [(f * -2.0, one.slope) for f, one in pairs if one is not None and one.slope]
    taper = linear_combination(terms=slopes) if slopes else None
    barrels = [(f, one.barrel) for f, one in pairs if one is not None and one.barrel]
    barrel = linear_combination(terms=barrels) if barrels else None
    oval, high = 0.0, 0.0
    if journal is not None and journal.lobe_cos is not None and journal.lobe_sin is not None:
        lobe = [journal.lobe_cos * 2.0, journal.lobe_sin * 2.0]
        oval = debiased_magnitude(components=lobe, key=f"{result.label}:film oval").value
        high = 0.5 * math.atan2(lobe[1].value, lobe[0].value)

    return FilmShape(
        journal_taper_m=_signed(taper, key=f"{result.label}:film taper"),
        journal_barrel_m=_signed(barrel, key=f"{result.label}:film barrel"),
        journal_out_of_round_m=oval,
        journal_high_angle_rad=high,
        bore_relief_m=bore_relief_m,
    )


def _signed(quantity: Quantity | None, *, key: str) -> float:
    """A difference with its sign, its size without what noise adds to it."""
    if quantity is None:
        return 0.0
    size = debiased_magnitude(components=[quantity], key=key).value
    return math.copysign(size, quantity.value)


def _forms(
    judgement: Judgement, fit: Fit, number: int, *, width_m: float
) -> tuple[FormFit | None, FormFit | None]:
    """The fitted forms of journal and bore with shells, each over the width of the shell."""
    gauged = next((way for way in fit.ways if way.kind is WayKind.GAUGED), None)
    found: dict[Shape, FormFit] = {}
    for term in gauged.terms if gauged is not None else ():
        size = judgement.sizes.get((term.feature, number))
        feature = judgement.engine.features[term.feature]
        if size is not None and size.form is not None:
            found[feature.shape] = _over_width(size.form, feature.length_m, width_m)
    return found.get(Shape.OUTSIDE), found.get(Shape.INSIDE)


def _over_width(form: FormFit, length_m: float | None, width_m: float) -> FormFit:
    """The form over the width of the shell instead of the length that was read."""
    if not length_m or length_m <= width_m:
        return form
    share = width_m / length_m
    return replace(
        form,
        slope=None if form.slope is None else form.slope * share,
        barrel=None if form.barrel is None else form.barrel * (share * share),
    )


def shape_gap_m(shape: FilmShape) -> float:
    """By how much the measured shape narrows the radial gap at its narrowest place, at the most.

    Without the relief of the shells, which is meant to be there.
    """
    import numpy as np

    width_m = 1.0
    change = replace(shape, bore_relief_m=0.0).gap_change_m(
        angle_rad=np.linspace(0.0, 2.0 * math.pi, _AROUND, endpoint=False)[:, None]
        + shape.journal_high_angle_rad,
        place_m=np.linspace(-0.5, 0.5, _ALONG)[None, :] * width_m,
        width_m=width_m,
    )
    return max(0.0, -float(change.min()))
