"""Coefficients of linear expansion of what engines and instruments are made of."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from types import MappingProxyType

from oilwedge.errors import Fault, UnknownNameError, did_you_mean
from oilwedge.sources import Status


@dataclass(frozen=True, slots=True, kw_only=True)
class Coefficient:
    """α of ΔL = L·α·Δt: within value ± half width, anywhere alike (u = half width/√3).

    ``source`` is a key of the bibliography, or "common practice, no source".
    """

    material: str
    value_per_k: float
    half_width_per_k: float
    source: str
    status: Status
    note: str


@cache
def _table() -> tuple[Mapping[str, Coefficient], Mapping[str, str]]:
    rows = tomllib.loads(Path(__file__).with_suffix(".toml").read_text(encoding="utf-8"))
    coefficients: dict[str, Coefficient] = {}
    names: dict[str, str] = {}
    for material, row in rows.items():
        coefficients[material] = Coefficient(
            material=material,
            value_per_k=row["value"] / 1e6,
            half_width_per_k=row["half_width"] / 1e6,
            source=row["source"],
            status=Status(row["status"]),
            note=row["note"],
        )
        for name in (material, *row["aliases"]):
            names[_plain(name)] = material
    return MappingProxyType(coefficients), MappingProxyType(names)


def materials() -> tuple[str, ...]:
    """The names of all materials, without their aliases."""
    return tuple(_table()[0])


def expansion_coefficient(material: str) -> Coefficient:
    """α near room temperature, 1/K, with its half width and source.

    Capitals, hyphens and underscores do not matter. UnknownNameError for a material that is not
    in the table: give the coefficient itself instead.
    """
    coefficients, names = _table()
    found = names.get(_plain(material))
    if found is None:
        raise UnknownNameError(
            Fault(
                given=material,
                allowed=f"a material is one of {', '.join(coefficients)}",
                action=did_you_mean(given=_plain(material), allowed=names)
                or "or give its coefficient of expansion itself",
            )
        )
    return coefficients[found]


def _plain(name: str) -> str:
    return " ".join(name.casefold().replace("-", " ").replace("_", " ").split())
