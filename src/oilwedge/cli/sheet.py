"""``oilwedge sheet blank``: measuring sheets to print and fill in by hand."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from oilwedge.cli.face import PaperChoice, UnitChoice, length_face
from oilwedge.cli.writing import write_sheet
from oilwedge.usecases.blank_sheets import LimitsShown, blank_sheet_document
from oilwedge.usecases.opening import open_engine_and_shop
from oilwedge.usecases.planning.plan import Depth

sheet_app = typer.Typer(help="Sheets to print.", no_args_is_help=True)


@sheet_app.callback()
def _sheets() -> None:
    """Sheets to print."""  # with a callback, "blank" stays a command although it is the only one


@sheet_app.command("blank")
def sheet_blank_command(
    engine: Annotated[Path, typer.Argument(help="The engine file (TOML).")],
    output: Annotated[
        Path | None,
        typer.Option("--output", "-o", help="The PDF to write; else ENGINE-sheets.pdf here."),
    ] = None,
    depth: Annotated[Depth, typer.Option(help="How much is measured.")] = Depth.QUICK,
    shop: Annotated[
        Path | None,
        typer.Option(help="The shop file; else shop.toml beside the engine file, if there is one."),
    ] = None,
    unit: Annotated[UnitChoice | None, typer.Option(help="Unit of the values to write.")] = None,
    limits: Annotated[
        LimitsShown, typer.Option(help="Where the limits stand; never beside the rows.")
    ] = LimitsShown.LAST_PAGE,
    paper: Annotated[PaperChoice, typer.Option(help="Paper size.")] = PaperChoice.A4,
) -> int:
    """Write blank measuring sheets as PDF."""
    opened = open_engine_and_shop(engine=engine, shop=shop)
    document = blank_sheet_document(
        engine=opened.engine,
        depth=depth,
        unit=length_face(choice=unit, usual=opened.engine.unit).unit,
        shop=opened.shop,
        limits=limits,
        paper=paper.paper,
    )
    path = output or Path(f"{engine.stem}-sheets.pdf")
    write_sheet(path, document, words=opened.shop.words)
    return 0
