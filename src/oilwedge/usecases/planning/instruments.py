"""Which instrument on the shop's list measures what, and whether it can resolve the tolerance.

Said before anyone measures. The figure compared is ``R = w / U``: the room w
(:func:`room_m`, half of a two-sided window) over the expanded uncertainty (95 %) that the
instruments alone bring in. R of 4 or more is to be
wished (the usual 4:1 of measuring rooms, RECALLED from ANSI Z540.3); with R of 1 or less no
value inside the window is clear of its limits. Temperature and the form of the parts come on
top, so an instrument that fails here fails at the bench too.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import Enum
from typing import Protocol

from oilwedge.engine.model import Engine, Feature, Fit, Judged, Shape, Way, WayKind
from oilwedge.metrology.instrument import Instrument, InstrumentKind, Strip
from oilwedge.uncertainty.quantity import ErrorSource, Quantity, SourceKind, linear_combination

WISHED_RATIO = 4.0
LEAST_RATIO = 1.0
_K = InstrumentKind

# What can be put to a shape at all, best first; a caliper is here so that it can be refused.
_KINDS: Mapping[Shape, tuple[InstrumentKind, ...]] = {
    Shape.OUTSIDE: (_K.MICROMETER, _K.CALIPER, _K.RULER),
    Shape.INSIDE: (_K.BORE_GAUGE, _K.INSIDE_MICROMETER, _K.CALIPER, _K.RULER),
    Shape.WALL: (_K.BALL_MICROMETER, _K.CALIPER),
    Shape.HEIGHT: (_K.DEPTH_GAUGE, _K.DIAL_GAUGE, _K.CALIPER),
    Shape.GAP: (),
    Shape.STRIP: (),
}


class ShopList(Protocol):
    """What a shop owns, as far as a plan asks."""

    @property
    def instruments(self) -> Mapping[str, Instrument]:
        """Instruments by key."""

    @property
    def strips(self) -> Mapping[str, Strip]:
        """Clearance strips by key."""


class Capability(Enum):
    """What the instruments can do for a fit's window."""

    ENOUGH = "enough"
    SHORT = "short of 4:1"
    NO_USE = "no use"
    NOT_LISTED = "nothing on the list"
    NO_WINDOW = "no window to compare with"


@dataclass(frozen=True, kw_only=True, slots=True)
class Refusal:
    """An instrument on the list that cannot resolve this fit, alone against the room."""

    instrument: Instrument
    feature: str
    expanded_m: float
    room_m: float


@dataclass(frozen=True, kw_only=True, slots=True)
class WayCheck:
    """One way of getting at a fit: the instrument for each of its features, U and the ratio.

    ``instruments`` follow ``features``; None where nothing on the list fits. ``expanded_m`` and
    ``ratio`` are None when an instrument or the window is missing.
    """

    fit: str
    way: Way
    features: tuple[str, ...]
    instruments: tuple[Instrument | None, ...]
    room_m: float | None
    expanded_m: float | None
    refusals: tuple[Refusal, ...] = ()

    @property
    def ratio(self) -> float | None:
        """Room over U."""
        if self.expanded_m is None or self.room_m is None:
            return None
        return self.room_m / self.expanded_m if self.expanded_m > 0 else math.inf

    @property
    def capability(self) -> Capability:
        """The word for the ratio."""
        if None in self.instruments:
            return Capability.NOT_LISTED
        if self.ratio is None:
            return Capability.NO_WINDOW
        if self.ratio >= WISHED_RATIO:
            return Capability.ENOUGH
        return Capability.SHORT if self.ratio > LEAST_RATIO else Capability.NO_USE


def room_m(*, fit: Fit, features: Mapping[str, Feature]) -> float | None:
    """The most that a value inside the limits can stand clear of them, in metres.

    Half of the window between two limits; below an upper limit alone the whole way down to zero,
    for what cannot be less (a clearance, gap or form). A missing side is taken from the service
    limit; the narrowest among the numbers of the fit counts. None where that leaves no room.
    """
    shapes = {features[key].shape for key in fit.features}
    cannot_be_below_zero = (
        fit.judged is not Judged.SIZE
        or bool(shapes & {Shape.GAP, Shape.STRIP})
        or any(len(way.terms) > 1 for way in fit.ways)
    )
    found = []
    for number in fit.numbers:
        one = fit.at(number)
        low = one.low_m if one.low_m is not None else one.service_low_m
        high = one.high_m if one.high_m is not None else one.service_high_m
        if high is None:
            continue
        if low is not None and high > low:
            found.append((high - low) / 2)
        elif low is None and cannot_be_below_zero and high > 0:
            found.append(high)
    return min(found) if found else None


def kinds_for(feature: Feature) -> tuple[InstrumentKind, ...]:
    """The kinds of instrument that can be put to a feature: its usual one, then the others."""
    usual = tuple(kind for kind in InstrumentKind if kind.value == feature.instrument)
    return tuple(dict.fromkeys((*usual, *_KINDS[feature.shape])))


def nominal_of(feature: Feature) -> float | None:
    """The size to choose a range by: nominal, else the middle of the limits; None for a gap."""
    return feature.reference_m if feature.positive else None


def candidates(feature: Feature, instruments: Mapping[str, Instrument]) -> tuple[Instrument, ...]:
    """What on the list has the kind and the range for this feature."""
    size = nominal_of(feature)
    kinds = kinds_for(feature)
    return tuple(one for one in instruments.values() if one.kind in kinds and one.spans(size))


def holder_for(
    *, gauge: Instrument, size_m: float | None, instruments: Mapping[str, Instrument]
) -> Instrument | None:
    """What a gauge is set in for a size: what the shop names, else a micrometer that spans it."""
    if not gauge.set_in:
        return None
    named = instruments.get(gauge.set_in)
    if named is not None and named.spans(size_m):
        return named
    spanning = (
        one
        for one in instruments.values()
        if one.kind is InstrumentKind.MICROMETER and one.spans(size_m)
    )
    return next(spanning, None)


def one_reading(
    *, feature: Feature, instrument: Instrument, instruments: Mapping[str, Instrument]
) -> Quantity:
    """One reading of a feature, value zero: what its error is made of.

    ``u² = r²/12 + s² + u_setup² + u_setting²`` of its own, and the permissible errors
    ``a/√3`` of the instrument and of what it is set in, which are shared wherever these two
    are used again on the same shape (GUM 4.3.7, rectangular): a micrometer over the journal and
    a gauge set in it share, a caliper's inner and outer jaws do not. A gauge zeroed at the
    journal itself does not take on the micrometer's error.
    """
    own = math.sqrt(
        instrument.resolution_m**2 / 12
        + (instrument.repeatability_m or 0.0) ** 2
        + instrument.setup_m**2
        + instrument.setting_m**2
    )
    parts = {_source(f"reading:{feature.key}", SourceKind.REPEATABILITY): own}
    holders = [(instrument, feature.shape)]
    set_in = holder_for(gauge=instrument, size_m=nominal_of(feature), instruments=instruments)
    if set_in is not None and feature.shape is not Shape.GAP:
        holders.append((set_in, Shape.OUTSIDE))
    for holder, used_on in holders:
        key = f"permissible:{holder.key}:{used_on.value}"
        source = _source(key, SourceKind.PERMISSIBLE_ERROR)
        parts[source] = parts.get(source, 0.0) + holder.permissible_error_m / math.sqrt(3)
    return Quantity(0.0, parts)


def _source(key: str, kind: SourceKind) -> ErrorSource:
    return ErrorSource(key=key, kind=kind, words=kind.words)


def _expanded_m(
    fit: Fit,
    way: Way,
    features: Mapping[str, Feature],
    chosen: Sequence[Instrument],
    instruments: Mapping[str, Instrument],
) -> float:
    """U of the way with one reading at each place; form is the difference of two readings."""
    if fit.judged is not Judged.SIZE:
        (one,) = chosen[:1]
        scatter = math.sqrt(one.resolution_m**2 / 12 + (one.repeatability_m or 0.0) ** 2)
        source = _source("difference", SourceKind.REPEATABILITY)
        return Quantity(0.0, {source: math.sqrt(2) * scatter}).expanded().half_width
    terms = [
        (
            term.coefficient,
            one_reading(
                feature=features[term.feature], instrument=instrument, instruments=instruments
            ),
        )
        for term, instrument in zip(way.terms, chosen, strict=True)
    ]
    left_open = _source(f"way:{way.key}", SourceKind.CRUSH)
    extra = Quantity(0.0, {left_open: way.extra_standard_uncertainty_m})
    return (linear_combination(terms=terms) + extra).expanded().half_width


def _refusals(
    fit: Fit, way: Way, engine: Engine, instruments: Mapping[str, Instrument], room: float | None
) -> tuple[Refusal, ...]:
    if room is None:
        return ()
    found = []
    for term in way.terms:
        feature = engine.features[term.feature]
        alone = Way(key=way.key, title=way.title, kind=way.kind, terms=(term,))
        for one in candidates(feature, instruments):
            expanded = _expanded_m(fit, alone, engine.features, (one,), instruments)
            if expanded >= room:
                found.append(
                    Refusal(
                        instrument=one,
                        feature=feature.key,
                        expanded_m=expanded,
                        room_m=room,
                    )
                )
    return tuple(found)


def check_ways(*, engine: Engine, shop: ShopList) -> tuple[WayCheck, ...]:
    """For each fit and each way but the strip: the best instruments on the list, and what they can.

    Best is the least U for the way as a whole, so a bore gauge that is set in the journal's own
    micrometer wins over a better one that is not. An instrument once chosen for a feature stays
    chosen for it in the fits that follow.
    """
    taken: dict[str, Instrument] = {}
    checks = []
    for fit in engine.fits.values():
        room = room_m(fit=fit, features=engine.features)
        for way in fit.ways:
            if way.kind is WayKind.STRIP:
                continue
            if way.kind is WayKind.ZEROED_GAUGE:
                _same_gauge(fit, way, engine, taken)
            check = _check(fit, way, engine, shop.instruments, room, taken)
            pairs = zip(check.features, check.instruments, strict=True)
            taken.update({key: one for key, one in pairs if one is not None})
            checks.append(check)
    return tuple(checks)


def _same_gauge(fit: Fit, way: Way, engine: Engine, taken: dict[str, Instrument]) -> None:
    """Zero the gauge that was chosen for the bore: the clearance alone does not tell its range."""
    bores = [key for key in fit.features if engine.features[key].shape is Shape.INSIDE]
    for key in bores:
        if key in taken:
            for term in way.terms:
                taken.setdefault(term.feature, taken[key])
            return


def _check(
    fit: Fit,
    way: Way,
    engine: Engine,
    instruments: Mapping[str, Instrument],
    room: float | None,
    taken: Mapping[str, Instrument],
) -> WayCheck:
    keys = tuple(term.feature for term in way.terms)
    options: list[tuple[Instrument | None, ...]] = []
    for key in keys:
        suited = candidates(engine.features[key], instruments)
        options.append((taken[key],) if key in taken else suited or (None,))
    best: tuple[Instrument | None, ...] = tuple(group[0] for group in options)
    least: float | None = None
    for choice in itertools.product(*options):
        complete = [one for one in choice if one is not None]
        if len(complete) < len(choice):
            break
        if _mixed(keys, complete, engine, instruments):
            continue
        expanded = _expanded_m(fit, way, engine.features, complete, instruments)
        if least is None or expanded < least:
            best, least = choice, expanded
    return WayCheck(
        fit=fit.key,
        way=way,
        features=keys,
        instruments=best,
        room_m=room,
        expanded_m=least,
        refusals=_refusals(fit, way, engine, instruments, room),
    )


def _mixed(
    keys: Sequence[str],
    chosen: Sequence[Instrument],
    engine: Engine,
    instruments: Mapping[str, Instrument],
) -> bool:
    """Whether like features (two walls) would get different instruments although one does both."""
    pairs = itertools.combinations(zip(keys, chosen, strict=True), 2)
    for (key_a, one), (key_b, other) in pairs:
        a, b = engine.features[key_a], engine.features[key_b]
        if a.shape is b.shape and one != other and one in candidates(b, instruments):
            return True
    return False
