"""Grades of oil: SAE J300 for engines, ISO 3448 for industry, in SI units.

A grade is a window and not an oil: two oils of one grade may differ by a third in viscosity.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import Any, TypeVar

from oilwedge.errors import Fault, InputError, UnknownNameError
from oilwedge.sources import Status

_MM2_S = 1e6  # in 1 m²/s; dividing keeps 12.5 mm²/s at the float next to 12.5e-6
_MPA_S = 1e3
_Part = TypeVar("_Part")
_LIGHT = frozenset({"0W", "5W", "10W"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """From low to high, in the unit that the name of its owner says."""

    low: float
    high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class WinterGrade:
    """A W grade of SAE J300: most when cold (cranking, pumping without yield), least at 100 °C.

    ``usual_viscosity_index`` is common practice, no source: the standard asks for none.
    """

    name: str
    cranking_limit_pa_s: float
    cranking_temperature_c: float
    pumping_limit_pa_s: float
    pumping_temperature_c: float
    minimum_100c_m2_s: float
    usual_viscosity_index: Span
    status: Status


@dataclass(frozen=True, slots=True, kw_only=True)
class HotGrade:
    """A number of SAE J300: ν(100 °C) from its minimum to under ``below_100c_m2_s``.

    ``high_shear_150c_pa_s`` is the least dynamic viscosity at 150 °C and 1e6 1/s;
    ``high_shear_150c_light_pa_s`` that with 0W, 5W or 10W.
    """

    name: str
    minimum_100c_m2_s: float
    below_100c_m2_s: float
    high_shear_150c_pa_s: float
    high_shear_150c_light_pa_s: float
    status: Status
    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class EngineGrade:
    """A grade as it stands on the can, "5W-30", "30" or "10W"; kinematic in m²/s, else Pa s."""

    name: str
    winter: WinterGrade | None
    hot: HotGrade | None

    @property
    def minimum_100c_m2_s(self) -> float:
        """The least ν(100 °C): the larger one of what both numbers ask for."""
        return max(part.minimum_100c_m2_s for part in (self.winter, self.hot) if part is not None)

    @property
    def below_100c_m2_s(self) -> float | None:
        """ν(100 °C) is under this; None for a W grade alone."""
        return self.hot.below_100c_m2_s if self.hot is not None else None

    @property
    def high_shear_150c_pa_s(self) -> float | None:
        """The least viscosity at 150 °C and 1e6 1/s; None for a W grade alone."""
        if self.hot is None:
            return None
        if self.winter is not None and self.winter.name in _LIGHT:
            return self.hot.high_shear_150c_light_pa_s
        return self.hot.high_shear_150c_pa_s

    @property
    def status(self) -> Status:
        """RECALLED as soon as one of its figures is."""
        parts = [part.status for part in (self.winter, self.hot) if part is not None]
        return Status.RECALLED if Status.RECALLED in parts else Status.READ


@dataclass(frozen=True, slots=True, kw_only=True)
class IsoGrade:
    """A viscosity grade of ISO 3448: ν(40 °C) in m²/s, mid-point ± 10 %."""

    name: str
    midpoint_40c_m2_s: float
    minimum_40c_m2_s: float
    maximum_40c_m2_s: float
    status: Status


@dataclass(frozen=True, slots=True, kw_only=True)
class UsualOil:
    """What an oil without a data sheet usually has; common practice, no source."""

    straight_viscosity_index: Span
    density_15c_kg_m3: Span


@cache
def _file() -> Mapping[str, Any]:
    text = Path(__file__).with_suffix(".toml").read_text(encoding="utf-8")
    return MappingProxyType(tomllib.loads(text))


def _span(pair: list[float]) -> Span:
    return Span(low=float(pair[0]), high=float(pair[1]))


@cache
def winter_grades() -> Mapping[str, WinterGrade]:
    """The W grades of SAE J300 by name, "0W" to "25W", in SI units."""
    table = _file()["sae_j300"]
    return MappingProxyType(
        {
            name: WinterGrade(
                name=name,
                cranking_limit_pa_s=row["cranking"] / _MPA_S,
                cranking_temperature_c=float(row["cranking_at"]),
                pumping_limit_pa_s=row["pumping"] / _MPA_S,
                pumping_temperature_c=float(row["pumping_at"]),
                minimum_100c_m2_s=row["minimum_100"] / _MM2_S,
                usual_viscosity_index=_span(row["viscosity_index"]),
                status=Status(table["status"]),
            )
            for name, row in table["winter"].items()
        }
    )


@cache
def hot_grades() -> Mapping[str, HotGrade]:
    """The numbers of SAE J300 by name, "8" to "60", in SI units."""
    table = _file()["sae_j300"]
    return MappingProxyType(
        {
            name: HotGrade(
                name=name,
                minimum_100c_m2_s=row["minimum_100"] / _MM2_S,
                below_100c_m2_s=row["below_100"] / _MM2_S,
                high_shear_150c_pa_s=row["high_shear_150"] / _MPA_S,
                high_shear_150c_light_pa_s=row.get("high_shear_150_light", row["high_shear_150"])
                / _MPA_S,
                status=Status(row.get("status", table["status"])),
                note=row.get("note", ""),
            )
            for name, row in table["hot"].items()
        }
    )


@cache
def iso_grades() -> Mapping[str, IsoGrade]:
    """The grades of ISO 3448 by number, "2" to "460", in SI units."""
    table = _file()["iso_3448"]
    spread = table["tolerance"]
    return MappingProxyType(
        {
            number: IsoGrade(
                name=f"ISO VG {number}",
                midpoint_40c_m2_s=middle / _MM2_S,
                minimum_40c_m2_s=middle * (1 - spread) / _MM2_S,
                maximum_40c_m2_s=middle * (1 + spread) / _MM2_S,
                status=Status(table["status"]),
            )
            for number, middle in table["midpoint_40"].items()
        }
    )


def usual_oil() -> UsualOil:
    """Usual viscosity index of a straight oil and usual density, kg/m³ at 15 °C."""
    row = _file()["usual"]
    return UsualOil(
        straight_viscosity_index=_span(row["straight_viscosity_index"]),
        density_15c_kg_m3=_span(row["density_15"]),
    )


_ISO = re.compile(r"(?:ISO ?)?VG ?(?P<number>[0-9]+)")
_SAE = re.compile(
    r"(?:SAE ?)?(?:(?P<winter>[0-9]+ ?W)(?: ?[-/ ]? ?(?P<hot>[0-9]+))?|(?P<only>[0-9]+))"
)


def find_grade(text: str) -> EngineGrade | IsoGrade:
    """The grade that is meant by "5W-30", "sae 30", "10w40", "ISO VG 46" or "VG46".

    UnknownNameError for a grade that the standards do not have, InputError for one that no oil
    can be, such as 25W-20.
    """
    plain = " ".join(text.upper().replace("\N{EN DASH}", "-").split())
    iso = _ISO.fullmatch(plain)
    if iso is not None:
        if iso["number"] not in iso_grades():
            raise _unknown(text, f"ISO VG is one of {', '.join(iso_grades())}")
        return iso_grades()[iso["number"]]
    match = _SAE.fullmatch(plain)
    if match is None:
        raise _unknown(text, "a grade is written such as 5W-30, SAE 30 or ISO VG 46")
    winter = _part(text, match["winter"], winter_grades(), "the first number")
    hot = _part(text, match["hot"] or match["only"], hot_grades(), "the number without W")
    name = "-".join(part.name for part in (winter, hot) if part is not None)
    grade = EngineGrade(name=name, winter=winter, hot=hot)
    below = grade.below_100c_m2_s
    if below is not None and winter is not None and grade.minimum_100c_m2_s >= below:
        raise InputError(
            Fault(
                given=text,
                allowed=f"no oil can be {name}: at 100 °C {winter.name} asks for"
                f" {winter.minimum_100c_m2_s * _MM2_S:.1f} mm²/s or more and"
                f" {grade.name.rpartition('-')[2]} for less than {below * _MM2_S:.1f}",
                action="read the grade on the can again",
            )
        )
    return grade


def _part(text: str, name: str | None, table: Mapping[str, _Part], what: str) -> _Part | None:
    if name is None:
        return None
    found = table.get(name.replace(" ", ""))
    if found is None:
        raise _unknown(text, f"{what} of an SAE J300 grade is one of {', '.join(table)}")
    return found


def _unknown(text: str, allowed: str) -> UnknownNameError:
    return UnknownNameError(
        Fault(
            given=text,
            allowed=allowed,
            action="or give the two viscosities and the density of the data sheet",
        )
    )
