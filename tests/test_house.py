"""The rules of the house that no linter knows: what a module may be called, how long it may be."""

from pathlib import Path

import pytest

PACKAGE = Path(__file__).parents[1] / "src" / "oilwedge"
MODULES = sorted(PACKAGE.rglob("*.py"))
FORBIDDEN_NAMES = {"utils", "helpers", "common", "misc", "tools", "base", "manager"}
MAXIMUM_LINES = 400


def name_of(path: Path) -> str:
    return path.relative_to(PACKAGE).as_posix()


def test_the_package_is_where_this_test_looks() -> None:
    assert PACKAGE / "__init__.py" in MODULES


@pytest.mark.parametrize("path", MODULES, ids=name_of)
def test_a_module_is_named_after_its_noun(path: Path) -> None:
    parts = {part.lower() for part in path.relative_to(PACKAGE).with_suffix("").parts}
    assert not parts & FORBIDDEN_NAMES


@pytest.mark.parametrize("path", MODULES, ids=name_of)
def test_a_module_stays_short(path: Path) -> None:
    lines = len(path.read_text(encoding="utf-8").splitlines())
    assert lines <= MAXIMUM_LINES, f"{name_of(path)} has {lines} lines; split it by noun"


def test_every_room_is_a_package() -> None:
    folders = {path.parent for path in MODULES}
    assert not [name_of(folder) for folder in folders if not (folder / "__init__.py").is_file()]
