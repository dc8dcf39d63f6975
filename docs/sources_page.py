"""The page of sources, from the bibliography and the published checks."""

from __future__ import annotations

import tomllib
from pathlib import Path

from oilwedge.sources import SOURCES

HEAD = """\
# Sources

Made by `docs/make_pages.py` from `src/oilwedge/sources.toml` and `tests/published/*/source.toml`;
change it there.

Status says how a document is known to those who wrote oilwedge:

- READ: it, or a page or test suite that quotes the figures used, was opened.
- RECALLED: from memory; the document was not opened. Check it before you lean on it.
- COMPUTED: worked out afresh, outside the package.

A fact of the trade without a source is called "common practice, no source" wherever it stands.
"""


def cell(text: str) -> str:
    """Text that is safe in a cell of a table."""
    return " ".join(text.split()).replace("|", "\\|")


def page(*, published: Path) -> str:
    """The whole page."""
    lines = [HEAD, "## Bibliography", "", "| key | document | sort | status | notes |"]
    lines.append("|---|---|---|---|---|")
    for key, source in sorted(SOURCES.items(), key=lambda item: item[0].casefold()):
        document = f"{source.author} ({source.year}). {source.title}. {source.publisher}."
        lines.append(
            f"| `{key}` | {cell(document)} | {source.kind.value} | {source.status.value} |"
            f" {cell(source.notes)} |"
        )
    lines += [
        "",
        "## Checks against published figures",
        "",
        "Each folder under `tests/published/` holds the figures as printed, and compares.",
        "",
        "| folder | document | where in it | status | notes |",
        "|---|---|---|---|---|",
    ]
    for path in sorted(published.glob("*/source.toml")):
        row = tomllib.loads(path.read_text(encoding="utf-8"))
        document = f"{row['author']} ({row['year']}). {row['title']}."
        lines.append(
            f"| `{path.parent.name}` | {cell(document)} | {cell(row['table_or_page'])} |"
            f" {row['status']} | {cell(row['notes'])} |"
        )
    return "\n".join(lines) + "\n"
