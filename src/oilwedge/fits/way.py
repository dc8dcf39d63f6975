"""One way of getting at a fit, carried out: sizes in, the fit's mean, tightest and loosest out."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from oilwedge.engine.model import Fit, Judged, JudgedAt, Shape, Way, WayKind
from oilwedge.fits.evidence import Evidence
from oilwedge.metrology.form import FormFit, combined_extremes
from oilwedge.metrology.size import UNSEEN_FORM_M, SizeEstimate
from oilwedge.uncertainty.quantity import (
    ErrorSource,
    Quantity,
    SourceKind,
    exact,
    linear_combination,
)

LARGE_FORM_M = 3.0e-6  # taper or out-of-round from which on two places or directions are too few
# What a journal may have of form that nobody read: makers allow 2 to 20 µm, most of them 5 or 10.
UNREAD_FORM_M = 5.0e-6


@dataclass(frozen=True, kw_only=True, slots=True)
class WayResult:
    """What one way says of a fit.

    ``missing`` are the features without a usable size, so that this way gives nothing;
    ``smallest_at`` and ``largest_at`` are positions along the axis (-1 front, +1 rear), None
    where the places did not differ.
    """

    way: Way
    evidence: Evidence
    missing: tuple[str, ...] = ()
    smallest_at: float | None = None
    largest_at: float | None = None
    taper: Quantity | None = None

    @property
    def usable(self) -> bool:
        """Whether it gives a size and not only a bound."""
        return self.evidence.mean is not None


CROWN_DEG = 0.0  # the catalogue counts directions in a housing from square to the split


def _across_the_crown(form: FormFit, *, shape: Shape, way: WayKind) -> FormFit:
    """Take a bare housing where its shells are thickest: square to the split.

    Shells are thinner towards the split on purpose, so the housing's own out-of-round does not
    reach the film; only its size at the crown does.
    """
    if way is WayKind.WALLS and shape is Shape.INSIDE:
        return form.along(angle_deg=CROWN_DEG)
    return form


def _zeroed_at(
    fit: Fit, way: Way, sizes: Mapping[str, SizeEstimate]
) -> list[tuple[float, FormFit]]:
    """The form of the journal that a gauge was zeroed at, where the journal was measured.

    The gauge reads the bore against one spot of the journal: the journal's mean is in the reading
    and must not count again, but where the journal is thicker the clearance is smaller.
    """
    if way.kind is not WayKind.ZEROED_GAUGE:
        return []
    gauged = next((one for one in fit.ways if one.kind is WayKind.GAUGED), None)
    forms = []
    for term in gauged.terms if gauged is not None else ():
        size = sizes.get(term.feature)
        if term.coefficient < 0 and size is not None and size.form is not None:
            forms.append((term.coefficient, replace(size.form, mean=exact(0.0))))
    return forms


def _zeroing_spot(forms: Sequence[tuple[float, FormFit]], label: str) -> Quantity:
    """What it leaves open at which spot of the journal the gauge was zeroed.

    The root mean square of the journal's form over its length and all directions, as far as it
    goes beyond the unseen form that is in every zeroed gauge already.
    """
    square = sum(
        _seen(form.slope) ** 2 / 3.0
        + _seen(form.barrel) ** 2 * 4.0 / 45.0
        + (_seen(form.lobe_cos) ** 2 + _seen(form.lobe_sin) ** 2) / 2.0
        for _, form in forms
    )
    extra = math.sqrt(max(0.0, square - UNSEEN_FORM_M**2 / 3.0))
    source = ErrorSource(
        key=f"zeroing spot:{label}",
        kind=SourceKind.FORM,
        words="spot of the journal at which the gauge was zeroed",
    )
    return Quantity(0.0, {source: extra}) if extra else exact(0.0)


def _seen(term: Quantity | None) -> float:
    """A part of the form (m) without its noise: √max(0, c² − u²), 0 where nobody looked."""
    if term is None:
        return 0.0
    return math.sqrt(max(0.0, term.value**2 - term.variance))


def hidden_form_m(forms: Sequence[tuple[float, FormFit]]) -> float:
    """What the plan may hide of a form that it shows to be large, at the tightest place, in metres.

    Two directions show one component of an oval and two places no barrel. Where what they show
    is over :data:`LARGE_FORM_M`, as much again may hide between the directions, and half as much
    between the places. Common practice, no source; below that the floor in the size stands for it.
    """
    hidden = 0.0
    for factor, form in forms:
        sections = [one.form for one in form.sections] or [form]
        oval = max(math.hypot(_seen(one.lobe_cos), _seen(one.lobe_sin)) for one in sections)
        if form.lobes == 1 and 2.0 * oval > LARGE_FORM_M:
            hidden += abs(factor) * oval
        if form.barrel is None and 2.0 * _seen(form.slope) > LARGE_FORM_M:
            hidden += abs(factor) * 0.5 * _seen(form.slope)
    return hidden


def _unread_form_m(way: Way, counterpart: Sequence[tuple[float, FormFit]]) -> float:
    """A gauge was zeroed at a journal that nobody measured: its form stays open."""
    return UNREAD_FORM_M if way.kind is WayKind.ZEROED_GAUGE and not counterpart else 0.0


def _way_error(way: Way, label: str) -> Quantity:
    """Give what the way itself leaves open, such as shell crush, as an error of value zero."""
    if way.extra_standard_uncertainty_m == 0.0:
        return exact(0.0)
    source = ErrorSource(
        key=f"way:{way.key}:{label}", kind=SourceKind.CRUSH, words="nip of the shells"
    )
    return Quantity(0.0, {source: way.extra_standard_uncertainty_m})


def _bounds(fit: Fit, way: Way, sizes: Mapping[str, SizeEstimate]) -> Evidence:
    """Give the bounds of a way that reads the fit itself; others carry none, nor does a form."""
    if len(way.terms) != 1 or fit.judged is not Judged.SIZE:
        return Evidence()
    (term,) = way.terms
    size = sizes.get(term.feature)
    if size is None or term.coefficient <= 0:
        return Evidence()

    def scaled(bound_m: float | None) -> float | None:
        return None if bound_m is None else bound_m * term.coefficient

    return Evidence(
        at_least_m=scaled(size.at_least_m),
        at_most_m=scaled(size.at_most_m),
        everywhere_at_least_m=scaled(size.everywhere_at_least_m),
        everywhere_at_most_m=scaled(size.everywhere_at_most_m),
    )


def _form_evidence(*, fit: Fit, size: SizeEstimate) -> Evidence:
    """Judge the form of one feature: its taper or its out-of-round."""
    judged = size.taper if fit.judged is Judged.TAPER else size.out_of_round
    if judged is None:
        return Evidence()
    if fit.judged is Judged.TAPER and fit.per_length_m is not None:
        if not size.length_m:
            return Evidence()  # over which length it was read is not known
        judged = judged * (fit.per_length_m / size.length_m)
    return Evidence(mean=judged, smallest=judged, largest=judged)


def measure_way(
    *,
    fit: Fit,
    way: Way,
    label: str,
    sizes: Mapping[str, SizeEstimate],
    shapes: Mapping[str, Shape],
) -> WayResult:
    """Carry out one way of measuring a fit: clearance = sum of coefficient times size.

    The forms of the sizes are added term by term (mean, slope, barrel, two-lobed part), and the
    tightest and loosest place come from the sum, so that what the features share cancels.
    ``sizes`` holds the estimates by feature key; ``label`` names the fit ("rod bearing 3").
    """
    missing = tuple(
        term.feature
        for term in way.terms
        if term.feature not in sizes or sizes[term.feature].form is None
    )
    if missing:
        return WayResult(way=way, evidence=_bounds(fit, way, sizes), missing=missing)
    if fit.judged is not Judged.SIZE:
        evidence = _form_evidence(fit=fit, size=sizes[way.terms[0].feature])
        lacking = (way.terms[0].feature,) if evidence.empty else ()
        return WayResult(way=way, evidence=evidence, missing=lacking)
    forms = [
        (
            term.coefficient,
            _across_the_crown(
                _form_of(sizes[term.feature]), shape=shapes[term.feature], way=way.kind
            ),
        )
        for term in way.terms
    ]
    counterpart = _zeroed_at(fit, way, sizes)
    error = _way_error(way, label) + _zeroing_spot(counterpart, label)
    mean = linear_combination(
        terms=[*((factor, form.mean) for factor, form in forms), (1.0, error)]
    )
    forms += counterpart
    found = combined_extremes(terms=forms, key=f"{label}:{way.key}")
    slopes = [(factor, form.slope) for factor, form in forms if form.slope is not None]
    # A mean holds whatever form hides; not so the spot at which a gauge was zeroed.
    at_extremes = JudgedAt.EXTREME in (fit.low_judged_at, fit.high_judged_at)
    hidden_m = hidden_form_m(forms) if at_extremes else 0.0
    evidence = replace(
        _bounds(fit, way, sizes),
        mean=mean,
        smallest=found.smallest + error if fit.low_judged_at is JudgedAt.EXTREME else mean,
        largest=found.largest + error if fit.high_judged_at is JudgedAt.EXTREME else mean,
        hidden_form_m=hidden_m + _unread_form_m(way, counterpart),
    )
    return WayResult(
        way=way,
        evidence=evidence,
        smallest_at=found.smallest_at,
        largest_at=found.largest_at,
        taper=linear_combination(terms=[(2.0 * f, slope) for f, slope in slopes])
        if slopes
        else None,
    )


def _form_of(size: SizeEstimate) -> FormFit:
    if size.form is None:  # the caller has looked; this keeps the types honest
        raise ValueError(f"{size.label} has no fitted form")
    return size.form
