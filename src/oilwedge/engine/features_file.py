"""The features of an engine file: kinds of the catalogue with their sizes, and a person's own."""

from __future__ import annotations

import difflib
from collections.abc import Mapping, Sequence
from dataclasses import replace

from oilwedge.engine.catalogue import Catalogue
from oilwedge.engine.layout import Per
from oilwedge.engine.layout_file import degrees
from oilwedge.engine.model import Direction, Feature, Place, Shape, SizeRange
from oilwedge.engine.schema import FeatureTable
from oilwedge.engine.sizes import Expected, plausible, read_size, size_unit
from oilwedge.errors import InputError, did_you_mean
from oilwedge.metrology.instrument import InstrumentKind
from oilwedge.tables.expansion import expansion_coefficient
from oilwedge.toml_faults import Findings
from oilwedge.toml_text import Path
from oilwedge.units import Parsed

# Fitted shells follow the housing that grips them: its material is theirs, unless the file says so.
HELD_IN: Mapping[str, str] = {
    "rod_shell_bore": "rod_housing_bore",
    "main_shell_bore": "main_housing_bore",
}
_OWN_SIZE = (0.0001, 2.0)
_OWN_GAP = (-0.1, 0.1)
_LOOKS_ALIKE = 0.85  # rod_journal for rod_journals, but not balance_shaft for crankshaft
_END = 1.0  # where the outermost places of a list stand, of half the measured length


def read_features(
    tables: Mapping[str, FeatureTable],
    *,
    used: Sequence[str],
    counts: Mapping[Per, int],
    catalogue: Catalogue,
    findings: Findings,
) -> dict[str, Feature]:
    """Every feature that the file names and every one that its fits use, in catalogue order."""
    features: dict[str, Feature] = {}
    wanted = set(tables) | set(used)
    order = [key for key in catalogue.features if key in wanted]
    order += [key for key in tables if key not in catalogue.features]
    for key in order:
        table = tables.get(key, FeatureTable())
        kind = catalogue.features.get(key) or _own_kind(
            key, table, catalogue=catalogue, findings=findings
        )
        if kind is not None:
            features[key] = _filled(
                kind, table, counts=counts, catalogue=catalogue, findings=findings
            )
    for bore, housing in HELD_IN.items():
        stated = tables[bore].material if bore in tables else None
        if bore in features and housing in features and stated is None:
            features[bore] = replace(features[bore], material=features[housing].material)
    return features


def _own_kind(
    key: str, table: FeatureTable, *, catalogue: Catalogue, findings: Findings
) -> Feature | None:
    path: Path = ("features", key)
    lacking = [
        name
        for name in ("title", "per", "shape")
        if getattr(table, name) is None and (*path, name) not in findings.cut
    ]
    if lacking or table.title is None or table.per is None or table.shape is None:
        if lacking:
            findings.fault(
                path,
                given=key,
                allowed="this feature is not in the catalogue, and one of your own needs "
                f"{', '.join(lacking)}",
                action=did_you_mean(given=key, allowed=catalogue.features),
            )
        return None
    return Feature(
        key=key,
        title=table.title,
        per=Per(table.per),
        shape=Shape(table.shape),
        count=0,
        parts=(),
        instrument="other",
        undersize_factor=0.0,
    )


def _filled(
    kind: Feature,
    table: FeatureTable,
    *,
    counts: Mapping[Per, int],
    catalogue: Catalogue,
    findings: Findings,
) -> Feature:
    path: Path = ("features", kind.key)
    expected = expected_size(kind, catalogue=catalogue)
    size = read_size(table, path=path, expected=expected, findings=findings) or SizeRange()
    count = counts.get(kind.per, 0)
    places = _places(table.places, kind=kind)
    directions = _directions(table.directions, kind=kind)
    for key in ("per", "shape"):
        given = getattr(table, key)
        if kind.key in catalogue.features and given not in {None, getattr(kind, key).value}:
            findings.fault(
                (*path, key),
                given=given,
                allowed=f"a {kind.title} is '{getattr(kind, key).value}' in the catalogue",
                action="take the key out, or give the feature a name of its own",
            )
    if count == 0 and kind.per is Per.CAM_BEARING:
        ask_for_cam_bearings(path=path, title=kind.title, findings=findings)
    return replace(
        kind,
        title=table.title or kind.title,
        count=count,
        nominal_m=size.nominal_m,
        low_m=size.low_m,
        high_m=size.high_m,
        unit=size_unit(table) or "mm",
        parts=_parts(table, kind=kind, catalogue=catalogue, findings=findings),
        material=_material(table, kind=kind, findings=findings),
        length_m=_length(table, path=path, findings=findings),
        places=places,
        quick_places=_places(table.quick_places, kind=kind)
        if table.quick_places is not None
        else (places if table.places is not None else kind.quick_places),
        directions=directions,
        quick_directions=_directions(table.quick_directions, kind=kind)
        if table.quick_directions is not None
        else (directions if table.directions is not None else kind.quick_directions),
        instrument=_instrument(table, kind=kind, findings=findings),
        how=kind.how if table.how is None else table.how,
        explain=kind.explain if table.explain is None else table.explain,
        measured_at=table.measured_at,
        undersize_factor=kind.undersize_factor
        if table.undersize_factor is None
        else table.undersize_factor,
        form_judged=kind.form_judged if table.form_judged is None else table.form_judged,
        exceptions=_exceptions(table, path=path, count=count, expected=expected, findings=findings),
    )


def expected_size(kind: Feature, *, catalogue: Catalogue) -> Expected:
    """Between which lengths a size of this kind can be."""
    wide = _OWN_SIZE if kind.positive else _OWN_GAP
    low, high = catalogue.plausible_sizes.get(kind.key, wide)
    return Expected(title=f"a size of '{kind.title}'", low_m=low, high_m=high)


def ask_for_cam_bearings(*, path: Path, title: str, findings: Findings) -> None:
    """Note that the layout does not say how many camshaft bearings there are."""
    findings.missing(
        ("layout", "cam_bearings"),
        allowed=f"'{title}' ({path[0]}.{path[1]}) is counted by camshaft bearings",
        action="write cam_bearings = 5, or how many there are",
    )


def exception_number(text: str, *, path: Path, count: int, findings: Findings) -> int | None:
    """The number that a table under ``numbers`` is for."""
    number = int(text) if text.isascii() and text.isdigit() and len(text) < 4 else 0
    if number < 1 or (count and number > count):
        findings.fault(
            (*path, "numbers", text),
            given=text,
            allowed=f"a number from 1 to {count} is needed" if count else "a number is needed",
        )
        return None
    return number


def _exceptions(
    table: FeatureTable, *, path: Path, count: int, expected: Expected, findings: Findings
) -> dict[int, SizeRange]:
    found: dict[int, SizeRange] = {}
    for text, own in table.numbers.items():
        number = exception_number(text, path=path, count=count, findings=findings)
        size = read_size(own, path=(*path, "numbers", text), expected=expected, findings=findings)
        if number is not None and size is not None:
            found[number] = size
    return found


def _parts(
    table: FeatureTable, *, kind: Feature, catalogue: Catalogue, findings: Findings
) -> tuple[str, ...]:
    if table.parts is None:
        return kind.parts
    check_parts(
        table.parts, path=("features", kind.key, "parts"), catalogue=catalogue, findings=findings
    )
    return tuple(table.parts)


def check_parts(
    parts: Sequence[str], *, path: Path, catalogue: Catalogue, findings: Findings
) -> None:
    """Warn of a part that is not known but is spelled like one that is."""
    for part in parts:
        near = difflib.get_close_matches(part, list(catalogue.parts), n=1, cutoff=_LOOKS_ALIKE)
        if part not in catalogue.parts and near:
            findings.warning(
                path,
                given=part,
                allowed="this part is taken as one of your own",
                action=f"did you mean '{near[0]}'?",
            )


def _material(table: FeatureTable, *, kind: Feature, findings: Findings) -> str:
    if table.material is None:
        return kind.material
    try:
        return expansion_coefficient(table.material).material
    except InputError as error:
        findings.take(error, path=("features", kind.key, "material"))
        return kind.material


def _instrument(table: FeatureTable, *, kind: Feature, findings: Findings) -> str:
    known = [one.value for one in InstrumentKind]
    if table.instrument is None or table.instrument in known:
        return table.instrument or kind.instrument
    findings.fault(
        ("features", kind.key, "instrument"),
        given=table.instrument,
        allowed=f"kinds of instrument are {', '.join(known)}",
        action=did_you_mean(given=table.instrument, allowed=known),
    )
    return kind.instrument


def _length(table: FeatureTable, *, path: Path, findings: Findings) -> float | None:
    if table.length is None:
        return None
    expected = Expected(title="a length along the axis", low_m=0.0005, high_m=2.0)
    fine = plausible(table.length, path=(*path, "length"), expected=expected, findings=findings)
    return table.length.value_si if fine else None


def _places(names: list[str] | None, *, kind: Feature) -> tuple[Place, ...]:
    if names is None:
        return kind.places
    known = {place.name: place for place in (*kind.places, *kind.quick_places)}
    if all(name in known for name in names):
        return tuple(known[name] for name in names)
    step = 2 * _END / (len(names) - 1) if len(names) > 1 else 0.0
    first = -_END if len(names) > 1 else 0.0
    return tuple(
        Place(name=name, position=round(first + step * position, 9))
        for position, name in enumerate(names)
    )


def _directions(angles: list[Parsed] | None, *, kind: Feature) -> tuple[Direction, ...]:
    if angles is None:
        return kind.directions
    known = {one.angle_deg: one for one in (*kind.directions, *kind.quick_directions)}
    return tuple(
        known.get(degrees(angle), Direction(name=angle.text, angle_deg=degrees(angle)))
        for angle in angles
    )
