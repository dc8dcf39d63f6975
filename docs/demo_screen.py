"""The README's block and picture of the demo, made by the program itself."""

from __future__ import annotations

import datetime
from pathlib import Path

from oilwedge.report.document import Paper
from oilwedge.report.terminal import render_terminal
from oilwedge.usecases.build_sheet import build_sheet
from oilwedge.usecases.importing.imported import BadRows
from oilwedge.usecases.judgement import Judgement
from oilwedge.usecases.judging import judge
from oilwedge.usecases.length_face import LengthFace
from oilwedge.usecases.opening import open_engine_and_shop
from oilwedge.usecases.reading_in import read_in
from oilwedge.usecases.verdict_document import screen_document

LAST_SHOWN = "crank end float"  # the first kind of fit that the shortened screen leaves out
REMARKS = ("main bearing 4: too tight", "cam bearing 3: cannot tell")


def demo_judgement(root: Path) -> Judgement:
    """The demo's in-line four, judged as ``oilwedge judge --keep-good`` does."""
    folder = root / "src" / "oilwedge" / "demo"
    opened = open_engine_and_shop(engine=folder / "four.toml", shop=None)
    taken = read_in(
        paths=[folder / "four.csv"],
        engine=opened.engine,
        shop=opened.shop,
        bad_rows=BadRows.KEEP_GOOD,
    )
    return judge(engine=opened.engine, shop=opened.shop, entries=taken.entries, notes=taken.notes)


def block(root: Path) -> str:
    """The screen down to the bearings, and two of its remarks, as a block of the README."""
    document = screen_document(
        judgement=demo_judgement(root), face=LengthFace(), worst_first=False, every_way=False
    )
    lines = render_terminal(document).splitlines()
    end = next(i for i, line in enumerate(lines) if line.startswith(f"{LAST_SHOWN}:"))
    shown = [*lines[:end], "..."]
    for title in REMARKS:
        start = lines.index(title)
        stop = next(i for i in range(start + 3, len(lines)) if not lines[i])
        shown += ["", *lines[start:stop]]
    return "```\n" + "\n".join(shown) + "\n```\n"


def sheet_picture(root: Path) -> bytes:
    """The first page of the build sheet as PNG."""
    import io

    import pypdfium2

    from oilwedge.report.pdf import render_pdf

    sheet = build_sheet(
        judgement=demo_judgement(root), face=LengthFace(), paper=Paper.A4, date_text="2026-01-02"
    )
    created = datetime.datetime(2026, 1, 2, tzinfo=datetime.UTC)
    page = pypdfium2.PdfDocument(render_pdf(sheet, created=created))[0]
    picture = io.BytesIO()
    page.render(scale=1.4).to_pil().convert("L").save(picture, format="PNG", optimize=True)
    return picture.getvalue()
