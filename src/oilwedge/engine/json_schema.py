"""The JSON Schema of the engine file, made from the same models that check it."""

from __future__ import annotations

from copy import deepcopy
from functools import lru_cache
from typing import Any

from oilwedge.engine.schema import EngineTable

DIALECT = "https://json-schema.org/draft/2020-12/schema"


def engine_schema() -> dict[str, Any]:
    """The schema (JSON Schema 2020-12) of an engine file of format 1.

    It says which keys there are and what each may hold. Quantities are text: whether their unit
    fits, and whether figures go together, only the check of the file itself tells.
    """
    return deepcopy(_schema())


@lru_cache(maxsize=1)
def _schema() -> dict[str, Any]:
    schema = _without_null(EngineTable.model_json_schema(by_alias=True))
    schema["properties"]["format"] = {"const": 1, "description": "the format of the file"}
    return {"$schema": DIALECT, **schema, "title": "oilwedge engine file"}


def _without_null(node: Any) -> Any:
    """TOML knows no null: a key that may be missing is not one that may be null."""
    if isinstance(node, list):
        return [_without_null(item) for item in node]
    if not isinstance(node, dict):
        return node
    kept = {
        key: _without_null(value)
        for key, value in node.items()
        if not (key == "default" and (value is None or isinstance(value, dict)))
    }
    branches = kept.get("anyOf")
    if isinstance(branches, list) and {"type": "null"} in branches:
        branches = [branch for branch in branches if branch != {"type": "null"}]
        if len(branches) == 1:
            del kept["anyOf"]
            return {**branches[0], **kept}
        kept["anyOf"] = branches
    return kept
