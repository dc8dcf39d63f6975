"""A bearing of an engine as the film's science takes it: sizes, groove, heat, roughness."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from oilwedge.engine.model import Engine
from oilwedge.tables.expansion import expansion_coefficient

if TYPE_CHECKING:
    from oilwedge.film.bearing_case import BearingCase
    from oilwedge.film.hot_clearance import HotFit
    from oilwedge.usecases.crank_loads import BearingLoad, EngineLoads

__all__ = ["Cased", "bearing_case"]

SHELL_MATERIAL = "steel"
LIGHT_ALLOY = 1.3  # times the expansion of steel
_TITLES = {"rod": "big ends", "main": "main bearings"}


@dataclass(frozen=True, kw_only=True, slots=True)
class Cased:
    """A case, and in words what was taken for what the engine file does not say."""

    case: BearingCase
    assumptions: tuple[str, ...]


def bearing_case(
    *, engine: Engine, loads: EngineLoads, load: BearingLoad, chosen_film_m: float
) -> Cased:
    """The case of one bearing at the condition of its loads.

    Oil temperature and pressure are those of the condition; the middle of a half groove or an oil
    hole lies where the engine file says, else at the crown of rod or block. Materials are those of
    the features, the shells' backs are steel. InputError for what no bearing can be.
    """
    from oilwedge.film.bearing_case import BearingCase
    from oilwedge.film.path_groove import PathGroove
    from oilwedge.film.roughness import joint_roughness_m

    data, condition = load.data, loads.condition
    groove = PathGroove(data.groove.value) if data.groove is not None else PathGroove.NONE
    grooved = groove in (PathGroove.HALF, PathGroove.FULL)
    said: list[str] = []
    roughness_m = None
    if data.journal_roughness_m is not None and data.shell_roughness_m is not None:
        roughness_m = joint_roughness_m(
            journal_m=data.journal_roughness_m, shell_m=data.shell_roughness_m
        )
    if condition.oil_pressure_pa is None:
        said.append("The oil pressure is not given: what it presses through is taken as nothing.")
    if groove is PathGroove.HOLE:
        said.append(
            f"The oil hole of the {_TITLES[load.key.split()[0]]} brings oil; what it takes off the"
            " film is left out."
        )
    fit = _hot_fit(engine, load, said)
    case = BearingCase(
        history=load.history,
        without_gas=load.without_gas,
        diameter_m=load.diameter_m,
        width_m=data.width_m or 0.0,
        supply_temperature_c=condition.oil_temperature_c or 0.0,
        supply_pressure_pa=condition.oil_pressure_pa or 0.0,
        groove=groove,
        groove_width_m=(data.groove_width_m or 0.0) if grooved else 0.0,
        groove_rad=math.radians(data.groove_angle_deg),
        hole_diameter_m=(data.hole_diameter_m or 0.0) if groove is PathGroove.HOLE else 0.0,
        hot_fit=fit,
        roughness_m=roughness_m,
        chosen_film_m=chosen_film_m,
    )
    return Cased(case=case, assumptions=tuple(said))


def _hot_fit(engine: Engine, load: BearingLoad, said: list[str]) -> HotFit:
    from oilwedge.film.hot_clearance import HotFit

    kind = load.key.split()[0]
    data, title = load.data, _TITLES[kind]
    journal, housing = (engine.features.get(f"{kind}_{part}") for part in _PARTS)
    journal_material = journal.material if journal is not None else SHELL_MATERIAL
    housing_material = data.housing_material
    if not housing_material and housing is not None:
        housing_material = housing.material
    wall_m = _wall_m(engine, kind, load)
    if wall_m is None:
        wall_m = 0.0
        said.append(
            f"How thick the shells of the {title} are is not given: the clearance grows with the"
            " heat as if the housing reached down to the film."
        )
    housing_per_k = expansion_coefficient(housing_material or SHELL_MATERIAL).value_per_k
    shell_per_k = expansion_coefficient(SHELL_MATERIAL).value_per_k
    if housing_per_k > LIGHT_ALLOY * shell_per_k:
        said.append(
            f"The housings of the {title} are taken to grow freely with the heat; shells, bolts and"
            " an iron cap hold a light alloy back, so that they open by less."
        )
    return HotFit(
        journal_expansion_per_k=expansion_coefficient(journal_material).value_per_k,
        housing_expansion_per_k=housing_per_k,
        shell_expansion_per_k=shell_per_k,
        shell_wall_m=wall_m,
        journal_over_oil_k=data.journal_temperature_over_oil_k or 0.0,
        housing_over_oil_k=data.housing_temperature_over_oil_k or 0.0,
    )


_PARTS = ("journal", "housing_bore")


def _wall_m(engine: Engine, kind: str, load: BearingLoad) -> float | None:
    """The thickness of one shell: of its own feature, else half of housing less journal."""
    wall = engine.features.get(f"{kind}_upper_wall")
    if wall is not None:
        found = wall.at(load.number).reference_m
        if found is not None:
            return found
    housing = engine.features.get(f"{kind}_housing_bore")
    bore_m = None if housing is None else housing.at(load.number).reference_m
    if bore_m is None or bore_m <= load.diameter_m:
        return None
    return 0.5 * (bore_m - load.diameter_m)
