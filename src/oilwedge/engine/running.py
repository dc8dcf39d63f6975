"""How an engine will run: its crank train, its plain bearings, and the conditions of its duty.

All that a film needs beside sizes and clearances. None where the file does not say: nothing is
filled in here. SI units; angles in degrees as in :mod:`.layout`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import Enum

HOT_IDLE = "hot idle"
FULL_LOAD = "full load"
TOP_SPEED = "top speed"


class Groove(Enum):
    """How a bearing shell takes its oil: nothing, half round, all round, or by a hole."""

    NONE = "none"
    HALF = "half"
    FULL = "full"
    HOLE = "hole"


@dataclass(frozen=True, kw_only=True, slots=True)
class Counterweight:
    """A weight on the crank: mass times the radius of its centre, in kg m.

    ``throw`` from 1. ``angle_deg`` as for throws; None: opposite to its throw. ``place_m`` along
    the crank; None: at its throw.
    """

    throw: int
    unbalance_kg_m: float
    angle_deg: float | None = None
    place_m: float | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class CrankTrainData:
    """Lengths and masses of the crank train; None where the file does not say.

    ``pin_offset_m``: of the piston pin or the cylinder, positive to the side that the crank pin
    moves to after top dead centre. ``piston_set_kg``: piston with rings and clips, without its pin.
    The rod's ends are weighed with the other end held level. ``throw_unbalance_kg_m``: crank pin
    and webs of one throw, without counterweights. ``bobweight_kg``: what was hung on each crank pin
    when the crank was balanced, in the place of throw unbalance and counterweights. Places count
    along the crank from the front: mains, throws, and rods in the order of their numbers.
    """

    stroke_m: float | None = None
    rod_length_m: float | None = None
    bore_m: float | None = None
    pin_offset_m: float = 0.0
    compression_ratio: float | None = None
    piston_set_kg: float | None = None
    pin_kg: float | None = None
    rod_kg: float | None = None
    rod_big_end_kg: float | None = None
    rod_small_end_kg: float | None = None
    throw_unbalance_kg_m: float | None = None
    bobweight_kg: float | None = None
    counterweights: tuple[Counterweight, ...] = ()
    main_places_m: tuple[float, ...] = ()
    throw_places_m: tuple[float, ...] = ()
    rod_places_m: tuple[float, ...] = ()
    firing_intervals_deg: tuple[float, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class BearingData:
    """One kind of plain bearing, all of its numbers alike; None where the file does not say.

    ``width_m`` of the shell that carries. ``groove_angle_deg``: where the middle of a half groove
    or an oil hole lies, from the crown on the side of rod or block, the way the journal turns.
    ``bore_relief_m``: how much wider the bore is at the split than at the crown. Roughness is Rq.
    Temperatures of journal and housing over that of the oil that comes in, in K.
    """

    width_m: float | None = None
    groove: Groove | None = None
    groove_width_m: float | None = None
    hole_diameter_m: float | None = None
    groove_angle_deg: float = 0.0
    bore_relief_m: float | None = None
    journal_roughness_m: float | None = None
    shell_roughness_m: float | None = None
    housing_material: str = ""
    journal_temperature_over_oil_k: float | None = None
    housing_temperature_over_oil_k: float | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class Condition:
    """One way in which the engine runs: "hot idle", "full load", "top speed", or another name.

    Pressures in the cylinder are absolute. One of ``peak_pressure_pa``, ``mean_pressure_pa`` (the
    indicated mean effective pressure) and ``pressure_trace`` (a file beside the engine file).
    ``oil_pressure_pa`` is a gauge pressure.
    """

    name: str
    speed_rpm: float | None = None
    peak_pressure_pa: float | None = None
    mean_pressure_pa: float | None = None
    pressure_trace: str = ""
    inlet_pressure_pa: float | None = None
    oil_pressure_pa: float | None = None
    oil_temperature_c: float | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class Running:
    """How the engine will run. ``bearings``: by "rod" and "main"; ``conditions`` as in the file.

    The conditions have what the flat keys of [duty] say where they say nothing themselves.
    """

    crank_train: CrankTrainData = field(default_factory=CrankTrainData)
    bearings: Mapping[str, BearingData] = field(default_factory=dict)
    conditions: tuple[Condition, ...] = ()

    def bearing(self, kind: str) -> BearingData:
        """The bearings of one kind, "rod" or "main"; empty where the file has none."""
        return self.bearings.get(kind, BearingData())

    def condition(self, name: str) -> Condition | None:
        """The condition of this name."""
        return next((one for one in self.conditions if one.name == name), None)
