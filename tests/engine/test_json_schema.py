"""The published JSON Schema takes the demo files and refuses what the check refuses."""

import json
import tomllib
from collections.abc import Mapping
from importlib import resources
from typing import Any

import pytest

from oilwedge.engine.json_schema import engine_schema

SCHEMA = engine_schema()
DEMO = resources.files("oilwedge").joinpath("demo")
KNOWN_WORDS = {
    "$schema",
    "$defs",
    "$ref",
    "title",
    "description",
    "type",
    "properties",
    "required",
    "additionalProperties",
    "items",
    "minItems",
    "maxItems",
    "minLength",
    "maxLength",
    "minimum",
    "maximum",
    "anyOf",
    "const",
    "enum",
    "default",
}
SORTS: dict[str, Any] = {
    "object": dict,
    "array": list,
    "string": str,
    "integer": int,
    "number": (int, float),
    "boolean": bool,
}


def demo(name: str) -> dict[str, Any]:
    return tomllib.loads(DEMO.joinpath(name).read_text(encoding="utf-8"))


def fits_schema(value: Any, node: Mapping[str, Any]) -> bool:
    """The words of JSON Schema 2020-12 that the schema uses, after the standard's validation
    vocabulary (RECALLED)."""
    assert set(node) <= KNOWN_WORDS, set(node) - KNOWN_WORDS
    if "$ref" in node:
        return fits_schema(value, SCHEMA["$defs"][node["$ref"].rsplit("/", 1)[-1]])
    if "anyOf" in node and not any(fits_schema(value, one) for one in node["anyOf"]):
        return False
    if "const" in node and value != node["const"]:
        return False
    if "enum" in node and value not in node["enum"]:
        return False
    sort = node.get("type")
    if sort and not isinstance(value, SORTS[sort]):
        return False
    if isinstance(value, bool) and sort in {"integer", "number"}:
        return False
    if isinstance(value, dict):
        return _object_fits(value, node)
    if isinstance(value, list):
        return bool(node.get("minItems", 0) <= len(value) <= node.get("maxItems", 10**6)) and all(
            fits_schema(item, node.get("items", {})) for item in value
        )
    if isinstance(value, str):
        return bool(node.get("minLength", 0) <= len(value) <= node.get("maxLength", 10**6))
    return bool(node.get("minimum", -1e99) <= value <= node.get("maximum", 1e99))


def _object_fits(value: dict[str, Any], node: Mapping[str, Any]) -> bool:
    known = node.get("properties", {})
    other = node.get("additionalProperties", True)
    if set(node.get("required", ())) - set(value):
        return False
    for key, item in value.items():
        if key in known:
            if not fits_schema(item, known[key]):
                return False
        elif other is False or (isinstance(other, dict) and not fits_schema(item, other)):
            return False
    return True


@pytest.mark.parametrize("name", ["four.toml", "three_diesel.toml", "v_twin.toml"])
def test_a_demo_file_fits_the_schema(name: str) -> None:
    assert fits_schema(demo(name), SCHEMA)


@pytest.mark.parametrize(
    ("path", "value"),
    [
        (("fits", "rod_bearing", "biuld"), "1 mm"),
        (("fits", "rod_bearing", "build"), ["1 mm"]),
        (("fits", "rod_bearing", "build"), [0.02, 0.05]),
        (("layout", "kind"), "W"),
        (("layout", "cylinders"), 0),
        (("layout", "cylinders"), "4"),
        (("layout", "firing_order"), [1.5]),
        (("engine", "rule"), "strict"),
        (("format",), 2),
        (("oil", "grade"), 5),
        (("oil", "data_sheet", "viscosity_40c"), 61),
        (("crank_train", "stroke"), 75.5),
        (("crank_train", "strok"), "75.5 mm"),
        (("crank_train", "compression_ratio"), 50),
        (("crank_train", "counterweights"), [{"throw": 1}]),
        (("bearings", "rod", "groove"), "round"),
        (("bearings", "cam"), {"width": "20 mm"}),
        (("duty", "conditions", "full load", "rpm"), "3800 rpm"),
    ],
)
def test_what_the_check_refuses_does_not_fit_the_schema(path: tuple[str, ...], value: Any) -> None:
    values = demo("four.toml")
    node = values
    for key in path[:-1]:
        node = node[key]
    node[path[-1]] = value
    assert not fits_schema(values, SCHEMA)


@pytest.mark.parametrize("key", ["format", "engine", "layout"])
def test_what_is_needed_is_required(key: str) -> None:
    values = demo("four.toml")
    del values[key]
    assert not fits_schema(values, SCHEMA)


def test_the_schema_is_json_and_names_its_dialect() -> None:
    assert json.loads(json.dumps(SCHEMA)) == SCHEMA
    assert SCHEMA["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    assert '"null"' not in json.dumps(SCHEMA)


def test_keys_stand_as_they_are_written() -> None:
    assert "class" in SCHEMA["$defs"]["SizeTable"]["properties"]
    assert "from" in SCHEMA["$defs"]["FitTable"]["properties"]


def test_each_caller_gets_a_schema_of_its_own() -> None:
    engine_schema()["properties"].clear()
    assert engine_schema()["properties"]
