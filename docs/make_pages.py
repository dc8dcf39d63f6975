"""Write the pages of docs/ that are made from the code, or say which of them are out of date.

python docs/make_pages.py            write them
python docs/make_pages.py --check    change nothing; exit code 1 and the names of stale pages

Needs the installed package (the program's own environment: .venv/bin/python).
"""

from __future__ import annotations

import sys
from pathlib import Path

import catalogue_tables
import demo_screen
import evidence
import schema_tables
import sources_page

from oilwedge.report.form_drawings import FormWord, form_svg

DOCS = Path(__file__).resolve().parent
ROOT = DOCS.parent
PICTURE = DOCS / "pictures" / "build-sheet.png"  # not compared: fonts may draw it otherwise


def pages() -> dict[Path, str]:
    """Every page that is made, whole, by its path."""
    engine_file = DOCS / "formats" / "engine-file.md"
    drawings = {form_drawing(word): form_svg(word) + "\n" for word in FormWord}
    nomenclature = DOCS / "nomenclature.md"
    readme = ROOT / "README.md"
    return {
        **drawings,
        nomenclature: with_tables(
            nomenclature.read_text(encoding="utf-8"), tables={"forms": forms()}
        ),
        readme: with_tables(
            readme.read_text(encoding="utf-8"), tables={"demo": demo_screen.block(ROOT)}
        ),
        DOCS / "sources.md": sources_page.page(published=ROOT / "tests" / "published"),
        DOCS / "evidence.md": evidence.page(root=ROOT),
        engine_file: with_tables(
            engine_file.read_text(encoding="utf-8"),
            tables={"keys": schema_tables.keys(), **catalogue_tables.tables()},
        ),
    }


def form_drawing(word: FormWord) -> Path:
    """Where the drawing of one word of form is kept."""
    return DOCS / "pictures" / f"{word.name.lower().replace('_', '-')}.svg"


def forms() -> str:
    """The words of form, each with two sentences and its drawing."""
    return "".join(
        f"{word.explanation}\n\n![{word.value}](pictures/{form_drawing(word).name})\n\n"
        for word in FormWord
    )


def with_tables(text: str, *, tables: dict[str, str]) -> str:
    """A hand-written page with what stands between its marks made anew.

    A mark is a comment ``<!-- made: NAME -->``; what is made ends at ``<!-- end -->``.
    """
    for name, table in tables.items():
        start, end = f"<!-- made: {name} -->\n", "<!-- end -->"
        if text.count(start) != 1:
            raise ValueError(f"the page needs the mark {start.strip()} once")
        before, _, rest = text.partition(start)
        _, found, after = rest.partition(end)
        if not found:
            raise ValueError(f"the mark {start.strip()} has no {end}")
        text = before + start + table + end + after
    return text


def main(arguments: list[str]) -> int:
    """Write or check, as the arguments say."""
    stale = []
    for path, text in pages().items():
        old = path.read_text(encoding="utf-8") if path.is_file() else ""
        if old == text:
            continue
        stale.append(path.relative_to(ROOT).as_posix())
        if "--check" not in arguments:
            path.write_text(text, encoding="utf-8")
    if "--check" not in arguments:
        PICTURE.parent.mkdir(exist_ok=True)
        PICTURE.write_bytes(demo_screen.sheet_picture(ROOT))
    if not stale:
        print("All pages are up to date.")
        return 0
    if "--check" in arguments:
        print(f"Out of date: {', '.join(stale)}; run: python docs/make_pages.py")
        return 1
    print(f"Written: {', '.join(stale)}")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
