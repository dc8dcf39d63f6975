"""An engine as frozen values: layout, features, fits and their limits, fasteners, oil, duty.

Lengths are in metres, angles in degrees. Every clearance is diametral. A fit is a linear
combination of sizes (its *ways*: there may be several ways of getting at the same fit), so that
a new kind of fit is data and not code.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from enum import Enum
from typing import TYPE_CHECKING

from oilwedge.engine.layout import Caps, Layout, LayoutKind, Per, Throw
from oilwedge.engine.running import Running
from oilwedge.engine.supplies import (
    Duty,
    Fastener,
    GradeMark,
    Grades,
    Marks,
    Oil,
    Reuse,
    Stage,
)

if TYPE_CHECKING:
    from oilwedge.uncertainty.conformity import DecisionRule

__all__ = [
    "Caps",
    "Direction",
    "Duty",
    "Engine",
    "Fastener",
    "Feature",
    "Fit",
    "FitLimits",
    "GradeMark",
    "Grades",
    "Judged",
    "JudgedAt",
    "Layout",
    "LayoutKind",
    "LimitsSource",
    "Marks",
    "Oil",
    "Per",
    "Place",
    "Reuse",
    "Running",
    "RunoutMeaning",
    "ServiceFor",
    "Shape",
    "SizeRange",
    "Stage",
    "Term",
    "Throw",
    "Way",
    "WayKind",
]


class Shape(Enum):
    """How a feature is measured."""

    OUTSIDE = "outside"  # over it: journal, pin, stem
    INSIDE = "inside"  # in it: bore, guide
    WALL = "wall"  # through it: shell wall
    GAP = "gap"  # the reading is the clearance or run-out itself
    HEIGHT = "height"  # against a face, either sign
    STRIP = "strip"  # a strip flattened in the gap


class Judged(Enum):
    """Which property of the sizes a fit judges."""

    SIZE = "size"
    TAPER = "taper"
    OUT_OF_ROUND = "out of round"


class JudgedAt(Enum):
    """Where a limit is judged: at the tightest or loosest place, or on the mean."""

    EXTREME = "extreme"
    MEAN = "mean"


class ServiceFor(Enum):
    """When the service limit applies: all parts of the fit re-used, or any of them."""

    ALL_REUSED = "all re-used"
    ANY_REUSED = "any re-used"


class RunoutMeaning(Enum):
    """What a run-out limit speaks of: the whole swing of the dial, or the bend (half of it)."""

    TOTAL = "total reading"
    BEND = "bend"


class LimitsSource(Enum):
    """Where the build limits of a fit come from when the file gives none of its own."""

    OWN = "own"
    SIZE = "size"  # the low and high size of the only feature in it


class WayKind(Enum):
    """How a fit is got at."""

    GAUGED = "gauged"  # bore less shaft, both measured as they run
    WALLS = "walls"  # housing less both walls less shaft
    ZEROED_GAUGE = "zeroed gauge"  # a gauge zeroed at the journal reads the clearance
    STRIP = "strip"
    DIRECT = "direct"  # feeler, dial, depth gauge, or one size by itself


@dataclass(frozen=True, kw_only=True, slots=True)
class Place:
    """A place along a feature; position -1 at the front (or top), +1 at the rear (or bottom)."""

    name: str
    position: float


@dataclass(frozen=True, kw_only=True, slots=True)
class Direction:
    """A direction in which a diameter is read; degrees round the axis."""

    name: str
    angle_deg: float


@dataclass(frozen=True, kw_only=True, slots=True)
class SizeRange:
    """What the file says about a size; a side that is not given is None."""

    nominal_m: float | None = None
    low_m: float | None = None
    high_m: float | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class Feature:
    """Something with a size: a journal, a bore, a wall, a gap.

    ``parts`` are the keys of the parts whose new state (machined, replaced, refitted) ends the
    readings of this feature. ``undersize_factor`` times an undersize or oversize step (a positive
    number) is the change of the nominal size: journal -1, oversize bore +1, shell wall +0.5.
    ``positive`` sizes cannot be zero or negative. ``exceptions`` are the numbers whose size
    differs; use :meth:`at`.
    """

    key: str
    title: str
    per: Per
    shape: Shape
    count: int
    parts: tuple[str, ...]
    nominal_m: float | None = None
    low_m: float | None = None
    high_m: float | None = None
    unit: str = "mm"  # in which the file gives it; for showing and as the unit to expect
    material: str = "steel"
    places: tuple[Place, ...] = ()
    directions: tuple[Direction, ...] = ()
    quick_places: tuple[Place, ...] = ()
    quick_directions: tuple[Direction, ...] = ()
    length_m: float | None = None  # along the axis, over which the places are spread
    form_judged: bool = False  # taper and out-of-round mean something here
    instrument: str = ""  # kind of instrument usually taken
    how: str = ""  # one line: how to measure
    explain: str = ""  # two sentences for a learner
    measured_at: str = ""  # where the maker wants it measured, as text (piston gauge height)
    undersize_factor: float = 0.0
    exceptions: Mapping[int, SizeRange] = field(default_factory=dict)

    @property
    def numbers(self) -> tuple[int, ...]:
        """1 to count."""
        return tuple(range(1, self.count + 1))

    @property
    def positive(self) -> bool:
        """Whether a size of zero or less is impossible."""
        return self.shape in {Shape.OUTSIDE, Shape.INSIDE, Shape.WALL}

    @property
    def reference_m(self) -> float | None:
        """What a reading is expected to be near: the nominal size, or the middle of the limits."""
        if self.nominal_m is not None or self.low_m is None or self.high_m is None:
            return self.nominal_m
        return (self.low_m + self.high_m) / 2

    def at(self, number: int) -> Feature:
        """The feature of one number, with its own size if the file gives one."""
        own = self.exceptions.get(number)
        if own is None:
            return self
        return replace(self, nominal_m=own.nominal_m, low_m=own.low_m, high_m=own.high_m)

    def label(self, number: int) -> str:
        """Title with the number: "rod journal 3"; without it where there is only one."""
        return self.title if self.per is Per.ENGINE else f"{self.title} {number}"


@dataclass(frozen=True, kw_only=True, slots=True)
class Term:
    """One size in a fit, and how often it counts: +1 for a bore, -1 for the shaft in it."""

    coefficient: float
    feature: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Way:
    """One way of getting at a fit: the sum of coefficient times size over its terms.

    ``extra_standard_uncertainty_m`` stands for what the way itself leaves open (shell crush
    when housing and walls are measured apart).
    """

    key: str
    title: str
    kind: WayKind
    terms: tuple[Term, ...]
    extra_standard_uncertainty_m: float = 0.0


@dataclass(frozen=True, kw_only=True, slots=True)
class FitLimits:
    """The limits of a fit; None where there is none on that side."""

    low_m: float | None = None
    high_m: float | None = None
    service_low_m: float | None = None
    service_high_m: float | None = None
    target_m: float | None = None
    limits_from: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class Fit:
    """A running fit, or a size or form that has limits of its own.

    ``per_length_m``: the taper limit holds over this length; None: over the whole feature.
    ``meaning``: what a run-out limit speaks of; with BEND the coefficients of the ways already
    carry the half, nothing more is to be done. ``limits_source`` SIZE: build limits were taken
    from the size of the only feature (shift them with its undersize). ``exceptions`` are the
    numbers whose limits differ; use :meth:`at`. ``judged`` TAPER or OUT_OF_ROUND: the ways have
    one term, and the form of that feature is judged, upper limits only. ``parts`` are those whose
    wear it is: whether they are new, machined or re-used decides which limits apply (bolts and caps
    are not among them; what ends readings stands in :attr:`Feature.parts`).
    """

    key: str
    title: str
    per: Per
    count: int
    ways: tuple[Way, ...]
    parts: tuple[str, ...]
    judged: Judged = Judged.SIZE
    low_m: float | None = None
    high_m: float | None = None
    service_low_m: float | None = None
    service_high_m: float | None = None
    target_m: float | None = None
    limits_from: str = ""  # document and page, as the file says
    limits_source: LimitsSource = LimitsSource.OWN
    unit: str = "mm"  # in which the file gives the limits
    low_judged_at: JudgedAt = JudgedAt.EXTREME
    high_judged_at: JudgedAt = JudgedAt.EXTREME
    service_for: ServiceFor = ServiceFor.ALL_REUSED
    words_small: str = "too tight"  # under the low limit
    words_large: str = "too loose"  # above the build limit, new or machined part
    words_loose: str = "loose"  # above the build limit, inside the service limit, re-used
    words_past: str = "past service limit"
    if_small: str = ""  # what to do first, in one or two sentences
    if_large: str = ""
    explain: str = ""  # two sentences for a learner
    per_length_m: float | None = None
    meaning: RunoutMeaning = RunoutMeaning.TOTAL
    practice_low_m: float | None = None
    practice_high_m: float | None = None
    practice_text: str = ""  # "0.025 to 0.076 mm (common practice, no source)"
    exceptions: Mapping[int, FitLimits] = field(default_factory=dict)

    @property
    def numbers(self) -> tuple[int, ...]:
        """1 to count."""
        return tuple(range(1, self.count + 1))

    @property
    def has_limits(self) -> bool:
        """Whether any limit is given."""
        sides = (self.low_m, self.high_m, self.service_low_m, self.service_high_m)
        return any(side is not None for side in sides)

    @property
    def features(self) -> tuple[str, ...]:
        """Keys of all features in all ways, each once, in order."""
        return tuple(dict.fromkeys(term.feature for way in self.ways for term in way.terms))

    def at(self, number: int) -> Fit:
        """The fit of one number, with its own limits if the file gives some."""
        own = self.exceptions.get(number)
        return self if own is None else self.with_limits(own)

    def with_limits(self, limits: FitLimits) -> Fit:
        """The fit with these limits in the place of its own."""
        return replace(
            self,
            low_m=limits.low_m,
            high_m=limits.high_m,
            service_low_m=limits.service_low_m,
            service_high_m=limits.service_high_m,
            target_m=limits.target_m,
            limits_from=limits.limits_from,
        )

    def label(self, number: int) -> str:
        """Title with the number: "rod bearing 3"; without it where there is only one."""
        return self.title if self.per is Per.ENGINE else f"{self.title} {number}"


@dataclass(frozen=True, kw_only=True, slots=True)
class Engine:
    """All that an engine file says. ``text`` is the file as written, ``digest`` its SHA-256."""

    name: str
    format: int
    rule: DecisionRule
    layout: Layout
    features: Mapping[str, Feature]
    fits: Mapping[str, Fit]
    notes: str = ""
    unit: str = "mm"  # in which lengths are shown: "mm" or "in"
    marks: Marks = field(default_factory=Marks)
    grades: Mapping[str, Grades] = field(default_factory=dict)
    fasteners: Mapping[str, Fastener] = field(default_factory=dict)
    oil: Oil = field(default_factory=Oil)
    duty: Duty = field(default_factory=Duty)
    running: Running = field(default_factory=Running)
    part_titles: Mapping[str, str] = field(default_factory=dict)  # every part in use, in words
    text: str = ""
    digest: str = ""

    def fit(self, key: str, number: int = 1) -> Fit:
        """A fit by key, with the limits of this number."""
        return self.fits[key].at(number)

    def feature(self, key: str, number: int = 1) -> Feature:
        """A feature by key, with the size of this number."""
        return self.features[key].at(number)
