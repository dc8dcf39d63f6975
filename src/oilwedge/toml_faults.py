"""What is wrong with a file that a person wrote, gathered and put into sentences.

The engine file and the shop file are checked for their shape by models that report plain
records (type, path, value); here they become faults with the line and the key, and the parts
at fault are cut out so that the rest can still be checked.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from copy import deepcopy
from typing import Any

from oilwedge.errors import Fault, InputError, LineWord, Where, did_you_mean
from oilwedge.toml_text import LineIndex, Path, path_text

_LONGEST_SHOWN = 60

_WORDS = {
    "string_type": "text in quotes is needed",
    "int_type": "a whole number is needed",
    "int_from_float": "a whole number is needed",
    "float_type": "a number is needed",
    "bool_type": "true or false is needed",
    "list_type": "a list [...] is needed",
    "dict_type": "a table with keys of its own is needed",
    "model_type": "a table with keys of its own is needed",
    "finite_number": "a finite number is needed",
}


class Findings:
    """Faults and warnings as they are found, each with its place in the file."""

    def __init__(self, *, file: str, index: LineIndex) -> None:
        self.file = file
        self.index = index
        self.faults: list[Fault] = []
        self.warnings: list[Fault] = []
        self.cut: set[Path] = set()

    def where(self, path: Path) -> Where:
        """The place of a key path."""
        return Where(
            file=self.file,
            line=self.index.line(path),
            column=path_text(path),
            unit=LineWord.LINE,
        )

    def fault(self, path: Path, *, given: object, allowed: str, action: str = "") -> None:
        """Note something that cannot be meant."""
        self.faults.append(
            Fault(where=self.where(path), given=shown(given), allowed=allowed, action=action)
        )

    def warning(self, path: Path, *, given: object, allowed: str, action: str = "") -> None:
        """Note something that looks wrong."""
        self.warnings.append(
            Fault(where=self.where(path), given=shown(given), allowed=allowed, action=action)
        )

    def missing(self, path: Path, *, allowed: str, action: str = "") -> None:
        """Note a key that is needed and missing, unless what stood there was at fault already."""
        if not any(path[: len(cut)] == cut for cut in self.cut):
            self.fault(path, given="", allowed=f"this key is missing: {allowed}", action=action)

    def take(self, error: InputError, *, path: Path) -> None:
        """Note all faults of an error at one place."""
        self.faults.extend(fault.at(self.where(path)) for fault in error.faults)

    def in_order(self) -> tuple[tuple[Fault, ...], tuple[Fault, ...]]:
        """Faults and warnings in the order of the lines, each once."""
        ordered = [
            tuple(sorted(dict.fromkeys(faults), key=lambda fault: fault.where.line or 0))
            for faults in (self.faults, self.warnings)
        ]
        return ordered[0], ordered[1]


def shown(value: object) -> str:
    """A value as the file would show it, cut short."""
    if isinstance(value, str):
        text = value
    elif isinstance(value, bool):
        text = str(value).lower()
    elif isinstance(value, int) and abs(value) > 10**30:
        text = "a very large number"
    elif isinstance(value, Mapping):
        text = "a table"
    elif isinstance(value, list | tuple):
        text = "[" + ", ".join(shown(item) for item in value[:12]) + "]"
    else:
        text = str(value)
    return text if len(text) <= _LONGEST_SHOWN else text[: _LONGEST_SHOWN - 3] + "..."


def note_shape_faults(
    errors: Sequence[Mapping[str, Any]], *, schema: Mapping[str, Any], findings: Findings
) -> None:
    """Turn records of a shape check into faults; ``schema`` is the JSON Schema of the file."""
    for record in errors:
        path: Path = tuple(record["loc"])
        kind = str(record["type"])
        cause = record.get("ctx", {}).get("error")
        if isinstance(cause, InputError):
            findings.take(cause, path=path)
        elif kind == "extra_forbidden":
            known = known_keys(schema, path=path[:-1])
            findings.fault(
                path,
                given=path[-1],
                allowed=f"this key is not known here; known are {', '.join(known)}",
                action=did_you_mean(given=str(path[-1]), allowed=known),
            )
        else:
            findings.fault(path, given=record["input"], allowed=_sentence(kind, record))
        findings.cut.add(cut_path(path))


def _sentence(kind: str, record: Mapping[str, Any]) -> str:
    context = record.get("ctx", {})
    if kind in _WORDS:
        return _WORDS[kind]
    if kind in {"literal_error", "enum"}:
        return f"allowed are {context.get('expected', '')}"
    if kind in {"greater_than_equal", "less_than_equal", "greater_than", "less_than"}:
        limit = next(context[key] for key in ("ge", "le", "gt", "lt") if key in context)
        return f"a number {kind.replace('_', ' ').replace(' equal', ' or equal')} {limit} is needed"
    if kind == "too_long":
        return f"no more than {context['max_length']} are taken"
    if kind == "too_short":
        return f"at least {context['min_length']} are needed"
    message = str(record["msg"])
    return message[:1].lower() + message[1:]


def known_keys(schema: Mapping[str, Any], *, path: Path) -> list[str]:
    """The keys that the table at ``path`` may hold."""
    node: Mapping[str, Any] = _resolved(schema, schema)
    for key in path:
        if isinstance(key, int):
            node = node.get("items", {})
        else:
            node = node.get("properties", {}).get(key, node.get("additionalProperties", {}))
        node = _resolved(node, schema) if isinstance(node, Mapping) else {}
    return list(node.get("properties", {}))


def _resolved(node: Mapping[str, Any], schema: Mapping[str, Any]) -> Mapping[str, Any]:
    while True:
        if "$ref" in node:
            node = schema["$defs"][node["$ref"].rsplit("/", 1)[-1]]
        elif "anyOf" in node:
            node = next((one for one in node["anyOf"] if one.get("type") != "null"), {})
        else:
            return node


def cut_path(path: Path) -> Path:
    """The key to cut out for a fault at ``path``: a list goes as a whole."""
    for position, key in enumerate(path):
        if isinstance(key, int):
            return path[:position]
    return path


def without(values: Mapping[str, Any], paths: set[Path]) -> dict[str, Any]:
    """A copy of the values without the keys at these paths."""
    copy: dict[str, Any] = deepcopy(dict(values))
    for path in paths:
        node: Any = copy
        for key in path[:-1]:
            node = node.get(key) if isinstance(node, dict) else None
        if isinstance(node, dict) and path:
            node.pop(path[-1], None)
    return copy
