"""The catalogue: the kinds of features, fits and parts that are known, read from data.

The kinds come as :class:`Feature` and :class:`Fit` values with count 0 and without sizes or
limits; an engine file fills them in. The data is ``catalogue.toml`` beside this module.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from importlib import resources
from typing import Any

from oilwedge.engine.model import (
    Direction,
    Feature,
    Fit,
    Judged,
    LimitsSource,
    Per,
    Place,
    Shape,
    Term,
    Way,
    WayKind,
)
from oilwedge.units import Dimension, parse_quantity

NO_SOURCE = "common practice, no source"


@dataclass(frozen=True, kw_only=True, slots=True)
class FitTraits:
    """What the check of an engine file has to know about a kind of fit."""

    upper_only: bool = False  # form and run-out: there is no low limit
    runout: bool = False  # its limit may speak of the total reading or of the bend
    interference: bool = False  # the shaft may be larger than its bore on purpose


@dataclass(frozen=True, kw_only=True, slots=True)
class Catalogue:
    """All known kinds; ``plausible`` are the lengths in metres that a size or limit can have."""

    parts: Mapping[str, str]
    features: Mapping[str, Feature]
    fits: Mapping[str, Fit]
    traits: Mapping[str, FitTraits]
    plausible_sizes: Mapping[str, tuple[float, float]]
    plausible_limits: Mapping[str, tuple[float, float]]


@dataclass(frozen=True, kw_only=True, slots=True)
class _Measured:
    """Places and directions, quick and full."""

    quick_places: tuple[Place, ...]
    places: tuple[Place, ...]
    quick_directions: tuple[Direction, ...]
    directions: tuple[Direction, ...]


@lru_cache(maxsize=1)
def catalogue() -> Catalogue:
    """The catalogue; read once."""
    data = tomllib.loads(
        resources.files("oilwedge.engine").joinpath("catalogue.toml").read_text(encoding="utf-8")
    )
    measured = {key: _measured(table) for key, table in data["measured"].items()}
    features = {
        key: _feature(key, table, measured[table["measured"]])
        for key, table in data["features"].items()
    }
    return Catalogue(
        parts=data["parts"],
        features=features,
        fits={key: _fit(key, table) for key, table in data["fits"].items()},
        traits={
            key: FitTraits(
                upper_only=table.get("upper_only", False),
                runout=table.get("runout", False),
                interference=table.get("interference", False),
            )
            for key, table in data["fits"].items()
        },
        plausible_sizes={
            key: _range(table["plausible"]) for key, table in data["features"].items()
        },
        plausible_limits={key: _range(table["plausible"]) for key, table in data["fits"].items()},
    )


def _measured(table: Mapping[str, Any]) -> _Measured:
    def places(key: str) -> tuple[Place, ...]:
        return tuple(Place(name=name, position=at) for name, at in table.get(key, ()))

    def directions(key: str) -> tuple[Direction, ...]:
        return tuple(
            Direction(name=name, angle_deg=float(angle)) for name, angle in table.get(key, ())
        )

    return _Measured(
        quick_places=places("quick_places"),
        places=places("places"),
        quick_directions=directions("quick_directions"),
        directions=directions("directions"),
    )


def _feature(key: str, table: Mapping[str, Any], measured: _Measured) -> Feature:
    return Feature(
        key=key,
        title=table["title"],
        per=Per(table["per"]),
        shape=Shape(table["shape"]),
        count=0,
        parts=tuple(table["parts"]),
        material=table.get("material", "steel"),
        places=measured.places,
        directions=measured.directions,
        quick_places=measured.quick_places,
        quick_directions=measured.quick_directions,
        form_judged=table.get("form_judged", False),
        instrument=table["instrument"],
        how=table["how"],
        explain=table["explain"],
        undersize_factor=float(table.get("undersize_factor", 0)),
    )


def _fit(key: str, table: Mapping[str, Any]) -> Fit:
    practice = _range(table["practice"]) if "practice" in table else None
    return Fit(
        key=key,
        title=table["title"],
        per=Per(table["per"]),
        count=0,
        ways=tuple(_way(way) for way in table["ways"]),
        parts=tuple(table["parts"]),
        judged=Judged(table.get("judged", "size")),
        limits_source=LimitsSource(table.get("limits", "own")),
        words_small=table.get("too_small", "too tight"),
        words_large=table.get("too_large", "too loose"),
        words_loose=table.get("loose", "loose"),
        words_past=table.get("past", "past service limit"),
        if_small=table.get("if_small", ""),
        if_large=table.get("if_large", ""),
        explain=table["explain"],
        practice_low_m=practice[0] if practice else None,
        practice_high_m=practice[1] if practice else None,
        practice_text=_practice_text(table["practice"]) if practice else "",
    )


def _way(table: Mapping[str, Any]) -> Way:
    return Way(
        key=table["key"],
        title=table["title"],
        kind=WayKind(table["kind"]),
        terms=tuple(
            Term(coefficient=float(term["times"]), feature=term["feature"])
            for term in table["terms"]
        ),
        extra_standard_uncertainty_m=_length(table.get("extra", "0 mm")),
    )


def _practice_text(pair: list[str]) -> str:
    low, high = pair
    if _length(low) == 0.0:
        return f"up to {high} ({NO_SOURCE})"
    return f"{low.removesuffix(' mm')} to {high} ({NO_SOURCE})"


def _range(pair: list[str]) -> tuple[float, float]:
    return _length(pair[0]), _length(pair[1])


def _length(text: str) -> float:
    return parse_quantity(text, dimension=Dimension.LENGTH).value_si
