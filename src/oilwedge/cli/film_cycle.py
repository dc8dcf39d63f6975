"""``oilwedge film cycle``: the films of all bearings of an engine, as measured."""

from __future__ import annotations

import json
from enum import Enum
from pathlib import Path
from typing import Annotated

import typer

from oilwedge.cli.face import PaperChoice, UnitChoice, length_face, say, show
from oilwedge.cli.writing import write_sheet
from oilwedge.errors import Fault, InputError, Where
from oilwedge.usecases.film_cycle import MOST_DRAWS, USUAL_DRAWS, film_cycle
from oilwedge.usecases.film_cycle_document import film_cycle_document
from oilwedge.usecases.film_cycle_json import film_cycle_json
from oilwedge.usecases.film_sheet import film_sheet
from oilwedge.usecases.film_window import film_window, read_film_m
from oilwedge.usecases.importing.imported import BadRows
from oilwedge.usecases.judging import judge
from oilwedge.usecases.opening import open_engine_and_shop
from oilwedge.usecases.reading_in import read_in

ANSWERED, NO_ANSWER = 0, 1


class CycleRoute(Enum):
    """How the films are found."""

    MOBILITY = "mobility"
    TRANSIENT = "transient"


def film_cycle_command(
    engine: Annotated[Path, typer.Argument(help="The engine file (TOML), with its duty.")],
    readings: Annotated[
        list[Path],
        typer.Argument(help="Tables of readings (CSV, XLSX, ODS) or a job file; one or more."),
    ],
    shop: Annotated[
        Path | None,
        typer.Option(help="The shop file; else shop.toml beside the engine file, if there is one."),
    ] = None,
    at: Annotated[str, typer.Option(help='Only this condition: "full load". Else all.')] = "",
    oil: Annotated[
        str, typer.Option(help="Grade of the oil: 10W-40. Else the engine file's oil.")
    ] = "",
    data_sheet: Annotated[
        list[str] | None,
        typer.Option(
            help='Data sheet of the oil: "40C=68 mm2/s; 100C=10.5 mm2/s; 15C=870 kg/m3"; its values'
            " decide, and --oil is then only its name."
        ),
    ] = None,
    film: Annotated[
        str, typer.Option(help='Count the share of the cycle under this film; else "1um".')
    ] = "",
    draws: Annotated[
        int,
        typer.Option(help="Virtual builds for the bands. 0: no bands.", min=0, max=MOST_DRAWS),
    ] = USUAL_DRAWS,
    seed: Annotated[int, typer.Option(help="Seed of the draws.", min=0)] = 1,
    route: Annotated[
        CycleRoute,
        typer.Option(help="transient: the reference route too, for the bearing of --bearing."),
    ] = CycleRoute.MOBILITY,
    bearing: Annotated[
        str, typer.Option(help='With --route transient: which bearing: "rod 2", "main 3".')
    ] = "",
    unit: Annotated[UnitChoice | None, typer.Option(help="Show clearances in this unit.")] = None,
    as_json: Annotated[bool, typer.Option("--json", help="Print everything as JSON.")] = False,
    sheet: Annotated[
        Path | None, typer.Option(help="Write the films, with drawings, to this PDF.")
    ] = None,
    paper: Annotated[PaperChoice, typer.Option(help="Paper of the sheet.")] = PaperChoice.A4,
) -> int:
    """Say what the oil films of all bearings do over a cycle, with the clearances as measured.

    Each film stands beside that of the same bearing at mid-limit. It compares clearances and oils;
    it does not overrule the maker's limits. Ends with 0, with 1 where no bearing has an answer,
    with 2 for bad input.
    """
    _check_route(route, bearing)
    opened = open_engine_and_shop(engine=engine, shop=shop)
    film_m = read_film_m(film, where=Where(column="--film"))
    taken = read_in(
        paths=readings, engine=opened.engine, shop=opened.shop, bad_rows=BadRows.KEEP_GOOD
    )
    for fault in taken.faults:
        say(fault.sentence())
    judgement = judge(
        engine=opened.engine, shop=opened.shop, entries=taken.entries, notes=taken.notes
    )
    films = film_cycle(
        judgement=judgement,
        condition=at.strip() or None,
        oil=oil,
        data_sheet=data_sheet or (),
        film_m=film_m,
        draws=draws,
        seed=seed,
        reference=bearing.strip(),
        folder=engine.parent,
        progress=say,
    )
    face = length_face(choice=unit, usual=opened.engine.unit)
    if as_json:
        typer.echo(
            json.dumps(film_cycle_json(films), ensure_ascii=False, indent=2, allow_nan=False)
        )
    else:
        show(film_cycle_document(films, face=face), words=opened.shop.words)
    if sheet is not None:
        say("Film against clearance, for the sheet ...")
        window = film_window(
            engine=opened.engine,
            judgement=judgement,
            oils=[oil] if oil.strip() else (),
            film_m=film_m,
            conditions=[one.condition.name for one in films],
            folder=engine.parent,
        )
        document = film_sheet(
            films=films,
            window=None if data_sheet else window,
            face=face,
            paper=paper.paper,
            job_number=taken.job_number,
        )
        write_sheet(sheet, document, words=opened.shop.words)
    return ANSWERED if any(one.bearings for one in films) else NO_ANSWER


def _check_route(route: CycleRoute, bearing: str) -> None:
    if (route is CycleRoute.TRANSIENT) != bool(bearing.strip()):
        raise InputError(
            Fault(
                where=Where(column="--route"),
                given=route.value,
                allowed="the reference route takes seconds a bearing, so it is for the one that is"
                " named",
                action='give both, --route transient --bearing "rod 2", or neither',
            )
        )
