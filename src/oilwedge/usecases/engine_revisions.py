"""Two engine files held against each other: what they say differently, and what that changes."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import Enum

from oilwedge.engine.duty_file import AS_IN_DUTY
from oilwedge.engine.file import read_engine
from oilwedge.engine.model import Engine, Feature, Fit
from oilwedge.engine.running import Running
from oilwedge.job.entry import Entry
from oilwedge.job.standing import has_place
from oilwedge.metrology.reading import Reading
from oilwedge.shop.model import Shop
from oilwedge.units import format_length
from oilwedge.usecases.judging import judge
from oilwedge.usecases.length_face import LengthFace
from oilwedge.usecases.verdict_changes import VerdictChange, verdict_changes

NOT_GIVEN = "not given"
_LENGTHS = {
    "nominal_m": "nominal size",
    "low_m": "low size",
    "high_m": "high size",
    "length_m": "length",
}
_LIMITS = {
    "low_m": "low limit",
    "high_m": "high limit",
    "service_low_m": "lower service limit",
    "service_high_m": "service limit",
    "target_m": "target",
}
_FIT_WORDS = {
    "limits_from": "limits from",
    "low_judged_at": "low limit judged at",
    "high_judged_at": "high limit judged at",
    "service_for": "service limit holds with",
    "per_length_m": "taper over",
    "meaning": "run-out limit speaks of",
    "parts": "parts whose wear it is",
}


class Part(Enum):
    """What part of an engine file a difference is in."""

    ENGINE = "engine"
    LAYOUT = "layout"
    SIZES = "sizes"
    LIMITS = "limits"
    SUPPLIES = "marks, grades, fasteners, oil and duty"
    RUNNING = "crank train, bearings and conditions"


@dataclass(frozen=True, kw_only=True, slots=True)
class Difference:
    """One thing that the files say differently, old and new in words."""

    part: Part
    key: str
    name: str
    old: str
    new: str

    @property
    def sentence(self) -> str:
        """ "rod bearing, high limit: 0.049 mm → 0.055 mm"."""
        return f"{self.name}: {self.old} → {self.new}"


@dataclass(frozen=True, kw_only=True, slots=True)
class Comparison:
    """What two engine files say differently, and what that does to a record.

    ``lost`` names features that have readings and that the new file does not have; their readings
    judge nothing under it.
    """

    before: Engine
    after: Engine
    differences: tuple[Difference, ...]
    verdicts: tuple[VerdictChange, ...] = ()
    lost: tuple[str, ...] = ()

    @property
    def same(self) -> bool:
        """Whether they mean the same, whatever their text."""
        return not self.differences

    @property
    def only_words(self) -> bool:
        """Whether the texts differ in blanks, comments or order only."""
        return self.same and self.before.digest != self.after.digest


def compare_texts(
    before: str,
    after: str,
    *,
    face: LengthFace,
    shop: Shop | None = None,
    entries: Sequence[Entry] = (),
    names: tuple[str, str] = ("before", "after"),
) -> Comparison:
    """The same for the texts of two engine files; raises EngineFileError for a faulty one."""
    return compare_engines(
        read_engine(before, file=names[0]),
        read_engine(after, file=names[1]),
        face=face,
        shop=shop,
        entries=entries,
    )


def compare_engines(
    before: Engine,
    after: Engine,
    *,
    face: LengthFace,
    shop: Shop | None = None,
    entries: Sequence[Entry] = (),
) -> Comparison:
    """Layout, sizes, limits and the rest that differ; with a shop, the verdicts that change."""
    old, new = (dict(_said(one, face=face)) for one in (before, after))
    differences = []
    for key in dict.fromkeys((*new, *old)):
        was, now = old.get(key), new.get(key)
        shown = was or now
        assert shown is not None
        texts = (was.text if was else NOT_GIVEN, now.text if now else NOT_GIVEN)
        if texts[0] != texts[1]:
            differences.append(
                Difference(part=shown.part, key=key, name=shown.name, old=texts[0], new=texts[1])
            )
    verdicts: tuple[VerdictChange, ...] = ()
    if shop is not None:
        verdicts = verdict_changes(
            before=judge(engine=before, shop=shop, entries=entries),
            after=judge(engine=after, shop=shop, entries=entries),
            face=face,
        )
    order = list(Part)
    return Comparison(
        before=before,
        after=after,
        differences=tuple(sorted(differences, key=lambda one: order.index(one.part))),
        verdicts=verdicts,
        lost=_lost(entries, before=before, after=after),
    )


def _lost(entries: Sequence[Entry], *, before: Engine, after: Engine) -> tuple[str, ...]:
    gone = {
        (one.feature, one.number): None
        for one in entries
        if isinstance(one, Reading)
        and has_place(engine=before, reading=one)
        and not has_place(engine=after, reading=one)
    }
    return tuple(before.features[key].label(number) for key, number in gone)


@dataclass(frozen=True, kw_only=True, slots=True)
class _Said:
    part: Part
    name: str
    text: str


def _said(engine: Engine, *, face: LengthFace) -> Iterator[tuple[str, _Said]]:
    """Everything that an engine says, by key; what it does not say is left out."""
    yield "engine.name", _Said(part=Part.ENGINE, name="name", text=engine.name)
    yield "engine.rule", _Said(part=Part.ENGINE, name="rule", text=engine.rule.value)
    yield "engine.unit", _Said(part=Part.ENGINE, name="lengths shown in", text=engine.unit)
    if engine.notes:
        yield "engine.notes", _Said(part=Part.ENGINE, name="notes", text=engine.notes)
    yield from _fields(engine.layout, "layout", "layout", part=Part.LAYOUT, face=face)
    for key, feature in engine.features.items():
        yield from _feature(key, feature, face=face)
    for key, fit in engine.fits.items():
        yield from _fit(key, fit, face=face)
    for name in ("marks", "grades", "fasteners", "oil", "duty"):
        value = getattr(engine, name)
        yield from _fields(value, name, name, part=Part.SUPPLIES, face=face)
    yield from _running(engine.running, face=face)


def _running(running: Running, *, face: LengthFace) -> Iterator[tuple[str, _Said]]:
    weights = {str(at): one for at, one in enumerate(running.crank_train.counterweights, start=1)}
    named: dict[str, object] = {
        "crank train": dataclasses.replace(running.crank_train, counterweights=()),
        "counterweight": weights,
        "bearings": running.bearings,
        "condition": {one.name: one for one in running.conditions if one.name != AS_IN_DUTY},
    }
    for name, value in named.items():
        yield from _fields(value, f"running.{name}", name, part=Part.RUNNING, face=face)


def _feature(key: str, feature: Feature, *, face: LengthFace) -> Iterator[tuple[str, _Said]]:
    path = f"features.{key}"
    yield path, _Said(part=Part.SIZES, name=feature.title, text=f"{feature.count} of them")
    for field, words in _LENGTHS.items():
        value_m = getattr(feature, field)
        if value_m is not None:
            name = f"{feature.title}, {words}"
            yield (
                f"{path}.{field}",
                _Said(part=Part.SIZES, name=name, text=_length(value_m, face=face)),
            )
    for number, own in feature.exceptions.items():
        for field in ("nominal_m", "low_m", "high_m"):
            value_m = getattr(own, field)
            if value_m is not None:
                name = f"{feature.label(number)}, {_LENGTHS[field]}"
                said = _Said(part=Part.SIZES, name=name, text=_length(value_m, face=face))
                yield f"{path}.{number}.{field}", said
    for field in ("material", "instrument", "measured_at", "parts", "places", "directions"):
        text = _plain(getattr(feature, field), face=face)
        if text:
            name = f"{feature.title}, {field.replace('_', ' ')}"
            yield f"{path}.{field}", _Said(part=Part.SIZES, name=name, text=text)


def _fit(key: str, fit: Fit, *, face: LengthFace) -> Iterator[tuple[str, _Said]]:
    path = f"fits.{key}"
    yield path, _Said(part=Part.LIMITS, name=fit.title, text=f"{fit.count} of them")
    for number, own in ((0, fit), *((n, fit.at(n)) for n in fit.exceptions)):
        label = fit.label(number) if number else fit.title
        at = f"{path}.{number}" if number else path
        for field, words in _LIMITS.items():
            value_m = getattr(own, field)
            if value_m is not None and (not number or value_m != getattr(fit, field)):
                said = _Said(
                    part=Part.LIMITS, name=f"{label}, {words}", text=_length(value_m, face=face)
                )
                yield f"{at}.{field}", said
    for field, words in _FIT_WORDS.items():
        text = _plain(getattr(fit, field), face=face, field=field)
        if text:
            said = _Said(part=Part.LIMITS, name=f"{fit.title}, {words}", text=text)
            yield f"{path}.{field}", said
    ways = ", ".join(way.title for way in fit.ways)
    yield f"{path}.ways", _Said(part=Part.LIMITS, name=f"{fit.title}, ways", text=ways)


def _fields(
    value: object, path: str, name: str, *, part: Part, face: LengthFace
) -> Iterator[tuple[str, _Said]]:
    """The fields of a value that has no words of its own, down to what can be said."""
    if isinstance(value, Mapping):
        for key, one in value.items():
            title = f"{name}, {str(key).replace('_', ' ')}"
            yield from _fields(one, f"{path}.{key}", title, part=part, face=face)
        return
    if not dataclasses.is_dataclass(value):
        field = path.rpartition(".")[2]
        text = _plain(value, face=face, field=field)
        if text:
            yield path, _Said(part=part, name=name, text=text)
        return
    for field_of in dataclasses.fields(value):
        title = f"{name}, {_field_words(field_of.name)}"
        yield from _fields(
            getattr(value, field_of.name), f"{path}.{field_of.name}", title, part=part, face=face
        )


def _length(value_m: float, *, face: LengthFace) -> str:
    """A length with one digit more than is shown elsewhere where it has one."""
    finer = format_length(value_m=value_m, unit=face.unit, decimals=face.decimals + 1)
    return finer if not finer.partition(" ")[0].endswith("0") else face.length(value_m)


_UNITS = {
    "_pa_s": "Pa s",
    "_kg_m3": "kg/m³",
    "_kg_m": "kg m",
    "_m2_s": "m²/s",
    "_n_m": "N m",
    "_deg": "°",
    "_rpm": "1/min",
    "_kg": "kg",
    "_pa": "Pa",
    "_m": "m",
    "_c": "°C",
    "_k": "K",
}
_SUFFIXES = tuple(_UNITS)  # "_kg_m" before "_m"


def _field_words(field: str) -> str:
    suffix = next((one for one in _SUFFIXES if field.endswith(one)), "")
    return field.removesuffix(suffix).replace("_", " ")


def _plain(value: object, *, face: LengthFace, field: str = "") -> str:
    """A value in words; empty for one that says nothing."""
    if isinstance(value, Enum):
        return str(value.value)
    if isinstance(value, float):
        suffix = next((one for one in _SUFFIXES if field.endswith(one)), "")
        if field.endswith("roughness_m"):
            return f"{value * 1e6:g} µm"
        if suffix == "_m" or field.endswith("s_m"):
            return _length(value, face=face)
        unit = _UNITS.get(suffix, "")
        return f"{value:g}{'' if unit == '°' else ' ' if unit else ''}{unit}"
    if isinstance(value, tuple):
        return ", ".join(_plain(one, face=face, field=field) for one in value)
    if dataclasses.is_dataclass(value):
        named = [getattr(value, one.name) for one in dataclasses.fields(value)]
        if hasattr(value, "text"):  # the number as written is said by the text
            named = [one for one in named if isinstance(one, str)]
        return " ".join(text for one in named if (text := _plain(one, face=face, field=field)))
    return "" if value is None else str(value)
