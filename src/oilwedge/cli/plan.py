"""``oilwedge plan``: what to measure, with what, where, in which order."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from oilwedge.cli.face import PaperChoice, UnitChoice, length_face, show
from oilwedge.cli.writing import write_sheet
from oilwedge.usecases.opening import open_engine_and_shop
from oilwedge.usecases.planning.document import plan_document
from oilwedge.usecases.planning.plan import Depth, make_plan


def plan_command(
    engine: Annotated[Path, typer.Argument(help="The engine file (TOML).")],
    depth: Annotated[Depth, typer.Option(help="How much is measured.")] = Depth.QUICK,
    shop: Annotated[
        Path | None,
        typer.Option(help="The shop file; else shop.toml beside the engine file, if there is one."),
    ] = None,
    unit: Annotated[UnitChoice | None, typer.Option(help="Show lengths in this unit.")] = None,
    pdf: Annotated[
        Path | None, typer.Option(help="Write the plan to this PDF instead of printing it.")
    ] = None,
    paper: Annotated[PaperChoice, typer.Option(help="Paper of the PDF.")] = PaperChoice.A4,
) -> int:
    """Say what to measure, with what, where and in which order, before anything comes apart."""
    opened = open_engine_and_shop(engine=engine, shop=shop)
    plan = make_plan(engine=opened.engine, shop=opened.shop, depth=depth)
    document = plan_document(
        plan=plan, unit=length_face(choice=unit, usual=opened.engine.unit).unit, paper=paper.paper
    )
    if pdf is None:
        show(document, words=opened.shop.words)
    else:
        write_sheet(pdf, document, words=opened.shop.words)
    return 0
