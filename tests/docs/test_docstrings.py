"""Docstrings of the science rooms: there, with units, with sources that are in the bibliography.

What counts as a unit: the name of an argument says it (``diameter_m``, ``part_temperature_c``),
or the docstring of the function, its class or its module names one. The room ``uncertainty`` holds
for any unit and says so once; what is a count, a chance, a factor or a text needs none.
"""

from __future__ import annotations

import ast
import doctest
import importlib
import re
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from types import ModuleType

import pytest

ROOT = Path(__file__).parents[2]
PACKAGE = ROOT / "src" / "oilwedge"


def evidence_module() -> ModuleType:
    """docs/evidence.py, which knows the rooms and how a source is cited."""
    sys.path.insert(0, str(ROOT / "docs"))
    try:
        return importlib.import_module("evidence")
    finally:
        sys.path.pop(0)


EVIDENCE = evidence_module()


@dataclass(frozen=True, kw_only=True)
class Public:
    """A public function, method or class, with every docstring round it."""

    name: str
    node: ast.FunctionDef | ast.ClassDef
    around: str

    @property
    def own(self) -> str:
        return ast.get_docstring(self.node) or ""


def public_names() -> Iterator[Public]:
    for module, tree in EVIDENCE.modules(PACKAGE):
        about = ast.get_docstring(tree) or ""
        yield from public_in(tree.body, prefix=module, around=about)


def public_in(body: list[ast.stmt], *, prefix: str, around: str) -> Iterator[Public]:
    for node in body:
        if not isinstance(node, ast.FunctionDef | ast.ClassDef) or node.name.startswith("_"):
            continue
        name = f"{prefix}.{node.name}"
        yield Public(name=name, node=node, around=around)
        if isinstance(node, ast.ClassDef):
            inner = f"{around} {ast.get_docstring(node) or ''}"
            yield from public_in(node.body, prefix=name, around=inner)


PUBLIC = list(public_names())
MODULES = [module for module, _ in EVIDENCE.modules(PACKAGE)]

UNIT_OF_A_NAME = re.compile(
    r"_(m|um|mm|c|k|deg|rad|rad_s|per_k|n|n_m|j|kg|kg_m|kg_m3|w|s|m2_s|m3_s|pa|pa_s|si|unit)$"
)
UNIT_IN_WORDS = re.compile(
    r"\b(metres?|m|mm|µm|degrees|radians?|rad|K|Pa|N|W|°C|SI|units?|dimensionless|ratios?"
    r"|clearance, diametral|unit of the components)\b|1/K"
)
FLOATS = re.compile(r"\b(float|Quantity)\b")
# Chances, factors, counts, ratios: no unit to name.
PURE = {
    "probability", "coverage", "coverage_probability", "degrees_of_freedom", "correlation", "risk",
    "relative", "diameter_relative", "width_relative", "position", "coefficient", "factor",
    "cutoff", "eccentricity_ratio", "width_ratio",
}  # fmt: skip


@pytest.mark.parametrize("public", PUBLIC, ids=lambda public: public.name)
def test_there_is_a_docstring(public: Public) -> None:
    assert public.own.strip()


def floats_without_unit(node: ast.FunctionDef) -> list[str]:
    """Arguments (and the result, as "return") that are plain floats or quantities."""
    arguments = [*node.args.args, *node.args.kwonlyargs]
    names = [
        one.arg
        for one in arguments
        if one.annotation is not None
        and FLOATS.search(ast.unparse(one.annotation))
        and not UNIT_OF_A_NAME.search(one.arg)
        and one.arg not in PURE
    ]
    gives = "" if node.returns is None else ast.unparse(node.returns)
    if FLOATS.search(gives) and not UNIT_OF_A_NAME.search(node.name):
        names.append("return")
    return names


def agnostic(public: Public) -> bool:
    return public.name.startswith("oilwedge.uncertainty.")


@pytest.mark.parametrize(
    "public",
    [one for one in PUBLIC if isinstance(one.node, ast.FunctionDef) and not agnostic(one)],
    ids=lambda public: public.name,
)
def test_a_function_of_quantities_names_its_units(public: Public) -> None:
    assert isinstance(public.node, ast.FunctionDef)
    bare = floats_without_unit(public.node)
    said = f"{public.around} {public.own}"
    assert not bare or UNIT_IN_WORDS.search(said), f"say the unit of {', '.join(bare)}"


def test_uncertainty_says_that_it_holds_for_any_unit() -> None:
    quantity = next(one for one in PUBLIC if one.name.endswith("quantity.Quantity"))
    assert "in its unit" in " ".join(quantity.own.split())


@pytest.mark.parametrize("module", MODULES)
def test_what_a_module_cites_is_in_the_bibliography(module: str) -> None:
    tree = dict(EVIDENCE.modules(PACKAGE))[module]
    said = [
        ast.get_docstring(node) or ""
        for node in ast.walk(tree)
        if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef)
    ]
    unknown = [key for key in EVIDENCE.cited_keys(" ".join(said)) if key.startswith("?")]
    assert unknown == []


@pytest.mark.parametrize("module", MODULES)
def test_examples_in_docstrings_run(module: str) -> None:
    outcome = doctest.testmod(importlib.import_module(module))
    assert outcome.failed == 0
