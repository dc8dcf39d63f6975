"""``oilwedge oil``: viscosity, density and specific heat of an oil by temperature."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Annotated

import typer

from oilwedge.cli.face import say, show
from oilwedge.cli.writing import write_file
from oilwedge.usecases.oil_document import oil_chart, oil_document, oil_json
from oilwedge.usecases.oil_query import ask_oil
from oilwedge.usecases.trade_words import TradeWords


def oil_command(
    grade: Annotated[str, typer.Argument(help="The grade: 5W-30, 40, ISO VG 46.")] = "",
    at: Annotated[
        list[str] | None, typer.Option(help="A temperature: 110C, 230F; may be given again.")
    ] = None,
    data_sheet: Annotated[
        list[str] | None,
        typer.Option(
            help='From the data sheet: "40C=68 mm2/s", "100C=10.5 mm2/s", "15C=870 kg/m3",'
            ' "HTHS=3.1 mPa.s"; given again, or parted by semicolons.'
        ),
    ] = None,
    shear_rate: Annotated[
        float, typer.Option(help="Shear rate of the third column, 1/s.", min=0.0)
    ] = 1e6,
    as_json: Annotated[bool, typer.Option("--json", help="Print everything as JSON.")] = False,
    chart: Annotated[Path | None, typer.Option(help="Write a chart to this SVG file.")] = None,
) -> int:
    """Say how thick an oil is at a temperature, by its grade or its data sheet."""
    answer = ask_oil(
        grade=grade, data_sheet=data_sheet or (), at=at or (), shear_rate_per_s=shear_rate
    )
    drawn = None if chart is None else oil_chart(answer)
    if as_json:
        typer.echo(json.dumps(oil_json(answer), ensure_ascii=False, indent=2, allow_nan=False))
    else:
        show(oil_document(answer), words=TradeWords())
    if chart is not None and drawn is not None:
        write_file(chart, drawn.encode("utf-8"))
        say(f"Chart written to {chart}")
    return 0
