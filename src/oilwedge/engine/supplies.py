"""What goes with an engine: marks, grades on offer, fasteners, oil, and how it will run."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum


class Reuse(Enum):
    """Whether a fastener may be tightened again."""

    FREE = "free"
    ONCE = "once"
    COUNTED = "counted"


@dataclass(frozen=True, kw_only=True, slots=True)
class Marks:
    """How parts are marked, as text: numbers, direction marks, which end is the front."""

    front: str = ""
    rod_caps: str = ""
    main_caps: str = ""
    pistons: str = ""
    shells: str = ""
    other: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class GradeMark:
    """One grade on offer: its mark and its wall or thickness."""

    mark: str
    size_m: float | None
    text: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Grades:
    """What is on offer for one kind of part: marks, and undersizes or oversizes (positive)."""

    part: str
    marks: tuple[GradeMark, ...] = ()
    undersizes_m: tuple[float, ...] = ()
    oversizes_m: tuple[float, ...] = ()
    note: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class Stage:
    """One stage of tightening: a torque or an angle, with the text as written."""

    text: str
    torque_n_m: float | None = None
    angle_deg: float | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class Fastener:
    """One set of fasteners and how it is tightened."""

    part: str
    title: str
    thread: str = ""
    stages: tuple[Stage, ...] = ()
    trial_stages: tuple[Stage, ...] = ()  # for measuring, where they differ
    reuse: Reuse = Reuse.FREE
    reuse_times: int | None = None
    lubricant: str = ""
    note: str = ""
    limits_from: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class OilSheet:
    """What the data sheet of the oil says: kinematic viscosities at 40 and 100 °C; SI.

    None where it gives no density at 15 °C or no viscosity in fast shear at 150 °C (HTHS).
    """

    viscosity_40c_m2_s: float
    viscosity_100c_m2_s: float
    density_15c_kg_m3: float | None = None
    high_shear_150c_pa_s: float | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class Oil:
    """The oil it is to run on: its grade, and its data sheet where the file has it."""

    grade: str = ""
    note: str = ""
    data_sheet: OilSheet | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class Duty:
    """How it will run; None where the file does not say."""

    speed_rpm: float | None = None
    idle_speed_rpm: float | None = None
    peak_pressure_pa: float | None = None
    oil_pressure_pa: float | None = None
    oil_temperature_c: float | None = None
    note: str = ""
