"""``oilwedge film window``: what film each clearance and oil leaves, and where the engine sits."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Annotated

import typer

from oilwedge.cli.face import UnitChoice, length_face, say, show
from oilwedge.cli.writing import write_file
from oilwedge.errors import Where
from oilwedge.usecases.film_solver import COMPILING
from oilwedge.usecases.film_window import film_window, read_film_m
from oilwedge.usecases.film_window_document import film_window_document
from oilwedge.usecases.film_window_json import film_window_json
from oilwedge.usecases.film_window_picture import film_window_picture
from oilwedge.usecases.importing.imported import BadRows
from oilwedge.usecases.judging import judge
from oilwedge.usecases.opening import open_engine_and_shop
from oilwedge.usecases.reading_in import read_in


def film_window_command(
    engine: Annotated[Path, typer.Argument(help="The engine file (TOML), with its duty.")],
    readings: Annotated[
        list[Path] | None,
        typer.Argument(help="Tables of readings or a job file: where the bearings sit."),
    ] = None,
    shop: Annotated[
        Path | None,
        typer.Option(help="The shop file; else shop.toml beside the engine file, if there is one."),
    ] = None,
    oil: Annotated[
        list[str] | None,
        typer.Option(help="Grade to compare: 5W-30; may be given again. Else the engine's oil."),
    ] = None,
    film: Annotated[
        str, typer.Option(help='The film to be kept: "1um"; else a rule of thumb, 1 µm.')
    ] = "",
    at: Annotated[
        list[str] | None,
        typer.Option(help='Only this condition: "full load"; may be given again. Else all.'),
    ] = None,
    unit: Annotated[UnitChoice | None, typer.Option(help="Show clearances in this unit.")] = None,
    as_json: Annotated[bool, typer.Option("--json", help="Print everything as JSON.")] = False,
    picture: Annotated[Path | None, typer.Option(help="Write the charts to this SVG file.")] = None,
) -> int:
    """Show which clearances keep an oil film, at every condition of the engine file's duty."""
    opened = open_engine_and_shop(engine=engine, shop=shop)
    judgement = None
    if readings:
        taken = read_in(
            paths=readings,
            engine=opened.engine,
            shop=opened.shop,
            bad_rows=BadRows.KEEP_GOOD,
        )
        for fault in taken.faults:
            say(fault.sentence())
        judgement = judge(
            engine=opened.engine, shop=opened.shop, entries=taken.entries, notes=taken.notes
        )
    window = film_window(
        engine=opened.engine,
        judgement=judgement,
        oils=oil or (),
        film_m=read_film_m(film, where=Where(column="--film")),
        conditions=at or (),
        folder=engine.parent,
        when_compiling=lambda: say(COMPILING),
    )
    face = length_face(choice=unit, usual=opened.engine.unit)
    drawn = None if picture is None else film_window_picture(window, face=face)
    if as_json:
        typer.echo(
            json.dumps(film_window_json(window), ensure_ascii=False, indent=2, allow_nan=False)
        )
    else:
        show(film_window_document(window, face=face), words=opened.shop.words)
    if picture is not None and drawn is not None:
        write_file(picture, drawn.encode("utf-8"))
        say(f"Charts written to {picture}")
    return 0
