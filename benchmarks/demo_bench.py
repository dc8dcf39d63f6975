"""Somebody at the bench of the invented workshop, writing down row after row.

Every part has an invented true size; a reading is that size at its place and direction, swollen
by its temperature, plus the scatter of the instrument that the shop file gives, rounded to the
smallest step that the instrument shows.
"""

from __future__ import annotations

import csv
import io
import random
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from decimal import Decimal
from math import cos, radians
from pathlib import Path
from statistics import NormalDist

from oilwedge.engine.file import read_engine
from oilwedge.engine.model import Direction, Engine, Feature, Place, Shape
from oilwedge.shop.file import read_shop
from oilwedge.shop.model import Shop

DEMO = Path(__file__).resolve().parents[1] / "src" / "oilwedge" / "demo"
METRES = {"mm": 1e-3, "in": 0.0254, "thou": 2.54e-5}
PART_SCATTER = 0.06  # one standard deviation of like parts, as a share of their tolerance
STRIP_SCATTER_M = 0.8e-6
STEEL_PER_K = 11.5e-6
PER_K = {"aluminium": 21.5e-6, "piston alloy": 19.5e-6}  # every other part like the instruments
HEADER = (
    "event", "feature", "number", "place", "direction", "value", "unit", "instrument", "person",
    "time", "part temperature", "instrument temperature", "repeat", "id", "replaces", "note",
)  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class Part:
    """The true shape of one part in the unit of its story.

    d(z, θ) = mean + slope·z + lobe·cos 2θ, with z from -1 (front, top) to +1 (rear, bottom).
    """

    mean: float
    slope: float = 0.0
    lobe: float = 0.0


@dataclass(frozen=True, kw_only=True)
class Style:
    """How one table is written: its separator and decimal sign, units, and zeros before a point."""

    separator: str = ","
    decimal_sign: str = "."
    unit: str = "mm"
    unit_column: bool = False
    leading_zero: bool = True

    def number(self, text: str) -> str:
        """A number as this table writes it."""
        text = (
            text if self.leading_zero else text.replace("0.", ".", 1) if text[:2] == "0." else text
        )
        return text.replace(".", self.decimal_sign)


@dataclass(kw_only=True)
class Bench:
    """Somebody at the bench, writing down row after row."""

    engine: Engine
    shop: Shop
    style: Style
    clock: datetime
    parts: Mapping[tuple[str, int], Part]
    person: str = "ada"
    part_c: str = ""
    instrument_c: str = ""
    rows: list[dict[str, str]] = field(default_factory=list)

    def note(self, text: str) -> None:
        """A remark on the whole record."""
        self.rows.append({"event": "note", "note": text})

    def event(self, event: str, what: str, value: str, *, number: str = "", note: str = "") -> None:
        """Something that was done to a part, or is known of it."""
        self.rows.append(
            {"event": event, "feature": what, "number": number, "value": value, "note": note}
            | {"person": self.person, "time": self._now()}
        )

    def state(self, condition: str, *parts: str, note: str = "") -> None:
        """What parts are: new, machined or re-used, all of their kind."""
        for part in parts:
            self.event("condition", part, condition, number="all", note=note)

    def zero(self, *instruments: str, value: str = "passed", note: str = "") -> None:
        """Zero checks."""
        for key in instruments:
            self.rows.append(
                {"event": "zero check", "instrument": key, "value": value, "note": note}
                | {"person": self.person, "time": self._now()}
            )

    def later(self, *, days: int = 0, hours: int = 0) -> None:
        """Time passes."""
        self.clock += timedelta(days=days, hours=hours)

    def _now(self) -> str:
        self.clock += timedelta(minutes=1)
        return self.clock.isoformat(sep=" ", timespec="minutes")

    def read(
        self,
        key: str,
        *,
        instrument: str,
        numbers: Iterable[int] | None = None,
        unit: str = "",
        slips: Mapping[tuple[int, str, str], str] | None = None,
        repeat: str = "",
        round_: str = "",
        id: str = "",
        replaces: str = "",
        note: str = "",
    ) -> None:
        """Read a feature by the quick plan, number by number.

        ``slips`` are what was written by mistake instead of what the instrument showed, by number,
        place and direction; ``round_`` sets the scatter of one round of measuring apart from that
        of another.
        """
        feature = self.engine.features[key]
        for number in numbers or feature.numbers:
            for place in feature.quick_places or (Place(name="", position=0.0),):
                for direction in feature.quick_directions or (Direction(name="", angle_deg=0.0),):
                    spot = (place, direction)
                    name = f"{key} {number} {place.name} {direction.name} {repeat}{round_}"
                    shown = self._shown(feature, number, spot, instrument, unit, name)
                    shown = (slips or {}).get((number, place.name, direction.name), shown)
                    row = {
                        "feature": key.replace("_", " "), "number": str(number),
                        "place": place.name, "direction": direction.name, "value": shown,
                        "unit": unit or self.style.unit, "instrument": instrument,
                        "person": self.person, "time": self._now(),
                        "part temperature": self.part_c,
                        "instrument temperature": self.instrument_c,
                        "repeat": repeat, "id": id, "replaces": replaces, "note": note,
                    }  # fmt: skip
                    self.rows.append(row)

    def _shown(
        self,
        feature: Feature,
        number: int,
        spot: tuple[Place, Direction],
        instrument: str,
        unit: str,
        name: str,
    ) -> str:
        true = self._true(feature, number, *spot) * METRES[self.style.unit]
        draw = random.Random(f"{self.engine.name}: {name}").random()
        scatter = NormalDist().inv_cdf(min(max(draw, 0.02), 0.98))
        if feature.shape is Shape.STRIP:
            return self._flattened(true + scatter * STRIP_SCATTER_M, instrument, unit)
        known = self.shop.instruments[instrument]
        true *= 1.0 + self._swell(feature.material)
        true += scatter * (known.repeatability_m or 0.0)
        return self.style.number(stepped(true, known.resolution_m, unit or self.style.unit))

    def _swell(self, material: str) -> float:
        """How much larger a part looks at its temperature, read with an instrument at its own."""
        part_k, instrument_k = (
            float(text.replace(",", ".")) - 20.0 if text else 0.0
            for text in (self.part_c, self.instrument_c)
        )
        return PER_K.get(material, STEEL_PER_K) * part_k - STEEL_PER_K * instrument_k

    def _flattened(self, clearance_m: float, key: str, unit: str) -> str:
        """A strip: its width in mm, or in an inch table the clearance between two marks."""
        strip = self.shop.strips[key]
        if clearance_m < strip.low_m:
            return "wider than the widest bar"
        if unit == "thou":
            return self.style.number(stepped(clearance_m, 0.1 * METRES["thou"], "thou"))
        bars = [bar.clearance_m * (bar.width_m or 0.0) for bar in strip.bars]
        width_m = sum(bars) / len(bars) / clearance_m
        return "width " + self.style.number(stepped(width_m, 0.05e-3, "mm"))

    def _true(self, feature: Feature, number: int, place: Place, direction: Direction) -> float:
        part = self.parts.get((feature.key, number)) or self._usual(feature, number, place)
        lobe = part.lobe * cos(2.0 * radians(direction.angle_deg))
        return part.mean + part.slope * place.position + lobe

    def _usual(self, feature: Feature, number: int, place: Place) -> Part:
        """A part near the middle of its limits; a clearance from the parts that make it."""
        family, _, what = feature.key.partition("_")
        if what in ("strip", "gauge"):
            square, along = Direction(name="", angle_deg=0.0), Direction(name="", angle_deg=90.0)
            bore = self._true(self.engine.features[f"{family}_shell_bore"], number, place, square)
            journal = self.engine.features[f"{family}_journal"]
            sides = [self._true(journal, number, place, way) for way in (square, along)]
            return Part(mean=bore - sum(sides) / 2.0)
        low_m, high_m = feature.low_m, feature.high_m
        if low_m is None or high_m is None:
            low_m, high_m = self._gap_limits(feature)
        draw = random.Random(f"{self.engine.name}: {feature.key} {number}").random()
        share = 0.5 + PART_SCATTER * NormalDist().inv_cdf(min(max(draw, 0.05), 0.95))
        return Part(mean=(low_m + share * (high_m - low_m)) / METRES[self.style.unit])

    def _gap_limits(self, feature: Feature) -> tuple[float, float]:
        """The limits of the fit that reads this gap directly."""
        for fit in self.engine.fits.values():
            if any([term.feature for term in way.terms] == [feature.key] for way in fit.ways):
                return fit.low_m or 0.0, fit.high_m or 0.0
        raise LookupError(feature.key)

    def table(self) -> str:
        """All rows as the text of a CSV file; the columns that hold something."""
        style = self.style
        left_out = {name for name in HEADER if not any(row.get(name) for row in self.rows)}
        if not style.unit_column:
            left_out.add("unit")
        names = [name for name in HEADER if name not in left_out]
        titles = [
            f"value [{style.unit}]" if name == "value" and not style.unit_column else name
            for name in names
        ]
        text = io.StringIO()
        writer = csv.writer(text, delimiter=style.separator, lineterminator="\n")
        writer.writerow(titles)
        writer.writerows([row.get(name, "") for name in names] for row in self.rows)
        return text.getvalue()


def stepped(value_m: float, step_m: float, unit: str) -> str:
    """A length in a unit, as an instrument with this smallest step shows it."""
    step = Decimal(repr(round(step_m / METRES[unit], 9))).normalize()
    return f"{(round(value_m / METRES[unit] / float(step)) * step).quantize(step):f}"


def bench(name: str, *, style: Style, parts: Mapping[tuple[str, int], Part], start: str) -> Bench:
    """A bench with one engine on it."""
    engine = read_engine((DEMO / f"{name}.toml").read_text(encoding="utf-8"), file=f"{name}.toml")
    shop = read_shop((DEMO / "shop.toml").read_text(encoding="utf-8"), file="shop.toml")
    return Bench(
        engine=engine,
        shop=shop,
        style=style,
        parts=parts,
        clock=datetime.fromisoformat(start),
    )
