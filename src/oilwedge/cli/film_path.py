"""``oilwedge film path``: the journal's path in one bearing under a load that repeats."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Annotated

import typer

from oilwedge.cli.face import say, show
from oilwedge.usecases.film_groove import PathGroove, read_groove
from oilwedge.usecases.film_path import (
    FilmPathQuestion,
    Route,
    path_document,
    path_json,
    solve_path,
)
from oilwedge.usecases.trade_words import TradeWords


def _say_compiling() -> None:
    say("Compiling the solver: this happens once after installation and takes some seconds ...")


def film_path_command(
    loads: Annotated[
        Path,
        typer.Option(
            help="CSV table of the force on the journal, in axes fixed to the bearing, over one or"
            " two turns: angle [deg], fx [N], fy [N] and, if it varies, journal_speed [rpm]"
            " relative to those axes. The journal turns from x towards y."
        ),
    ],
    diameter: Annotated[str, typer.Option(help='Diameter of the bearing: "50mm".')],
    width: Annotated[str, typer.Option(help='Width of the bearing: "20mm".')],
    clearance: Annotated[str, typer.Option(help='Diametral clearance, running: "50um".')],
    viscosity: Annotated[str, typer.Option(help='Dynamic viscosity in the film: "7mPa.s".')],
    speed: Annotated[
        str,
        typer.Option(
            help='Speed of the crank, at which the angle passes: "3000rpm"; the journal\'s speed'
            " too, where the table has none."
        ),
    ],
    groove: Annotated[
        PathGroove,
        typer.Option(help="Groove or hole in the middle of the width, at ambient pressure."),
    ] = PathGroove.NONE,
    groove_width: Annotated[
        str, typer.Option(help='Width of the groove, or diameter of the hole: "4mm".')
    ] = "",
    groove_angle: Annotated[
        str,
        typer.Option(
            help="Where the middle of a half groove lies, or the hole, from x towards y: 0deg."
        ),
    ] = "",
    route: Annotated[Route, typer.Option(help="How the path is found.")] = Route.MOBILITY,
    as_json: Annotated[
        bool, typer.Option("--json", help="Print everything as JSON, with the path.")
    ] = False,
) -> int:
    """Say how a journal moves in its clearance under a load that repeats, and how thin it gets."""
    assert route is Route.MOBILITY
    question = FilmPathQuestion(
        loads=loads,
        diameter=diameter,
        width=width,
        clearance=clearance,
        viscosity=viscosity,
        speed=speed,
        groove=read_groove(kind=groove, width=groove_width, angle=groove_angle),
    )
    orbit = solve_path(question, when_compiling=_say_compiling)
    if as_json:
        typer.echo(
            json.dumps(
                path_json(orbit, groove=question.groove),
                ensure_ascii=False,
                indent=2,
                allow_nan=False,
            )
        )
    else:
        show(path_document(orbit, groove=question.groove), words=TradeWords())
    return 0
