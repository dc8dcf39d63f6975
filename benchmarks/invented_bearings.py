"""Invented rod bearings whose truth is known, and somebody who measures them.

Everything that the shop file and the science floor state as a limit or a standard deviation is
drawn here just so: permissible errors anywhere within ± their limit and the same in every reading
of an instrument; a gauge that carries the error (and the zero) of the micrometer it is set in; one
error for each act of setting, one for each fitting of a part, one for each reading; what is shown
is rounded to the smallest step. Nothing of the product is called here but its models of engine,
shop and reading.

Metres, degrees Celsius, degrees of angle. z from −1 (front) to +1 (rear).
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from enum import Enum

import numpy as np

from oilwedge.engine.model import Engine, Feature
from oilwedge.metrology.instrument import Instrument, Strip
from oilwedge.metrology.reading import Bound, Reading, ReadingForm
from oilwedge.metrology.strip import AXIAL_FLOW_LIMIT, BATCH_LIMIT, WIDTH_LIMIT_M
from oilwedge.metrology.thermal import ORDINARY_WORKSHOP
from oilwedge.shop.model import Shop
from oilwedge.tables.expansion import expansion_coefficient

UM = 1e-6
INSTRUMENT_PER_K, INSTRUMENT_LIMIT_PER_K = 11.5e-6, 2.0e-6
STRIP_SCATTER_M, STRIP_SETUP_M = 2.0 * UM, 2.0 * UM
CRUSH_M = 2.5 * UM


class FormSize(Enum):
    """How much form the parts have: limits of taper, barrel and out-of-round, in µm.

    ``PLAIN`` is large in what the quick plan looks at (taper; oval along or across) and has none
    of what it does not (barrel; oval at 45°).
    """

    NONE = "none"
    SMALL = "small"
    LARGE = "large"
    PLAIN = "plain"


class How(Enum):
    """The way a bearing is measured."""

    BORE = "bore"
    WALLS = "walls"
    GAUGE = "gauge"
    MARKS = "strip marks"
    WIDTHS = "strip widths"
    BORE_AND_GAUGE = "bore + gauge"
    BORE_AND_WALLS = "bore + walls"
    BORE_AND_WIDTHS = "bore + strip widths"

    @property
    def features(self) -> tuple[str, ...]:
        bore, gauge = ("rod_journal", "rod_shell_bore"), ("rod_gauge",)
        walls = ("rod_journal", "rod_housing_bore", "rod_upper_wall", "rod_lower_wall")
        return {
            How.BORE: bore,
            How.WALLS: walls,
            How.GAUGE: gauge,
            How.MARKS: ("rod_strip",),
            How.WIDTHS: ("rod_strip",),
            How.BORE_AND_GAUGE: bore + gauge,
            How.BORE_AND_WALLS: bore + walls[1:],
            How.BORE_AND_WIDTHS: (*bore, "rod_strip"),
        }[self]


@dataclass(frozen=True, kw_only=True)
class TrueForm:
    """d(z, θ) = mean + slope·z + barrel·(1/3 − z²) + lobe·cos 2(θ − phase)."""

    mean: float
    slope: float = 0.0
    barrel: float = 0.0
    lobe: float = 0.0
    phase: float = 0.0

    def at(self, z: float, angle: float | None) -> float:
        size = self.mean + self.slope * z + self.barrel * (1.0 / 3.0 - z * z)
        if angle is None:
            return size
        return size + self.lobe * math.cos(2.0 * math.radians(angle - self.phase))


@dataclass(frozen=True, kw_only=True)
class Bearing:
    """The truth of one bearing at 20 °C."""

    journal: TrueForm
    bore: TrueForm
    housing: TrueForm
    walls: tuple[float, float]
    strip_angle: float  # which way of the journal lies under the strip

    @property
    def mean(self) -> float:
        return self.bore.mean - self.journal.mean

    @property
    def tightest(self) -> float:
        return min(self._along()) - self.journal.lobe

    @property
    def loosest(self) -> float:
        return max(self._along()) + self.journal.lobe

    @property
    def taper(self) -> float:
        return 2.0 * abs(self.journal.slope)

    @property
    def out_of_round(self) -> float:
        return 2.0 * self.journal.lobe

    def _along(self) -> list[float]:
        grid = np.linspace(-1.0, 1.0, 201)
        return [self.bore.at(z, None) - self.journal.at(z, None) for z in grid]

    def moved(self, by_m: float) -> Bearing:
        """The same with more clearance: bore and housing grown alike."""
        return replace(
            self,
            bore=replace(self.bore, mean=self.bore.mean + by_m),
            housing=replace(self.housing, mean=self.housing.mean + by_m),
        )


def draw_shape(generator: np.random.Generator, mean_m: float, size: FormSize) -> TrueForm:
    """A journal or housing of this size with a form."""
    low, high, barrel = {
        FormSize.NONE: (0.0, 0.0, 0.0),
        FormSize.SMALL: (0.0, 2.0, 0.5),
        FormSize.LARGE: (5.0, 12.0, 3.0),
        FormSize.PLAIN: (5.0, 12.0, 0.0),
    }[size]
    sign = generator.choice([-1.0, 1.0])
    phase = float(generator.uniform(0.0, 180.0))
    if size is FormSize.PLAIN:
        phase = float(generator.choice([0.0, 90.0]))
    return TrueForm(
        mean=mean_m,
        slope=float(sign * generator.uniform(low, high) / 2.0) * UM,
        barrel=float(generator.uniform(-barrel, barrel)) * UM,
        lobe=float(generator.uniform(low, high) / 2.0) * UM,
        phase=phase,
    )


def draw_bearing(
    generator: np.random.Generator,
    *,
    size: FormSize,
    low_m: float = 12.0 * UM,
    high_m: float = 62.0 * UM,
) -> Bearing:
    """A bearing with its mean clearance anywhere between two limits; parts consistent with it."""
    journal = draw_shape(generator, 47.9725e-3 + generator.uniform(-6, 6) * UM, size)
    shape = draw_shape(generator, 0.0, size)
    mean = journal.mean + float(generator.uniform(low_m, high_m))
    half = FormSize.SMALL if size in (FormSize.SMALL, FormSize.LARGE) else FormSize.NONE
    bore = replace(draw_shape(generator, mean, half), lobe=0.0)
    walls = tuple(float(1.5e-3 + generator.uniform(-3, 3) * UM) for _ in range(2))
    # Across the crown the shells and their nip take up the housing; bore and housing share the
    # form along the axis.
    crown = bore.mean + sum(walls) + float(generator.normal(0.0, CRUSH_M))
    at_crown = shape.lobe * math.cos(2.0 * math.radians(shape.phase))
    housing = replace(shape, mean=crown - at_crown, slope=bore.slope, barrel=bore.barrel)
    return Bearing(
        journal=journal,
        bore=bore,
        housing=housing,
        walls=(walls[0], walls[1]),
        strip_angle=float(generator.uniform(0.0, 180.0)),
    )


@dataclass(frozen=True, kw_only=True)
class Plan:
    """How the measuring is done."""

    how: How
    full: bool = False
    temperatures: bool = False
    fittings: int = 1
    repeats: int = 1


@dataclass(kw_only=True)
class Measurer:
    """One shop on one day: its instruments' errors are drawn once, here."""

    generator: np.random.Generator
    engine: Engine
    shop: Shop
    bearings: Mapping[int, Bearing]
    instruments: Mapping[str, str]  # feature → instrument
    readings: list[Reading] = field(default_factory=list)
    drawn: dict[str, float] = field(default_factory=dict)

    def limit(self, key: str, half: float) -> float:
        """A rectangular error, drawn once for each key."""
        if key not in self.drawn:
            self.drawn[key] = float(self.generator.uniform(-half, half))
        return self.drawn[key]

    def normal(self, key: str, sigma: float) -> float:
        """A normal error, drawn once for each key."""
        if key not in self.drawn:
            self.drawn[key] = float(self.generator.normal(0.0, sigma))
        return self.drawn[key]

    def scatter(self, sigma: float) -> float:
        return float(self.generator.normal(0.0, sigma))

    @property
    def room_c(self) -> float:
        return 20.0 + self.limit("room", ORDINARY_WORKSHOP.room_limit_k)

    def part_c(self, label: str) -> float:
        """A part differs from its instrument, which is as warm as the room."""
        return self.room_c + self.limit(f"part {label}", ORDINARY_WORKSHOP.difference_limit_k)

    def per_k(self, feature: Feature) -> float:
        known = expansion_coefficient(feature.material)
        return known.value_per_k + self.limit(f"α {known.material}", known.half_width_per_k)

    def measure(self, plan: Plan, *, numbers: Sequence[int], fittings: Sequence[int]) -> None:
        """Take every reading of the plan on these bearings."""
        for key in plan.how.features:
            for number in numbers:
                for fitting in fittings:
                    self._feature(plan, self.engine.features[key], number, fitting)

    def _feature(self, plan: Plan, feature: Feature, number: int, fitting: int) -> None:
        places = feature.places if plan.full else feature.quick_places
        directions = (feature.directions if plan.full else feature.quick_directions) or (None,)
        if feature.key == "rod_strip":
            for place in places:
                self._strip(plan, feature, number, fitting, place.name, place.position)
            return
        for _ in range(plan.repeats):
            for place in places:
                for direction in directions:
                    angle = None if direction is None else direction.angle_deg
                    true = self._indicated(feature, number, fitting, place.position, angle)
                    tool = self.shop.instruments[self.instruments[feature.key]]
                    shown = true + self._reading_error(feature, tool, number, fitting)
                    step = tool.resolution_m
                    self._write(
                        plan,
                        feature,
                        number,
                        fitting,
                        place=place.name,
                        direction="" if direction is None else direction.name,
                        value_m=round(shown / step) * step,
                        instrument=tool.key,
                    )

    def _truth(self, feature: Feature, number: int) -> TrueForm:
        bearing = self.bearings[number]
        walls = {"rod_upper_wall": bearing.walls[0], "rod_lower_wall": bearing.walls[1]}
        if feature.key in walls:
            return TrueForm(mean=walls[feature.key])
        return {
            "rod_journal": bearing.journal,
            "rod_shell_bore": bearing.bore,
            "rod_housing_bore": bearing.housing,
        }[feature.key]

    def _indicated(
        self, feature: Feature, number: int, fitting: int, z: float, angle: float | None
    ) -> float:
        """What a faultless instrument would show: the warm part on the warm scale."""
        if feature.key == "rod_gauge":
            bore, journal = (self.engine.features[key] for key in ("rod_shell_bore", "rod_journal"))
            # Zeroed once at the journal, over the middle, in line with the web.
            zero = self._warm(self._truth(journal, number).at(0.0, 0.0), journal, number)
            mic = self.shop.instruments[self.instruments["rod_journal"]]
            zero += self.normal(f"zeroing {number} {fitting} feel", mic.repeatability_m or 0.0)
            zero += self.normal(f"zeroing {number} {fitting} seat", mic.setup_m)
            return self._warm(self._truth(bore, number).at(z, None), bore, number) - zero
        return self._warm(self._truth(feature, number).at(z, angle), feature, number)

    def _warm(self, size_m: float, feature: Feature, number: int) -> float:
        away = self.part_c(feature.label(number)) - 20.0
        scale = INSTRUMENT_PER_K + self.limit("α instruments", INSTRUMENT_LIMIT_PER_K)
        return size_m * (1.0 + self.per_k(feature) * away) / (1.0 + scale * (self.room_c - 20.0))

    def _reading_error(
        self, feature: Feature, tool: Instrument, number: int, fitting: int
    ) -> float:
        error = self.limit(f"error {tool.key}", tool.permissible_error_m)
        # Zeroed at each journal anew, else set once for all bearings.
        each = f" at {number}" if feature.key == "rod_gauge" else ""
        error += self.normal(f"setting {tool.key} {fitting}{each}", tool.setting_m)
        if tool.set_in and feature.key != "rod_gauge":
            master = self.shop.instruments[tool.set_in]
            error += self.limit(f"error {master.key}", master.permissible_error_m)
            error += self.normal(f"setting {master.key} {fitting}", master.setting_m)
        error += self.normal(f"set-up {feature.label(number)} {fitting}", tool.setup_m)
        return error + self.scatter(tool.repeatability_m or 0.0)

    def _strip(
        self, plan: Plan, feature: Feature, number: int, fitting: int, place: str, z: float
    ) -> None:
        bearing, strip = self.bearings[number], self.shop.strips["narrow"]
        clearance = bearing.bore.at(z, None) - bearing.journal.at(z, bearing.strip_angle)
        bore, journal = (self.engine.features[key] for key in ("rod_shell_bore", "rod_journal"))
        warm = self.per_k(bore) * (self.part_c(feature.label(number)) - 20.0)
        clearance += bearing.journal.mean * (warm - self.per_k(journal) * (self.room_c - 20.0))
        clearance += self.normal(f"set-up {feature.label(number)} {fitting}", STRIP_SETUP_M)
        clearance = max(clearance + self.scatter(STRIP_SCATTER_M), 3.0 * UM)
        flow = self.drawn.setdefault("flow", float(self.generator.uniform(0.0, AXIAL_FLOW_LIMIT)))
        share = (1.0 + self.limit("batch", BATCH_LIMIT)) * (1.0 - flow)
        width = _width(strip, clearance) * share
        value, form = (
            width + float(self.generator.uniform(-1, 1)) * WIDTH_LIMIT_M,
            ReadingForm.WIDTH,
        )
        bound = Bound.NONE
        if plan.how is How.MARKS:
            value, bound = _nearest_mark(strip, width)
            form = ReadingForm.ABSOLUTE
        self._write(
            plan,
            feature,
            number,
            fitting,
            place=place,
            direction="",
            value_m=value,
            instrument="narrow",
            form=form,
            bound=bound,
        )

    def _write(
        self,
        plan: Plan,
        feature: Feature,
        number: int,
        fitting: int,
        *,
        place: str,
        direction: str,
        value_m: float,
        instrument: str,
        form: ReadingForm = ReadingForm.ABSOLUTE,
        bound: Bound = Bound.NONE,
    ) -> None:
        part_c = instrument_c = None
        if plan.temperatures:
            wrong = self.limit("thermometer", ORDINARY_WORKSHOP.thermometer_limit_k)
            # A gauge or strip stands in the bore: the housing is the part.
            label = self.engine.features[
                "rod_shell_bore" if feature.key == "rod_gauge" else feature.key
            ].label(number)
            part_c, instrument_c = self.part_c(label) + wrong, self.room_c + wrong
        self.readings.append(
            Reading(
                id=f"r{len(self.readings) + 1}",
                feature=feature.key,
                number=number,
                place=place,
                direction=direction,
                value_m=value_m,
                form=form,
                bound=bound,
                unit="mm",
                instrument=instrument,
                part_temperature_c=part_c,
                instrument_temperature_c=instrument_c,
                fitting=fitting,
                setting=str(fitting),
            )
        )


def _width(strip: Strip, clearance_m: float) -> float:
    """Width of the flattened thread by the wrapper's own bars (linear in 1/w between them)."""
    bars = sorted((b.clearance_m, b.width_m) for b in strip.bars if b.width_m is not None)
    if clearance_m <= bars[0][0]:
        return bars[0][0] * bars[0][1] / clearance_m
    if clearance_m >= bars[-1][0]:
        return bars[-1][0] * bars[-1][1] / clearance_m
    inverse = np.interp(clearance_m, [c for c, _ in bars], [1.0 / w for _, w in bars])
    return 1.0 / float(inverse)


def _nearest_mark(strip: Strip, width_m: float) -> tuple[float, Bound]:
    """The bar whose width is nearest; beyond the last bars by more than 10 %, one-sided."""
    bars = [(b.width_m, b.clearance_m) for b in strip.bars if b.width_m is not None]
    widest, narrowest = max(bars), min(bars)
    if width_m > 1.1 * widest[0]:
        return widest[1], Bound.AT_MOST
    if width_m < 0.9 * narrowest[0]:
        return narrowest[1], Bound.AT_LEAST
    return min(bars, key=lambda bar: abs(bar[0] - width_m))[1], Bound.NONE
