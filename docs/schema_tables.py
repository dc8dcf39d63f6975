"""Every key of the engine file, for its page, from the JSON Schema that the program publishes."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from oilwedge.engine.json_schema import engine_schema

_SORTS = {"string": "text", "integer": "whole number", "number": "number", "boolean": "true, false"}


def keys() -> str:
    """A table of all keys: where it stands, what it holds, which are required."""
    schema = engine_schema()
    definitions: dict[str, dict[str, Any]] = schema["$defs"]
    lines = ["| table | key | what it holds |", "|---|---|---|"]
    lines += [f"| (top) | `format` | {schema['properties']['format']['const']}, required |"]
    for name in _in_order(schema, definitions):
        table = definitions[name]
        place = table["description"].partition(":")[0].rstrip(".").replace("|", "\\|")
        for key, held in table["properties"].items():
            required = ", required" if key in table.get("required", []) else ""
            lines.append(f"| {place} | `{key}` | {_held(held, definitions)}{required} |")
    return "\n".join(lines) + "\n"


def _in_order(schema: dict[str, Any], definitions: dict[str, dict[str, Any]]) -> Iterator[str]:
    """Names of the tables, each before those that stand in it."""
    waiting, seen = list(_referred(schema["properties"])), dict[str, None]()
    while waiting:
        name = waiting.pop(0)
        if name not in seen:
            seen[name] = None
            waiting = list(_referred(definitions[name]["properties"])) + waiting
    return iter(seen)


def _referred(node: Any) -> Iterator[str]:
    """Names of the tables that a part of the schema speaks of."""
    if isinstance(node, dict):
        if "$ref" in node:
            yield node["$ref"].rpartition("/")[2]
        for inner in node.values():
            yield from _referred(inner)
    elif isinstance(node, list):
        for inner in node:
            yield from _referred(inner)


def _held(node: dict[str, Any], definitions: dict[str, dict[str, Any]]) -> str:
    words = _sort(node, definitions)
    default = node.get("default")
    if default not in (None, "", [], {}):
        words += f"; left out: {default}"
    return words.replace("|", "\\|")


def _sort(node: dict[str, Any], definitions: dict[str, dict[str, Any]]) -> str:
    if "description" in node:
        return str(node["description"])
    if "enum" in node:
        return " or ".join(f'"{one}"' if isinstance(one, str) else str(one) for one in node["enum"])
    if "$ref" in node:
        return "a table: " + str(definitions[node["$ref"].rpartition("/")[2]]["description"])
    if node.get("type") == "array":
        inner = node["items"]
        if "$ref" in inner:
            return "list of tables"
        return f"list of: {_sort(inner, definitions)}"
    if node.get("type") == "object":
        return "a table for each number"
    return _SORTS.get(str(node.get("type")), "text")
