"""A value with its signed sensitivities to named, independent error sources.

Because two quantities that share an error carry the same source, correlation follows by itself:
what is common adds up or cancels, source by source, before anything is squared.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from enum import Enum
from typing import TYPE_CHECKING

from oilwedge.uncertainty.coverage import coverage_factor, truncated_degrees_of_freedom

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import ArrayLike, NDArray


class SourceKind(Enum):
    """What sort of error a source is."""

    REPEATABILITY = "repeatability"
    RESOLUTION = "resolution"
    PERMISSIBLE_ERROR = "permissible error"
    SETTING = "setting"
    TEMPERATURE = "temperature"
    FORM = "form"
    SETUP = "set-up"
    STRIP = "strip"
    CRUSH = "crush"
    READING = "reading"
    OTHER = "other"

    @property
    def words(self) -> str:
        """Plain words for a line of a budget."""
        return _WORDS[self]


_WORDS: Mapping[SourceKind, str] = {
    SourceKind.REPEATABILITY: "scatter of the repeats",
    SourceKind.RESOLUTION: "smallest step of the reading",
    SourceKind.PERMISSIBLE_ERROR: "permissible error of the instrument",
    SourceKind.SETTING: "setting or zero of the instrument",
    SourceKind.TEMPERATURE: "temperature of part and instrument",
    SourceKind.FORM: "form of the part",
    SourceKind.SETUP: "dirt, seating and how the gauge was held",
    SourceKind.STRIP: "batch of the strip",
    SourceKind.CRUSH: "crush of the shells and growth of the housing",
    SourceKind.READING: "reading between the marks",
    SourceKind.OTHER: "other",
}


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ErrorSource:
    """One error, as a standardised variable with mean 0 and variance 1.

    The key is its identity: the same key means the same error, wherever it turns up; all else
    describes it. ``degrees_of_freedom`` says how well its size is known (1 or more; infinite
    where it is taken as known). ``group`` joins sources whose sizes were estimated from one and
    the same set of repeats: they have their degrees of freedom in common.
    """

    key: str
    kind: SourceKind
    words: str
    degrees_of_freedom: float = math.inf
    group: str = ""

    def __post_init__(self) -> None:
        if not self.degrees_of_freedom >= 1.0:
            raise ValueError(
                f"error source {self.key!r}: degrees of freedom must be 1 or more, "
                f"{self.degrees_of_freedom!r} given"
            )

    def __eq__(self, other: object) -> bool:
        return isinstance(other, ErrorSource) and self.key == other.key

    def __hash__(self) -> int:
        return hash(self.key)  # a str keeps its hash


@dataclass(frozen=True, slots=True, kw_only=True)
class Expanded:
    """U = k·u: half width of the interval, its factor, and ν as it was looked up (cut)."""

    half_width: float
    k: float
    degrees_of_freedom: float


@dataclass(frozen=True, slots=True)
class Quantity:
    """A value y = value + Σ cᵢ·eᵢ of independent standardised errors eᵢ.

    ``contributions`` maps each source to cᵢ: by how much the value changes, with its sign and in
    its unit, for one standard deviation of the source. A source that cancels is left out. Sums,
    differences and multiples of quantities are exact in this form.

    >>> zero = ErrorSource(key="zero", kind=SourceKind.SETTING, words="zero of the micrometer")
    >>> bore, journal = Quantity(48.008, {zero: 0.002}), Quantity(47.972, {zero: 0.002})
    >>> (bore - journal).standard_uncertainty
    0.0
    """

    value: float
    contributions: Mapping[ErrorSource, float] = field(default_factory=dict)

    @property
    def variance(self) -> float:
        """u² = Σ cᵢ² (GUM 5.1.2, the sources being independent)."""
        return math.fsum(c * c for c in self.contributions.values())

    @property
    def standard_uncertainty(self) -> float:
        """u = √(Σ cᵢ²)."""
        return math.sqrt(self.variance)

    @property
    def degrees_of_freedom(self) -> float:
        """Welch-Satterthwaite: ν = u⁴ / Σ cᵢ⁴/νᵢ; infinite where no source has a finite νᵢ.

        The formula asks for independent inputs (GUM G.4.1). Here they are: whatever two
        quantities share has been summed per source before, so it holds for correlated
        quantities too. The sources of one group, estimated together, count as one input with
        the sum of their cᵢ² as its variance. Not cut to a whole number; the look-up does that.
        """
        variance = self.variance
        if variance == 0.0:
            return math.inf
        shares: dict[tuple[str, float], float] = {}
        total = 0.0
        for source, c in self.contributions.items():
            nu = source.degrees_of_freedom
            if nu == math.inf:
                continue
            share = c * c / variance
            if source.group:
                key = (source.group, nu)
                shares[key] = shares.get(key, 0.0) + share
            else:
                total += share * share / nu
        total += sum(share * share / nu for (_, nu), share in shares.items())
        return 1.0 / total if total > 0.0 else math.inf

    def expanded(self, *, coverage_probability: float = 0.95) -> Expanded:
        """U = k·u with k = t_p(ν), ν cut to a whole number; normal for infinite ν (GUM G.4)."""
        nu = truncated_degrees_of_freedom(self.degrees_of_freedom)
        k = coverage_factor(coverage_probability=coverage_probability, degrees_of_freedom=nu)
        return Expanded(half_width=k * self.standard_uncertainty, k=k, degrees_of_freedom=nu)

    def __add__(self, other: Quantity | float) -> Quantity:
        if isinstance(other, Quantity):
            return _combined(self, 1.0, other)
        if isinstance(other, (int, float)):
            return Quantity(self.value + other, self.contributions)
        return NotImplemented

    __radd__ = __add__

    def __sub__(self, other: Quantity | float) -> Quantity:
        if isinstance(other, Quantity):
            return _combined(self, -1.0, other)
        if isinstance(other, (int, float)):
            return Quantity(self.value - other, self.contributions)
        return NotImplemented

    def __rsub__(self, other: float) -> Quantity:
        return (-self) + other

    def __neg__(self) -> Quantity:
        return self * -1.0

    def __mul__(self, factor: float) -> Quantity:
        if not isinstance(factor, (int, float)):
            return NotImplemented
        scaled = {source: c * factor for source, c in self.contributions.items()}
        return Quantity(self.value * factor, scaled if factor else {})

    __rmul__ = __mul__

    def __truediv__(self, divisor: float) -> Quantity:
        if not isinstance(divisor, (int, float)):
            return NotImplemented
        scaled = {source: c / divisor for source, c in self.contributions.items()}
        return Quantity(self.value / divisor, scaled)


def _combined(a: Quantity, factor: float, b: Quantity) -> Quantity:
    total = dict(a.contributions)
    get = total.get
    for source, c in b.contributions.items():
        summed = get(source, 0.0) + factor * c
        if summed:
            total[source] = summed
        else:
            total.pop(source, None)
    return Quantity(a.value + factor * b.value, total)


def exact(value: float) -> Quantity:
    """A value without any error."""
    return Quantity(value, {})


def from_standard_uncertainty(
    *, value: float, standard_uncertainty: float, source: ErrorSource
) -> Quantity:
    """A value with one error source of this standard uncertainty (0 gives an exact value)."""
    if not (math.isfinite(standard_uncertainty) and standard_uncertainty >= 0.0):
        raise ValueError(
            f"a standard uncertainty is finite and not negative, {standard_uncertainty!r} given"
        )
    return Quantity(value, {source: standard_uncertainty} if standard_uncertainty else {})


def linear_combination(
    *, terms: Sequence[tuple[float, Quantity]], constant: float = 0.0
) -> Quantity:
    """constant + Σ factor·quantity, shared sources summed with their signs; exact."""
    value = constant
    total: dict[ErrorSource, float] = {}
    get = total.get
    for factor, quantity in terms:
        value += factor * quantity.value
        for source, c in quantity.contributions.items():
            total[source] = get(source, 0.0) + factor * c
    if 0.0 in total.values():
        total = {source: c for source, c in total.items() if c}
    return Quantity(value, total)


def covariance(a: Quantity, b: Quantity) -> float:
    """cov(a, b) = Σ cᵢ(a)·cᵢ(b) over the sources that both carry."""
    if len(b.contributions) < len(a.contributions):
        a, b = b, a
    get = b.contributions.get
    return math.fsum(c * get(source, 0.0) for source, c in a.contributions.items())


def correlation(a: Quantity, b: Quantity) -> float:
    """r = cov(a, b)/(u(a)·u(b)), between −1 and 1; 0 where one of them is exact."""
    product = a.standard_uncertainty * b.standard_uncertainty
    if product == 0.0:
        return 0.0
    return max(-1.0, min(1.0, covariance(a, b) / product))


def sources_of(quantities: Sequence[Quantity]) -> tuple[ErrorSource, ...]:
    """Every source that any of them carries, once, in the order of first appearance."""
    return tuple(dict.fromkeys(s for quantity in quantities for s in quantity.contributions))


def sensitivity_matrix(quantities: Sequence[Quantity]) -> NDArray[np.float64]:
    """C[i, j]: contribution of source j (as in :func:`sources_of`) to quantity i."""
    import numpy as np

    column = {source: j for j, source in enumerate(sources_of(quantities))}
    matrix = np.zeros((len(quantities), len(column)))
    for i, quantity in enumerate(quantities):
        for source, c in quantity.contributions.items():
            matrix[i, column[source]] = c
    return matrix


def covariance_matrix(quantities: Sequence[Quantity]) -> NDArray[np.float64]:
    """V = C·Cᵀ, shape (n, n), in the product of the quantities' units."""
    matrix = sensitivity_matrix(quantities)
    return matrix @ matrix.T


def correlated_quantities(
    *,
    values: Sequence[float],
    covariance: ArrayLike,
    degrees_of_freedom: float,
    keys: Sequence[str],
    kind: SourceKind,
) -> tuple[Quantity, ...]:
    """Quantities with a given covariance matrix, on as many independent sources.

    V = E·diag(w)·Eᵀ gives contributions E·√w. ``keys`` name the sources, one for each value;
    they form one group, so that every combination keeps these degrees of freedom. ValueError
    when the shapes differ or the matrix is no covariance (not symmetric, negative eigenvalue).
    """
    import numpy as np

    given = np.asarray(covariance, dtype=float)
    count = len(values)
    if given.shape != (count, count) or len(keys) != count or len(set(keys)) != count:
        raise ValueError(
            f"{count} values need {count} different keys and a {count} by {count} covariance"
        )
    scale = float(np.abs(given).max(initial=0.0))
    if not np.allclose(given, given.T, rtol=1e-9, atol=1e-12 * scale):
        raise ValueError("a covariance matrix must be symmetric")
    weights, vectors = np.linalg.eigh(0.5 * (given + given.T))
    if weights.min(initial=0.0) < -1e-9 * scale:
        raise ValueError("a covariance matrix must have no negative eigenvalue")
    matrix = vectors * np.sqrt(np.clip(weights, 0.0, None))
    group = "/".join(keys)
    sources = [
        ErrorSource(
            key=key, kind=kind, words=kind.words, degrees_of_freedom=degrees_of_freedom, group=group
        )
        for key in keys
    ]
    return tuple(
        Quantity(value, {s: float(c) for s, c in zip(sources, row, strict=True) if c})
        for value, row in zip(values, matrix, strict=True)
    )


def propagate(
    *,
    function: Callable[[Sequence[float]], float],
    inputs: Sequence[Quantity],
    gradient: Callable[[Sequence[float]], Sequence[float]] | None = None,
) -> Quantity:
    """y = f(x₁ … xₙ) to first order: contributions Σ (∂f/∂xᵢ)·c(xᵢ) (GUM 5.1.2, 5.2.2).

    Without ``gradient`` the derivatives are central differences with the step
    max(u/1000, 6e-6·|x|); an exact input is not differentiated. Holds where f is nearly straight
    over the uncertainties; at a stationary point the answer is u = 0 and wrong: use
    :func:`oilwedge.uncertainty.monte_carlo.monte_carlo` there.
    """
    point = [quantity.value for quantity in inputs]
    value = function(point)
    if gradient is not None:
        slopes = list(gradient(point))
        if len(slopes) != len(inputs):
            raise ValueError(f"{len(inputs)} inputs, and a gradient of {len(slopes)}")
    else:
        slopes = [_slope(function, point, i, q) for i, q in enumerate(inputs)]
    combined = linear_combination(terms=list(zip(slopes, inputs, strict=True)))
    return Quantity(value, combined.contributions)


def _slope(
    function: Callable[[Sequence[float]], float], point: list[float], i: int, quantity: Quantity
) -> float:
    if not quantity.contributions:
        return 0.0
    step = max(quantity.standard_uncertainty / 1000.0, 6e-6 * abs(point[i]))
    above, below = list(point), list(point)
    above[i] += step
    below[i] -= step
    return (function(above) - function(below)) / (above[i] - below[i])
