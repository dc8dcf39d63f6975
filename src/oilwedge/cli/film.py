"""``oilwedge film``: what the oil film of a bearing does."""

from __future__ import annotations

import json
from typing import Annotated

import typer

from oilwedge.cli.face import say, show
from oilwedge.cli.film_cycle import film_cycle_command
from oilwedge.cli.film_path import film_path_command
from oilwedge.cli.film_window import film_window_command
from oilwedge.usecases.film_bearing import (
    Feed,
    MeasuredTyped,
    Rupture,
    read_case,
    solve,
)
from oilwedge.usecases.film_bearing_document import film_document, film_json
from oilwedge.usecases.film_solver import COMPILING
from oilwedge.usecases.trade_words import TradeWords

film_app = typer.Typer(
    help="The oil film of a bearing: what a clearance does when it runs.", no_args_is_help=True
)
film_app.command("path")(film_path_command)
film_app.command("window")(film_window_command)
film_app.command("cycle")(film_cycle_command)


@film_app.callback()
def _film() -> None:
    """The oil film of a bearing: what a clearance does when it runs."""


@film_app.command("bearing")
def film_bearing_command(
    diameter: Annotated[str, typer.Option(help='Diameter of the bearing: "50mm".')],
    width: Annotated[str, typer.Option(help='Width of the bearing: "25mm".')],
    clearance: Annotated[str, typer.Option(help='Diametral clearance, running: "50um".')],
    speed: Annotated[str, typer.Option(help='Speed of the journal: "3000rpm".')],
    load: Annotated[str, typer.Option(help='Constant load on the bearing: "5kN".')],
    viscosity: Annotated[
        str, typer.Option(help='Dynamic viscosity in the film: "10mPa.s"; or give an oil.')
    ] = "",
    oil: Annotated[
        str, typer.Option(help="Grade of the oil: 5W-30; the film then finds its temperature.")
    ] = "",
    data_sheet: Annotated[
        list[str] | None,
        typer.Option(help='Data sheet: "40C=68 mm2/s; 100C=10.5 mm2/s; 15C=870 kg/m3".'),
    ] = None,
    supply_temperature: Annotated[
        str, typer.Option(help='Temperature of the oil that comes in: "90C".')
    ] = "",
    rupture: Annotated[
        Rupture, typer.Option(help="Condition where the film ends.")
    ] = Rupture.REYNOLDS,
    groove: Annotated[
        Feed,
        typer.Option(help="How oil gets in; axial: full width, by default at the largest gap."),
    ] = Feed.AXIAL,
    groove_angle: Annotated[
        str,
        typer.Option(help='Where the groove or hole is, or the middle of a half one: "180deg".'),
    ] = "",
    groove_span: Annotated[
        str, typer.Option(help='How far a half groove goes round; "180deg" if not given.')
    ] = "",
    groove_width: Annotated[
        str, typer.Option(help="Width of a circumferential or half groove, diameter of a hole.")
    ] = "",
    supply_pressure: Annotated[
        str, typer.Option(help='Pressure in the groove above the surroundings; "0 bar" by default.')
    ] = "",
    load_angle: Annotated[
        str, typer.Option(help="Where the load points, from the x axis with the rotation.")
    ] = "",
    taper: Annotated[
        str, typer.Option(help='Journal diameter in front less that at the rear: "5um".')
    ] = "",
    barrel: Annotated[
        str, typer.Option(help="Diameter in the middle less that at the ends; minus: hourglass.")
    ] = "",
    out_of_round: Annotated[
        str, typer.Option(help="Largest less smallest journal diameter; the worst turn is told.")
    ] = "",
    bore_relief: Annotated[
        str, typer.Option(help="Bore diameter at the split less that square to it.")
    ] = "",
    split_angle: Annotated[
        str, typer.Option(help='Where the split is; "90deg" from the x axis if not given.')
    ] = "",
    tilt: Annotated[
        str, typer.Option(help='How far the front end stands off the rear one: "10um".')
    ] = "",
    tilt_angle: Annotated[
        str, typer.Option(help="Where the front end leans to, from the x axis.")
    ] = "",
    as_json: Annotated[bool, typer.Option("--json", help="Print everything as JSON.")] = False,
) -> int:
    """Say where a journal runs under a steady load, and what its film is like there.

    Angles count from an x axis fixed to the bearing, in the direction of rotation; the load points
    along it unless told otherwise. The clearance is the mean over the gap.
    """
    case = read_case(
        diameter=diameter,
        width=width,
        clearance=clearance,
        viscosity=viscosity,
        oil=oil,
        data_sheet=data_sheet or (),
        supply_temperature=supply_temperature,
        speed=speed,
        load=load,
        rupture=rupture,
        measured=MeasuredTyped(
            load_angle=load_angle,
            taper=taper,
            barrel=barrel,
            out_of_round=out_of_round,
            bore_relief=bore_relief,
            split_angle=split_angle,
            tilt=tilt,
            tilt_angle=tilt_angle,
            groove=groove,
            groove_angle=groove_angle,
            groove_span=groove_span,
            groove_width=groove_width,
            supply_pressure=supply_pressure,
        ),
    )
    film = solve(case, when_compiling=lambda: say(COMPILING))
    if as_json:
        typer.echo(json.dumps(film_json(film), ensure_ascii=False, indent=2, allow_nan=False))
    else:
        show(film_document(film), words=TradeWords())
    return 0
