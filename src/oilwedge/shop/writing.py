"""Write one table of a shop file anew and leave the rest as somebody wrote it, comments too."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from typing import Any

import tomlkit
from tomlkit.items import AoT, Item, Table
from tomlkit.toml_document import TOMLDocument

Written = str | int | float | datetime.date | list[str] | list[dict[str, str]]

EMPTY_SHOP = """\
# The shop: what it measures with. Figures stand with their unit, "0.001 mm", "0.0001 in".
format = 1

[shop]
name = ""
"""


def with_table(text: str, *, section: str, key: str, values: Mapping[str, Written]) -> str:
    """The file with [section.KEY] holding these values; keys that are not named stay away."""
    document = tomlkit.parse(text)
    group = _group(document, section)
    table = group.get(key)
    if not isinstance(table, Table):
        table = tomlkit.table()
        group[key] = table
    for name in [name for name in table if name not in values]:
        del table[name]
    for name, value in values.items():
        old = table.get(name)
        if old is None or _plain(old) != value:
            table[name] = _item(value)
    return tomlkit.dumps(document)


def without_table(text: str, *, section: str, key: str) -> str:
    """The file without [section.KEY]."""
    document = tomlkit.parse(text)
    group = _group(document, section)
    if key in group:
        del group[key]
    return tomlkit.dumps(document)


def table_values(text: str, *, section: str, key: str) -> dict[str, object]:
    """What [section.KEY] says, as plain values; nothing where it is not there."""
    group = tomlkit.parse(text).get(section)
    table = group.get(key) if isinstance(group, Mapping) else None
    return {name: _plain(value) for name, value in table.items()} if table is not None else {}


def _group(document: TOMLDocument, section: str) -> Any:
    group = document.get(section)
    if not isinstance(group, Table):
        if group is not None:
            return group  # spread over the file: tomlkit's own stand-in for such a table
        group = tomlkit.table(is_super_table=True)
        document[section] = group
    return group


def _plain(value: object) -> object:
    return value.unwrap() if isinstance(value, Item | AoT) else value


def _item(value: Written) -> Item:
    if isinstance(value, list) and value and isinstance(value[0], dict):
        array = tomlkit.array()
        for one in value:
            inline = tomlkit.inline_table()
            inline.update(one)
            array.append(inline)
        return array.multiline(True)
    return tomlkit.item(value)
