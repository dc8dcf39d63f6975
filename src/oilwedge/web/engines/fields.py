"""The fields of the form that a new engine file is made from."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace


@dataclass(frozen=True, kw_only=True, slots=True)
class LayoutField:
    """One question: its choices, or what Enter alone stands for."""

    key: str
    words: str
    usual: str = ""
    choices: tuple[tuple[str, str], ...] = ()
    numeric: bool = False
    value: str = ""
    fault: str = ""

    def filled(self, typed: Mapping[str, str], faults: Mapping[str, str]) -> LayoutField:
        """The field with what was typed and what was wrong with it."""
        return replace(self, value=typed.get(self.key, ""), fault=faults.get(self.key, ""))


LAYOUT_FIELDS = (
    LayoutField(key="name", words="Name of the engine"),
    LayoutField(
        key="kind",
        words="Layout",
        choices=(("in-line", "in-line"), ("V", "V"), ("flat", "flat")),
    ),
    LayoutField(key="cylinders", words="Cylinders", usual="4", numeric=True),
    LayoutField(key="v_angle", words="Angle between the banks (V only)", usual="90 deg"),
    LayoutField(
        key="main_bearings", words="Main bearings", usual="as usual for this layout", numeric=True
    ),
    LayoutField(
        key="caps",
        words="Main caps",
        choices=(("separate", "separate"), ("girdle", "girdle"), ("bedplate", "bedplate")),
    ),
    LayoutField(key="strokes", words="Strokes", choices=(("4", "four"), ("2", "two"))),
    LayoutField(key="firing_order", words="Firing order", usual="1-3-4-2; empty: as usual"),
    LayoutField(key="units", words="Units of the manual", choices=(("mm", "mm"), ("in", "inch"))),
    LayoutField(key="cam_bearings", words="Camshaft bearings", usual="none", numeric=True),
    LayoutField(key="intake_valves", words="Intake valves", usual="none", numeric=True),
    LayoutField(key="exhaust_valves", words="Exhaust valves", usual="none", numeric=True),
)
