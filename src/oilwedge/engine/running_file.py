"""Crank train and plain bearings of an engine file: read, and looked at for sense."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from itertools import pairwise

from oilwedge.engine.layout import Layout
from oilwedge.engine.layout_file import degrees
from oilwedge.engine.model import Feature
from oilwedge.engine.running import BearingData, Counterweight, CrankTrainData, Groove
from oilwedge.engine.running_ranges import check_ranges
from oilwedge.engine.schema_running import (
    BearingsTable,
    BearingTable,
    CounterweightTable,
    CrankTrainTable,
)
from oilwedge.errors import InputError
from oilwedge.tables.expansion import expansion_coefficient
from oilwedge.toml_faults import Findings
from oilwedge.toml_text import Path
from oilwedge.units import Parsed

__all__ = ["read_bearings", "read_crank_train"]

_TRAIN: Path = ("crank_train",)
_ENDS_SHARE = 0.01  # as the loads take it: common practice, no source
_CYCLE_SLACK_DEG = 0.5
_ROUNDING_M = 1e-9
_STROKE_TO_BORE = (0.3, 4.0)
_CARRIERS = {
    "rod": ("rod_journal", "rod_housing_bore"),
    "main": ("main_journal", "main_housing_bore"),
}


def read_crank_train(
    table: CrankTrainTable,
    *,
    layout: Layout | None,
    features: Mapping[str, Feature],
    findings: Findings,
) -> CrankTrainData:
    """Lengths and masses; the bore is that of the cylinders where the table gives none."""
    check_ranges(table, path=_TRAIN, findings=findings)
    for at, weight in enumerate(table.counterweights):
        check_ranges(weight, path=(*_TRAIN, "counterweights", at), findings=findings)
    bore = _si(table.bore)
    if bore is None and "cylinder_bore" in features:
        bore = features["cylinder_bore"].reference_m
    _check_lengths(table, bore_m=bore, findings=findings)
    _check_ends(table, findings=findings)
    _check_balance(table, layout=layout, findings=findings)
    if layout is not None:
        _check_places(table, layout=layout, findings=findings)
        _check_intervals(table, layout=layout, findings=findings)
    return CrankTrainData(
        stroke_m=_si(table.stroke),
        rod_length_m=_si(table.rod_length),
        bore_m=bore,
        pin_offset_m=_si(table.pin_offset) or 0.0,
        compression_ratio=table.compression_ratio,
        piston_set_kg=_si(table.piston_set),
        pin_kg=_si(table.pin),
        rod_kg=_si(table.rod),
        rod_big_end_kg=_si(table.rod_big_end),
        rod_small_end_kg=_si(table.rod_small_end),
        throw_unbalance_kg_m=_si(table.throw_unbalance),
        bobweight_kg=_si(table.bobweight),
        counterweights=tuple(
            _counterweight(one) for one in table.counterweights if one.throw and one.unbalance
        ),
        main_places_m=_all_si(table.main_places),
        throw_places_m=_all_si(table.throw_places),
        rod_places_m=_all_si(table.rod_places),
        firing_intervals_deg=tuple(degrees(one) for one in table.firing_intervals or ()),
    )


def _si(value: Parsed | None) -> float | None:
    return None if value is None else value.value_si


def _all_si(values: Sequence[Parsed] | None) -> tuple[float, ...]:
    return tuple(value.value_si for value in values or ())


def _counterweight(table: CounterweightTable) -> Counterweight:
    return Counterweight(
        throw=table.throw or 1,
        unbalance_kg_m=_si(table.unbalance) or 0.0,
        angle_deg=None if table.angle is None else degrees(table.angle),
        place_m=_si(table.place),
    )


def _check_lengths(table: CrankTrainTable, *, bore_m: float | None, findings: Findings) -> None:
    low, high = _STROKE_TO_BORE
    if table.stroke and bore_m and not low <= table.stroke.value_si / bore_m <= high:
        findings.fault(
            (*_TRAIN, "stroke"),
            given=table.stroke.text,
            allowed=f"a stroke is between {low:g} and {high:g} times the bore, "
            f"here {bore_m * 1e3:.5g} mm",
            action="check both figures and their units",
        )
    if table.stroke is None or table.rod_length is None:
        return
    offset = abs(_si(table.pin_offset) or 0.0)
    if table.rod_length.value_si <= table.stroke.value_si / 2 + offset:
        findings.fault(
            (*_TRAIN, "rod_length"),
            given=table.rod_length.text,
            allowed="a rod is longer than half the stroke and the offset together",
            action="measure it between the centres of its two bores",
        )


def _check_ends(table: CrankTrainTable, *, findings: Findings) -> None:
    if table.rod is None or table.rod_big_end is None or table.rod_small_end is None:
        return
    ends = table.rod_big_end.value_si + table.rod_small_end.value_si
    whole = table.rod.value_si
    if abs(ends - whole) > _ENDS_SHARE * whole:
        findings.fault(
            (*_TRAIN, "rod"),
            given=table.rod.text,
            allowed=f"big end {table.rod_big_end.text} and small end {table.rod_small_end.text} "
            f"make {ends * 1e3:.6g} g, and they have to add up to the whole rod within 1 %",
            action="weigh again, each end with the other held level",
        )


def _check_balance(table: CrankTrainTable, *, layout: Layout | None, findings: Findings) -> None:
    throws = len(layout.throws) if layout is not None else None
    for at, weight in enumerate(table.counterweights):
        path = (*_TRAIN, "counterweights", at)
        for key in ("throw", "unbalance"):
            if getattr(weight, key) is None:
                findings.missing((*path, key), allowed="each counterweight has throw and unbalance")
        if weight.throw is not None and throws is not None and weight.throw > throws:
            findings.fault(
                (*path, "throw"), given=weight.throw, allowed=f"the crank has {throws} throws"
            )
        if weight.place is not None and table.main_places is None:
            findings.fault(
                (*path, "place"),
                given=weight.place.text,
                allowed="a place counts along the crank as main_places do, and there are none",
                action="give main_places and throw_places too, or leave the place out",
            )
    if table.bobweight is not None and (table.counterweights or table.throw_unbalance is not None):
        findings.fault(
            (*_TRAIN, "bobweight"),
            given=table.bobweight.text,
            allowed="the crank's balance is given in one way: a bobweight, or counterweights and "
            "throw_unbalance",
            action="leave one of them out",
        )


def _check_places(table: CrankTrainTable, *, layout: Layout, findings: Findings) -> None:
    wanted = {
        "main_places": (layout.main_bearings, "main bearings"),
        "throw_places": (len(layout.throws), "throws"),
        "rod_places": (layout.cylinders, "rods"),
    }
    before = len(findings.faults)
    for key, (count, words) in wanted.items():
        places: list[Parsed] | None = getattr(table, key)
        if places is None:
            continue
        if len(places) != count:
            findings.fault(
                (*_TRAIN, key),
                given=[place.text for place in places],
                allowed=f"there are {count} {words}, each with its place",
            )
        if table.main_places is None or table.throw_places is None:
            other = "throw_places" if table.throw_places is None else "main_places"
            findings.fault(
                (*_TRAIN, key),
                given=[place.text for place in places],
                allowed="places of mains and throws are given together",
                action=f"add {other}, or leave {key} out",
            )
            return
    mains = _all_si(table.main_places)
    if any(rear <= front for front, rear in pairwise(mains)):
        findings.fault(
            (*_TRAIN, "main_places"),
            given=[place.text for place in table.main_places or ()],
            allowed="they rise from the front to the rear",
        )
    if mains and len(findings.faults) == before:
        _check_reach(table, mains=mains, findings=findings)


def _check_reach(table: CrankTrainTable, *, mains: Sequence[float], findings: Findings) -> None:
    """A throw far out beyond the mains is a slip of the pen."""
    reach = (mains[-1] - mains[0]) / max(1, len(mains) - 1) + _ROUNDING_M
    for key in ("throw_places", "rod_places"):
        for place in getattr(table, key) or ():
            if not mains[0] - reach <= place.value_si <= mains[-1] + reach:
                findings.fault(
                    (*_TRAIN, key),
                    given=place.text,
                    allowed="it lies far outside the main bearings",
                    action="count all places from one point, in one direction",
                )


def _check_intervals(table: CrankTrainTable, *, layout: Layout, findings: Findings) -> None:
    if table.firing_intervals is None:
        return
    given = [one.text for one in table.firing_intervals]
    cycle = 180.0 * layout.strokes
    angles = [degrees(one) for one in table.firing_intervals]
    if len(angles) != layout.cylinders:
        findings.fault(
            (*_TRAIN, "firing_intervals"),
            given=given,
            allowed=f"there is one interval to each of the {layout.cylinders} firings",
        )
    elif min(angles) < 0 or abs(math.fsum(angles) - cycle) > _CYCLE_SLACK_DEG:
        findings.fault(
            (*_TRAIN, "firing_intervals"),
            given=given,
            allowed=f"they are not negative and add up to one cycle, {cycle:g} deg",
        )


def read_bearings(
    table: BearingsTable, *, features: Mapping[str, Feature], findings: Findings
) -> dict[str, BearingData]:
    """The plain bearings by kind; the housing's material is that of its feature if not given."""
    return {
        kind: _bearing(kind, one, features=features, findings=findings)
        for kind, one in (("rod", table.rod), ("main", table.main))
        if one is not None
    }


def _bearing(
    kind: str, table: BearingTable, *, features: Mapping[str, Feature], findings: Findings
) -> BearingData:
    path: Path = ("bearings", kind)
    check_ranges(table, path=path, findings=findings)
    journal, housing = (features.get(key) for key in _CARRIERS[kind])
    _check_feed(table, path=path, findings=findings)
    _check_width(table, journal=journal, path=path, findings=findings)
    if table.housing_material is not None:
        try:
            expansion_coefficient(table.housing_material)
        except InputError as error:
            findings.take(error, path=(*path, "housing_material"))
    return BearingData(
        width_m=_si(table.width),
        groove=None if table.groove is None else Groove(table.groove),
        groove_width_m=_si(table.groove_width),
        hole_diameter_m=_si(table.hole_diameter),
        groove_angle_deg=0.0 if table.groove_angle is None else degrees(table.groove_angle),
        bore_relief_m=_si(table.bore_relief),
        journal_roughness_m=_si(table.journal_roughness),
        shell_roughness_m=_si(table.shell_roughness),
        housing_material=table.housing_material or (housing.material if housing else ""),
        journal_temperature_over_oil_k=_si(table.journal_over_oil),
        housing_temperature_over_oil_k=_si(table.housing_over_oil),
    )


def _check_feed(table: BearingTable, *, path: Path, findings: Findings) -> None:
    """Groove and hole go with what the shell has, and leave some of the shell."""
    if table.groove_angle is not None and table.groove not in ("half", "hole"):
        findings.fault(
            (*path, "groove_angle"),
            given=table.groove_angle.text,
            allowed="it goes with groove = 'half' or 'hole'",
            action="write which groove the shell has",
        )
    for key, kinds in (("groove_width", ("half", "full")), ("hole_diameter", ("hole",))):
        value: Parsed | None = getattr(table, key)
        if value is None:
            continue
        if table.groove not in kinds:
            findings.fault(
                (*path, key),
                given=value.text,
                allowed=f"it goes with groove = {' or '.join(repr(kind) for kind in kinds)}",
                action="write which groove the shell has",
            )
        if table.width is not None and value.value_si >= 0.8 * table.width.value_si:
            findings.fault(
                (*path, key),
                given=value.text,
                allowed=f"it leaves next to nothing of the shell's width, {table.width.text}",
                action="check both figures and their units",
            )


def _check_width(
    table: BearingTable, *, journal: Feature | None, path: Path, findings: Findings
) -> None:
    if table.width is None or journal is None:
        return
    width = table.width.value_si
    diameter = journal.reference_m
    if diameter is not None and not 0.1 * diameter <= width <= 2.0 * diameter:
        findings.fault(
            (*path, "width"),
            given=table.width.text,
            allowed=f"a shell is between a tenth and twice as wide as its {journal.title} is thick",
            action="check the figure and its unit",
        )
    elif journal.length_m is not None and width > journal.length_m:
        findings.warning(
            (*path, "width"),
            given=table.width.text,
            allowed=f"the shell is wider than the {journal.title} is long",
            action="check both figures",
        )
