"""``oilwedge film path``: the journal's path in one bearing under a load that repeats."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Annotated

import typer

from oilwedge.cli.face import say, show
from oilwedge.errors import OutOfRangeError
from oilwedge.usecases.film_groove import PathGroove, read_groove
from oilwedge.usecases.film_path import (
    USUAL_LINES,
    EndsChoice,
    FilmPathQuestion,
    Route,
    Rupture,
    solve_path,
)
from oilwedge.usecases.film_path_document import path_document
from oilwedge.usecases.film_path_json import path_json
from oilwedge.usecases.film_solver import COMPILING
from oilwedge.usecases.trade_words import TradeWords


def _say_cycle(cycle: int, residual: float) -> None:
    say(f"Cycle {cycle}: its end misses its start by {residual:.1e}; 1e-4 is aimed at ...")


def film_path_command(
    loads: Annotated[
        Path,
        typer.Option(
            help="CSV table of the force on the journal, in axes fixed to the bearing, over one or"
            " two turns: angle \\[deg], fx \\[N], fy \\[N] and, if it varies, journal_speed \\[rpm]"
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
    route: Annotated[
        Route,
        typer.Option(
            help="How the path is found: mobility is fast; transient solves the whole film at every"
            " step, as a reference, and tells the other route's minimum film beside it."
        ),
    ] = Route.MOBILITY,
    rupture: Annotated[
        Rupture,
        typer.Option(help="With --route transient: where the film ends, and whether it keeps oil."),
    ] = Rupture.REYNOLDS,
    ends: Annotated[
        EndsChoice,
        typer.Option(
            help="With --route transient: what stands at the ends, air or oil. auto: air, but oil"
            " for a mass-conserving film that no groove feeds."
        ),
    ] = EndsChoice.AUTO,
    supply_pressure: Annotated[
        str,
        typer.Option(help="With --route transient and --groove full: over the surroundings: 3bar."),
    ] = "",
    film: Annotated[
        str, typer.Option(help='Tell the share of the cycle under this film: "1um".')
    ] = "",
    lines: Annotated[
        int,
        typer.Option(
            help="With --route transient: lines round the bearing; more, to see what the grid does."
        ),
    ] = USUAL_LINES,
    as_json: Annotated[
        bool, typer.Option("--json", help="Print everything as JSON, with the path.")
    ] = False,
) -> int:
    """Say how a journal moves in its clearance under a load that repeats, and how thin it gets.

    Ends with 0, or with 2 for bad input and for a path that does not close; with --json the record
    is printed all the same, "converged" false and "fault" saying what to try.
    """
    question = FilmPathQuestion(
        loads=loads,
        diameter=diameter,
        width=width,
        clearance=clearance,
        viscosity=viscosity,
        speed=speed,
        groove=read_groove(kind=groove, width=groove_width, angle=groove_angle),
        route=route,
        rupture=rupture,
        ends=ends,
        supply_pressure=supply_pressure,
        film=film,
        lines=lines,
    )
    answer = solve_path(question, when_compiling=lambda: say(COMPILING), when_cycle=_say_cycle)
    if as_json:
        record = path_json(answer)
        typer.echo(json.dumps(record, ensure_ascii=False, indent=2, allow_nan=False))
    if answer.fault is not None:
        raise OutOfRangeError(answer.fault)
    if not as_json:
        show(path_document(answer), words=TradeWords())
    return 0
