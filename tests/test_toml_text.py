"""Lines of keys are found wherever TOML lets a key stand."""

import tomllib
from importlib import resources
from typing import Any

import pytest

from oilwedge.errors import EngineFileError
from oilwedge.toml_text import Path, decode_toml, line_index, parse_toml, path_text

TEXT = (
    '''\
top = 1
"quoted key" = "a # no comment"

[plain]
a.b = { c = 1, d = [1,
  2, { e = 3 }] }
many = """
x = [
""" # a comment
z = 'it'''
    + "'"
    + """

[[list]]
a = 1
[[list]]
a = 2
[list.inner]
b = 2020-01-01 10:00:00
[deep."er.x".still]
k = [[1, 2], [
 3]]
"""
)


@pytest.mark.parametrize(
    ("path", "line"),
    [
        (("top",), 1),
        (("quoted key",), 2),
        (("plain",), 4),
        (("plain", "a", "b"), 5),
        (("plain", "a", "b", "c"), 5),
        (("plain", "a", "b", "d", 0), 5),
        (("plain", "a", "b", "d", 1), 6),
        (("plain", "a", "b", "d", 2, "e"), 6),
        (("plain", "many"), 7),
        (("plain", "z"), 10),
        (("list", 0, "a"), 13),
        (("list", 1), 14),
        (("list", 1, "a"), 15),
        (("list", 1, "inner", "b"), 17),
        (("deep", "er.x", "still", "k"), 19),
        (("deep", "er.x", "still", "k", 1, 0), 20),
        (("deep", "er.x", "still", "missing"), 18),
        (("nowhere",), None),
    ],
)
def test_the_line_of_a_key_is_found(path: Path, line: int | None) -> None:
    assert tomllib.loads(TEXT)
    assert line_index(TEXT).line(path) == line


def leaves(value: Any, path: Path = ()) -> list[Path]:
    if isinstance(value, dict):
        return [leaf for key, item in value.items() for leaf in leaves(item, (*path, key))]
    if isinstance(value, list):
        return [leaf for at, item in enumerate(value) for leaf in leaves(item, (*path, at))]
    return [path]


@pytest.mark.parametrize("name", ["four.toml", "three_diesel.toml", "v_twin.toml", "shop.toml"])
def test_every_value_of_a_demo_file_stands_on_its_line(name: str) -> None:
    text = resources.files("oilwedge").joinpath("demo", name).read_text(encoding="utf-8")
    values = tomllib.loads(text)
    index = line_index(text)
    lines = text.split("\n")
    for path in leaves(values):
        value: Any = values
        for key in path:
            value = value[key]
        line = index.lines[path]
        assert str(value) in lines[line - 1], path


def test_a_path_is_written_as_a_person_counts() -> None:
    assert path_text(("layout", "throw_angles", 2)) == "layout.throw_angles[3]"


def test_a_byte_order_mark_is_taken_off() -> None:
    text = decode_toml(b"\xef\xbb\xbfa = 1", file="f", error=EngineFileError)
    assert parse_toml(text, file="f", error=EngineFileError) == {"a": 1}


def test_bad_syntax_names_line_text_and_reason() -> None:
    with pytest.raises(EngineFileError) as caught:
        parse_toml("a = 1\nb = = 2\n", file="f.toml", error=EngineFileError)
    assert str(caught.value).startswith("f.toml, line 2: given 'b = = 2'; this cannot be read")
