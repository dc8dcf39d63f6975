"""The form of a bore, journal or cylinder, fitted to readings at places and in directions.

Model of the local diameter (or wall, or gap), with z from −1 at the front end of the length to +1
at the rear end, and θ the direction (a two-point reading does not tell θ from θ + 180°)::

    d(z, θ) = mean + slope·z + barrel·(1/3 − z²) + lobe_cos·cos 2θ + lobe_sin·sin 2θ

The average of ``1/3 − z²`` over the length is 0, so ``mean`` is the average diameter, and
``barrel`` is the middle minus the ends (negative: hourglass). Only what the places and directions
can carry is fitted: slope from 2 places on, barrel from 3, the lobe from 2 directions on (two
directions show one component of it; the other is taken as 0, the least-norm solution). Every
coefficient is a weighted sum of the readings, so an error that all readings share moves the mean
and leaves taper and out-of-round alone.

Sizes and coefficients are in metres, directions in degrees, z has no unit.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from oilwedge.metrology.extremes import Extremes, debiased_magnitude, extremes
from oilwedge.metrology.extremes import form_extremes as _form_extremes
from oilwedge.uncertainty.quantity import ErrorSource, Quantity, linear_combination

__all__ = [
    "Design",
    "Extremes",
    "FormFit",
    "Section",
    "combined_extremes",
    "debiased_magnitude",
    "extremes",
    "fit_form",
    "form_design",
    "out_of_round",
    "taper",
    "with_sections",
]

# A term is fitted when the readings carry at least this much of it (root mean square of its
# column after what is fitted before it). Three directions 30° apart carry 0.24 of a lobe.
_CARRIED = 0.15
_TERMS = 5


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class Design:
    """What a set of places and directions can tell.

    ``weights`` (5, n): coefficient j is Σ weights[j, i]·reading i, in the order mean, slope,
    barrel, lobe_cos, lobe_sin, with a row of zeros for what is not carried. ``matrix`` (n, 5)
    is the model. ``lobes`` is 0, 1 or 2. ``confounded``: place and direction changed together,
    so that taper and oval cannot be told apart.
    """

    weights: NDArray[np.float64]
    matrix: NDArray[np.float64]
    slope: bool
    barrel: bool
    lobes: int
    confounded: bool
    degrees_of_freedom: int


@dataclass(frozen=True, kw_only=True, slots=True)
class FormFit:
    """The fitted form; a term that the readings do not carry is None.

    ``residual_s_m`` is √(Σ residual²/ν), or None where ν, ``degrees_of_freedom``, is 0.
    ``sections`` are the places fitted each by itself (mean and lobe), where one oval for the
    whole length does not do; empty otherwise.
    """

    mean: Quantity
    slope: Quantity | None = None
    barrel: Quantity | None = None
    lobe_cos: Quantity | None = None
    lobe_sin: Quantity | None = None
    lobes: int = 0
    residual_s_m: float | None = None
    degrees_of_freedom: int = 0
    confounded: bool = False
    sections: tuple[Section, ...] = ()

    def at(self, *, position: float, angle_deg: float | None = None) -> Quantity:
        """The fitted size at one place; without a direction, its average over all directions."""
        terms = [(1.0, self.mean)]
        if self.slope is not None:
            terms.append((position, self.slope))
        if self.barrel is not None:
            terms.append((1.0 / 3.0 - position * position, self.barrel))
        if angle_deg is not None:
            terms += self._lobe_terms(angle_deg)
        return linear_combination(terms=terms)

    def along(self, *, angle_deg: float) -> FormFit:
        """The form as it shows in one direction only: the lobe goes into the mean."""
        mean = linear_combination(terms=[(1.0, self.mean), *self._lobe_terms(angle_deg)])
        sections = tuple(
            replace(one, form=one.form.along(angle_deg=angle_deg)) for one in self.sections
        )
        return replace(self, mean=mean, lobe_cos=None, lobe_sin=None, lobes=0, sections=sections)

    def section_at(self, *, position: float) -> FormFit:
        """Mean and lobe at one place: its own section if there is one, else the whole form's."""
        for one in self.sections:
            if one.position == position:
                return one.form
        return FormFit(
            mean=self.at(position=position),
            lobe_cos=self.lobe_cos,
            lobe_sin=self.lobe_sin,
            lobes=self.lobes,
        )

    def _lobe_terms(self, angle_deg: float) -> list[tuple[float, Quantity]]:
        if self.lobe_cos is None or self.lobe_sin is None:
            return []
        twice = 2.0 * math.radians(angle_deg)
        return [(math.cos(twice), self.lobe_cos), (math.sin(twice), self.lobe_sin)]


@dataclass(frozen=True, kw_only=True, slots=True)
class Section:
    """One place along the length, fitted by itself."""

    position: float
    form: FormFit


@lru_cache(maxsize=1024)
def form_design(
    *, positions: tuple[float | None, ...], angles_deg: tuple[float | None, ...]
) -> Design:
    """The least-squares projection for readings at these places and in these directions.

    None stands for a place or direction that nobody gave: the reading then speaks for the mean.
    """
    n = len(positions)
    if n == 0 or n != len(angles_deg):
        raise ValueError(f"{n} places and {len(angles_deg)} directions; one of each per reading")
    z = np.array([p if p is not None else 0.0 for p in positions])
    placed = np.array([p is not None for p in positions])
    theta = np.array([2.0 * math.radians(a) if a is not None else 0.0 for a in angles_deg])
    directed = np.array([a is not None for a in angles_deg])
    matrix = np.column_stack(
        [
            np.ones(n),
            z,
            np.where(placed, 1.0 / 3.0 - z * z, 0.0),
            np.where(directed, np.cos(theta), 0.0),
            np.where(directed, np.sin(theta), 0.0),
        ]
    )
    # Only readings whose place (or direction) is known tell whether a term is carried; the
    # others must not lend a contrast that nobody measured.
    lobe_alone = _carried_directions(matrix[directed, :1], matrix[directed, 3:])
    slope = len(_carried_directions(matrix[placed, :1], matrix[placed, 1:2])) == 1
    barrel = slope and len(_carried_directions(matrix[placed, :2], matrix[placed, 2:3])) == 1
    axial = matrix[:, : 3 if barrel else 2 if slope else 1]
    turns = _carried_directions(axial[directed], matrix[directed, 3:])  # (rank, 2)
    basis = np.zeros((_TERMS, axial.shape[1] + len(turns)))
    basis[: axial.shape[1], : axial.shape[1]] = np.eye(axial.shape[1])
    basis[3:, axial.shape[1] :] = turns.T
    weights = basis @ np.linalg.pinv(matrix @ basis)
    weights[np.abs(weights) < 1e-12] = 0.0
    weights.setflags(write=False)
    matrix.setflags(write=False)
    return Design(
        weights=weights,
        matrix=matrix,
        slope=slope,
        barrel=barrel,
        lobes=len(turns),
        confounded=len(turns) < len(lobe_alone),
        degrees_of_freedom=n - basis.shape[1],
    )


def _carried_directions(
    fitted: NDArray[np.float64], columns: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Combinations (rank, k) of the columns that the readings still carry beside ``fitted``."""
    if not len(columns):
        return np.zeros((0, columns.shape[1]))
    rest = columns - fitted @ (np.linalg.pinv(fitted) @ columns)
    _, singular, directions = np.linalg.svd(rest, full_matrices=False)
    kept: NDArray[np.float64] = directions[
        : int(np.sum(singular > _CARRIED * math.sqrt(len(rest))))
    ]
    return kept


def residual_scatter(*, design: Design, values: Sequence[float]) -> float | None:
    """√(Σ residual²/ν) of plain values about the fitted form; None without spare readings."""
    if design.degrees_of_freedom < 1:
        return None
    start = values[0]  # off first: sizes of 50 mm, residuals of 1 µm
    given = np.array([value - start for value in values])
    residual = given - design.matrix @ (design.weights @ given)
    return math.sqrt(float(residual @ residual) / design.degrees_of_freedom)


def fit_form(
    *,
    positions: Sequence[float | None],
    angles_deg: Sequence[float | None],
    values: Sequence[Quantity],
) -> FormFit:
    """Fit the form (module text) to readings; repeats weigh equally.

    ``values`` carry each reading's error sources, private and shared; those of the coefficients
    follow as Σ weight·contribution.
    """
    design = form_design(positions=tuple(positions), angles_deg=tuple(angles_deg))
    plain = [quantity.value for quantity in values]
    column: dict[ErrorSource, int] = {}
    for quantity in values:
        for source in quantity.contributions:
            column.setdefault(source, len(column))
    given = np.zeros((len(values), len(column)))
    for i, quantity in enumerate(values):
        for source, c in quantity.contributions.items():
            given[i, column[source]] = c
    parts = design.weights @ given
    if column:
        parts[np.abs(parts) < 1e-9 * np.abs(given).max(axis=0)] = 0.0
    start = plain[0]
    found = (design.weights @ np.array([value - start for value in plain])).tolist()
    found[0] += start
    sources = list(column)
    coefficients = [
        Quantity(value, {s: c for s, c in zip(sources, row, strict=True) if c})
        for value, row in zip(found, parts.tolist(), strict=True)
    ]
    return FormFit(
        mean=coefficients[0],
        slope=coefficients[1] if design.slope else None,
        barrel=coefficients[2] if design.barrel else None,
        lobe_cos=coefficients[3] if design.lobes else None,
        lobe_sin=coefficients[4] if design.lobes else None,
        lobes=design.lobes,
        residual_s_m=residual_scatter(design=design, values=plain),
        degrees_of_freedom=design.degrees_of_freedom,
        confounded=design.confounded,
    )


def with_sections(
    *,
    fit: FormFit,
    positions: Sequence[float | None],
    angles_deg: Sequence[float | None],
    values: Sequence[Quantity],
) -> FormFit:
    """The same form with each place that was read in two directions or more fitted by itself."""
    sections = []
    for position in sorted({one for one in positions if one is not None}):
        here = [i for i, one in enumerate(positions) if one == position]
        own = fit_form(
            positions=[None] * len(here),
            angles_deg=[angles_deg[i] for i in here],
            values=[values[i] for i in here],
        )
        if own.lobes:
            sections.append(Section(position=position, form=own))
    return replace(fit, sections=tuple(sections))


def taper(*, fit: FormFit, key: str) -> Quantity | None:
    """|2·slope|: end against end over the whole length, with the noise bias taken out."""
    if fit.slope is None:
        return None
    return debiased_magnitude(components=[fit.slope * 2.0], key=f"{key}:taper")


def out_of_round(*, fit: FormFit, key: str) -> Quantity | None:
    """2·√(lobe_cos² + lobe_sin²): largest minus smallest diameter, noise bias taken out.

    Two-point: a part with an odd number of lobes looks round to it. With sections, that of the
    worst place.
    """
    if fit.sections:
        found = [out_of_round(fit=one.form, key=f"{key}:{one.position}") for one in fit.sections]
        known = [one for one in found if one is not None]
        return max(known, key=lambda one: one.value, default=None)
    if fit.lobe_cos is None or fit.lobe_sin is None:
        return None
    components = [fit.lobe_cos * 2.0, fit.lobe_sin * 2.0]
    return debiased_magnitude(components=components, key=f"{key}:out_of_round")


def combined_extremes(*, terms: Sequence[tuple[float, FormFit]], key: str) -> Extremes:
    """Smallest and largest of Σ factor·form over the length and over all directions.

    For a clearance: (+1, bore), (−1, journal). Along the length the terms add place by place (a
    taper of the bore may follow that of the journal). The lobes add in amplitude, because each
    part turns against the other. Where a form has sections, every place is taken by itself.
    """
    places = sorted({one.position for _, fit in terms for one in fit.sections})
    if places:
        return _extremes_of_sections(terms=terms, places=places, key=key)
    along: list[Quantity | None] = []
    for name in ("mean", "slope", "barrel"):
        found = [(f, getattr(fit, name)) for f, fit in terms if getattr(fit, name) is not None]
        along.append(linear_combination(terms=found) if found else None)
    mean, slope, barrel = along
    if mean is None:
        raise ValueError("extremes need at least one form")
    lobes = [
        (fit.lobe_cos * factor, fit.lobe_sin * factor)
        for factor, fit in terms
        if fit.lobe_cos is not None and fit.lobe_sin is not None and factor
    ]
    return _form_extremes(mean=mean, slope=slope, barrel=barrel, lobes=lobes, key=key)


def _extremes_of_sections(
    *, terms: Sequence[tuple[float, FormFit]], places: Sequence[float], key: str
) -> Extremes:
    """The smallest and the largest of all places, each with the lobes that it has there."""
    found = [
        combined_extremes(
            terms=[(factor, fit.section_at(position=place)) for factor, fit in terms],
            key=f"{key}:{place}",
        )
        for place in places
    ]
    lowest = min(range(len(places)), key=lambda i: found[i].smallest.value)
    highest = max(range(len(places)), key=lambda i: found[i].largest.value)
    return Extremes(
        smallest=found[lowest].smallest,
        largest=found[highest].largest,
        smallest_at=places[lowest],
        largest_at=places[highest],
    )
