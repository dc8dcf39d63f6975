"""The page of evidence: public function of the science rooms, its source, the tests that call it.

Everything is read from the text of the code; nothing is imported or run.
"""

from __future__ import annotations

import ast
import re
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from oilwedge.sources import COMMON_PRACTICE, SOURCES

ROOMS = ("units", "unit_table", "tables", "uncertainty", "metrology", "film", "fits")
PACKAGE = "oilwedge"

HEAD = """\
# Evidence

Made by `docs/make_pages.py` from the code, its docstrings and its tests; change it there.

For each public function of the science rooms: where its figures or its formula come from (a key
of the [bibliography](sources.md), or a folder of `tests/published/`, whose check calls it), and
the test modules that call it by name. `published` marks a comparison with figures from outside
the project. A dash under "source" means plain arithmetic or a rule of this house, which its
docstring states. What tests reach only through another function, or not at all, stands at the end.
"""

_CITATION = re.compile(
    r"\b(?P<gum>GUM)\b|\b(?P<jcgm>JCGM \d+)|\b(?P<iso>ISO(?:/IEC)? \d+(?:-\d+)?)"
    r"|\b(?P<ilac>ILAC-G8)"
    r"|\b(?P<person>[A-Z][a-z]+) (?:and [A-Z][a-z]+ )?(?P<year>(?:18|19|20)\d\d)\b"
)


@dataclass(frozen=True, kw_only=True, slots=True)
class Subject:
    """A public function or method: module, name (Class.method), docstring, its module's too."""

    module: str
    name: str
    docstring: str
    module_docstring: str

    @property
    def method(self) -> str:
        """The name of the method alone; empty for a function."""
        return self.name.partition(".")[2]


def cited_keys(text: str) -> list[str]:
    """Keys of the bibliography for what a docstring cites, in order; ``?`` before unknown ones."""
    found: dict[str, None] = {}
    for match in _CITATION.finditer(text):
        if match["gum"]:
            key = "JCGM100"
        elif match["person"]:
            key = next(
                (
                    one
                    for one, source in SOURCES.items()
                    if match["person"] in source.author and str(source.year) == match["year"]
                ),
                f"?{match[0]}",
            )
        else:
            text_key = match[0].replace(" ", "").replace("/IEC", "")
            key = text_key if text_key in SOURCES else f"?{match[0]}"
        found[key] = None
    return list(found)


def modules(package: Path) -> Iterator[tuple[str, ast.Module]]:
    """Name and syntax tree of each module of the science rooms."""
    for room in ROOMS:
        folder = package / room
        paths = sorted(folder.glob("*.py")) if folder.is_dir() else [package / f"{room}.py"]
        for path in paths:
            parts = path.relative_to(package.parent).with_suffix("").parts
            name = ".".join(part for part in parts if part != "__init__")
            yield name, ast.parse(path.read_text(encoding="utf-8"))


def subjects(package: Path) -> list[Subject]:
    """Every public function, and every method that takes something or states a formula."""
    found: list[Subject] = []
    for module, tree in modules(package):
        said = ast.get_docstring(tree) or ""
        for node in tree.body:
            if isinstance(node, ast.FunctionDef) and not node.name.startswith("_"):
                found.append(_subject(module, node, prefix="", said=said))
            if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
                about = " ".join([said, ast.get_docstring(node) or ""])
                found += [
                    _subject(module, inner, prefix=f"{node.name}.", said=about)
                    for inner in node.body
                    if isinstance(inner, ast.FunctionDef) and _calculates(inner)
                ]
    return found


def _calculates(node: ast.FunctionDef) -> bool:
    takes = len(node.args.args) + len(node.args.kwonlyargs) > 1
    said = ast.get_docstring(node) or ""
    return not node.name.startswith("_") and (takes or "=" in said or bool(cited_keys(said)))


def _subject(module: str, node: ast.FunctionDef, *, prefix: str, said: str) -> Subject:
    return Subject(
        module=module,
        name=prefix + node.name,
        docstring=ast.get_docstring(node) or "",
        module_docstring=said,
    )


def imported_names(tree: ast.Module) -> dict[str, str]:
    """Local name to full name for everything that a module imports from the package."""
    names: dict[str, str] = {}
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom) and node.module and node.level == 0:
            if node.module.split(".")[0] == PACKAGE:
                for alias in node.names:
                    names[alias.asname or alias.name] = f"{node.module}.{alias.name}"
        elif isinstance(node, ast.Import):
            for alias in node.names:
                if alias.asname and alias.name.split(".")[0] == PACKAGE:
                    names[alias.asname] = alias.name
    return names


@dataclass(frozen=True, kw_only=True, slots=True)
class TestModule:
    """What a test module touches: full names, modules imported from, names of attributes."""

    path: str
    published: str
    touched: frozenset[str]
    imported_modules: frozenset[str]
    attributes: frozenset[str]

    def calls(self, subject: Subject) -> bool:
        """Whether it calls the function, or the method of a class whose module it imports."""
        if not subject.method:
            return f"{subject.module}.{subject.name}" in self.touched
        return subject.method in self.attributes and subject.module in self.imported_modules


def test_modules(root: Path) -> list[TestModule]:
    """All test modules but those of the documents."""
    aliases = {
        f"{module}.{local}": full
        for module, tree in modules(root / "src" / PACKAGE)
        for local, full in imported_names(tree).items()
    }
    tests = root / "tests"
    paths = sorted(path for path in tests.rglob("test_*.py") if path.parent.name != "docs")
    return [_test_module(path, tests=tests, aliases=aliases) for path in paths]


def _test_module(path: Path, *, tests: Path, aliases: dict[str, str]) -> TestModule:
    tree = ast.parse(path.read_text(encoding="utf-8"))
    names = imported_names(tree)
    touched: set[str] = set()
    attributes: set[str] = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Attribute):
            attributes.add(node.attr)
            if isinstance(node.value, ast.Name) and node.value.id in names:
                touched.add(f"{names[node.value.id]}.{node.attr}")
        elif isinstance(node, ast.Name) and node.id in names:
            touched.add(names[node.id])
    full = {_at_home(name, aliases) for name in touched}
    homes = {_at_home(name, aliases) for name in names.values()}
    below = path.relative_to(tests)
    return TestModule(
        path=below.as_posix(),
        published=below.parts[1] if below.parts[0] == "published" and len(below.parts) > 2 else "",
        touched=frozenset(full),
        imported_modules=frozenset(name.rpartition(".")[0] for name in homes) | frozenset(homes),
        attributes=frozenset(attributes),
    )


def _at_home(name: str, aliases: dict[str, str]) -> str:
    """The name under which something was defined, where it was imported from elsewhere."""
    for _ in range(5):
        if name not in aliases:
            break
        name = aliases[name]
    return name


def callers(root: Path) -> dict[str, set[str]]:
    """For each function, method or class of the science rooms: those whose code names it."""
    package = root / "src" / PACKAGE
    trees = list(modules(package))
    aliases = {
        f"{module}.{local}": full
        for module, tree in trees
        for local, full in imported_names(tree).items()
    }
    found: dict[str, set[str]] = {}
    for module, tree in trees:
        local = imported_names(tree) | {
            node.name: f"{module}.{node.name}"
            for node in tree.body
            if isinstance(node, ast.FunctionDef | ast.ClassDef)
        }
        for name, node in _definitions(module, tree.body):
            for inner in ast.walk(node):
                if isinstance(inner, ast.Name) and inner.id in local:
                    found.setdefault(_at_home(local[inner.id], aliases), set()).add(name)
                elif isinstance(inner, ast.Attribute):
                    found.setdefault(f".{inner.attr}", set()).add(name)
    return found


def _definitions(
    prefix: str, body: list[ast.stmt]
) -> Iterator[tuple[str, ast.FunctionDef | ast.ClassDef]]:
    for node in body:
        if isinstance(node, ast.FunctionDef):
            yield f"{prefix}.{node.name}", node
        elif isinstance(node, ast.ClassDef):
            yield from _definitions(f"{prefix}.{node.name}", node.body)


def reached_through(subject: Subject, *, tested: set[str], calling: dict[str, set[str]]) -> str:
    """The nearest tested function that comes to call this one; empty where none does."""
    full = f"{subject.module}.{subject.name}"
    waiting = [f".{subject.method}" if subject.method else full]
    seen: set[str] = set()
    while waiting:
        for caller in sorted(calling.get(waiting.pop(0), ())):
            if caller in tested:
                return caller.removeprefix(PACKAGE + ".")
            if caller not in seen:
                seen.add(caller)
                waiting.append(caller)
    return ""


def _sources(subject: Subject, tests: list[TestModule], statuses: dict[str, str]) -> str:
    own = cited_keys(subject.docstring)
    keys = own or ([] if subject.method else cited_keys(subject.module_docstring))
    folders = dict.fromkeys(test.published for test in tests if test.published)
    said = [f"`{key}`" for key in keys if not key.startswith("?")]
    said += [f"`{one}` ({statuses[one]})" for one in folders if one not in keys]
    if COMMON_PRACTICE in f"{subject.docstring} {subject.module_docstring}".casefold():
        said.append(COMMON_PRACTICE)
    return ", ".join(said) or "–"


def page(*, root: Path) -> str:
    """The whole page."""
    tests = test_modules(root)
    statuses = {
        path.parent.name: tomllib.loads(path.read_text(encoding="utf-8"))["status"]
        for path in (root / "tests" / "published").glob("*/source.toml")
    }
    found = [
        (subject, [test for test in tests if test.calls(subject)])
        for subject in subjects(root / "src" / PACKAGE)
    ]
    lines, module = [HEAD], ""
    for subject, calling in found:
        if not calling:
            continue
        if subject.module != module:
            module = subject.module
            lines += [f"## {module.removeprefix(PACKAGE + '.')}", ""]
            lines += ["| function | source | tests |", "|---|---|---|"]
        lines.append(
            f"| `{subject.name}` | {_sources(subject, calling, statuses)} |"
            f" {', '.join(_test_words(test) for test in calling)} |"
        )
    tested = {f"{subject.module}.{subject.name}" for subject, calling in found if calling}
    bare = [subject for subject, calling in found if not calling]
    return _spaced(lines + _untested(bare, tested=tested, calling=callers(root)))


def _untested(bare: list[Subject], *, tested: set[str], calling: dict[str, set[str]]) -> list[str]:
    """What no test calls by name: reached through another function, or not at all."""
    through: list[str] = []
    never: list[str] = []
    for subject in bare:
        name = f"{subject.module}.{subject.name}".removeprefix(PACKAGE + ".")
        by = reached_through(subject, tested=tested, calling=calling)
        (through if by else never).append(f"- `{name}`" + (f", through `{by}`" if by else ""))
    lines = ["", "## Called by tests through another function only", "", *(through or ["None."])]
    return [*lines, "", "## Called by no test", "", *(never or ["None."])]


def _test_words(test: TestModule) -> str:
    return f"`{test.path}`" + (" (published)" if test.published else "")


def _spaced(lines: list[str]) -> str:
    """A blank line before each heading."""
    text = "\n".join(lines) + "\n"
    return re.sub(r"\n+(?=## )", "\n\n", text)
