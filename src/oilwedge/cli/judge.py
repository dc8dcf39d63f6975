"""``oilwedge judge``: readings in, a verdict on every fit out."""

from __future__ import annotations

import datetime
import json
from pathlib import Path
from typing import Annotated

import numpy as np
import typer

from oilwedge.cli.face import PaperChoice, UnitChoice, length_face, say, show
from oilwedge.cli.writing import write_file, write_sheet
from oilwedge.errors import Fault, InputError, Where
from oilwedge.report.document import Block
from oilwedge.usecases.budget_document import budget_document
from oilwedge.usecases.build_sheet import build_sheet
from oilwedge.usecases.importing.imported import BadRows
from oilwedge.usecases.joint_chance import MOST_DRAWS, joint_chance
from oilwedge.usecases.judgement import Judgement, RuleChoice
from oilwedge.usecases.judgement_json import judgement_json
from oilwedge.usecases.judging import judge
from oilwedge.usecases.length_face import LengthFace
from oilwedge.usecases.opening import open_engine_and_shop
from oilwedge.usecases.reading_in import ReadIn, read_in
from oilwedge.usecases.verdict_document import screen_document

ALL_RIGHT, NOT_RIGHT = 0, 1


def judge_command(
    engine: Annotated[Path, typer.Argument(help="The engine file (TOML).")],
    readings: Annotated[
        list[Path],
        typer.Argument(help="Tables of readings (CSV, XLSX, ODS) or a job file; one or more."),
    ],
    shop: Annotated[
        Path | None,
        typer.Option(help="The shop file; else shop.toml beside the engine file, if there is one."),
    ] = None,
    unit: Annotated[UnitChoice | None, typer.Option(help="Show lengths in this unit.")] = None,
    rule: Annotated[
        RuleChoice | None, typer.Option(help="Decide by this rule, not the engine file's.")
    ] = None,
    worst_first: Annotated[bool, typer.Option("--worst-first", help="Worst fits on top.")] = False,
    every_way: Annotated[
        bool,
        typer.Option("--every-way", help="Show each way of measuring and the extremes apart."),
    ] = False,
    k: Annotated[
        bool, typer.Option("--k", help="Print the coverage factor beside each U.")
    ] = False,
    budget: Annotated[
        str, typer.Option(help='Print the uncertainty budget of one fit: "rod bearing 3".')
    ] = "",
    draws: Annotated[
        int,
        typer.Option(
            help="Draw this many times for the chance that all fits are inside at once. 0: do not.",
            min=0,
            max=MOST_DRAWS,
        ),
    ] = 0,
    seed: Annotated[int, typer.Option(help="Seed of the draws.", min=0)] = 1,
    as_json: Annotated[bool, typer.Option("--json", help="Print everything as JSON.")] = False,
    sheet: Annotated[Path | None, typer.Option(help="Write the build sheet to this PDF.")] = None,
    paper: Annotated[PaperChoice, typer.Option(help="Paper of the build sheet.")] = PaperChoice.A4,
    film: Annotated[
        bool,
        typer.Option("--film", help="With --sheet: add what the oil films do; takes some seconds."),
    ] = False,
    complete: Annotated[
        bool, typer.Option("--complete", help="Fits not measured or without limits count too.")
    ] = False,
    keep_good: Annotated[
        bool, typer.Option("--keep-good", help="Judge the good rows; say which are bad.")
    ] = False,
    rest: Annotated[
        Path | None, typer.Option(help="With --keep-good: write the bad rows here, to be mended.")
    ] = None,
) -> int:
    """Judge every fit by what was measured.

    Ends with 0 if every judged fit is right, 1 if any is not right or cannot be told, 2 for bad
    input.
    """
    _check_film(film, sheet)
    opened = open_engine_and_shop(engine=engine, shop=shop)
    taken = read_in(
        paths=readings,
        engine=opened.engine,
        shop=opened.shop,
        bad_rows=BadRows.KEEP_GOOD if keep_good or rest else BadRows.REFUSE_ALL,
    )
    _say_bad_rows(taken, rest=rest)
    judgement = judge(
        engine=opened.engine,
        shop=opened.shop,
        entries=taken.entries,
        rule=rule.rule if rule is not None else None,
        job_number=taken.job_number,
        head=taken.head,
        notes=taken.notes,
    )
    face = length_face(choice=unit, usual=opened.engine.unit, show_k=k)
    words = opened.shop.words
    chance = None
    if draws:
        generator = np.random.default_rng(seed)
        chance = joint_chance(judgement=judgement, generator=generator, draws=draws)
    if budget:
        document = budget_document(judgement=judgement, label=budget, face=face)
        show(document, words=words)
    elif as_json:
        everything = judgement_json(
            judgement=judgement, face=face, complete=complete, chance=chance
        )
        typer.echo(json.dumps(everything, ensure_ascii=False, indent=2, allow_nan=False))
    else:
        document = screen_document(
            judgement=judgement,
            face=face,
            worst_first=worst_first,
            every_way=every_way,
            chance=chance,
        )
        show(document, words=words)
    if sheet is not None:
        document = build_sheet(
            judgement=judgement,
            face=face,
            paper=paper.paper,
            date_text=datetime.datetime.now(datetime.UTC).date().isoformat(),
            film=_film_part(judgement, face, engine) if film else (),
        )
        write_sheet(sheet, document, words=words)
    return ALL_RIGHT if judgement.all_right(complete=complete) else NOT_RIGHT


def _check_film(film: bool, sheet: Path | None) -> None:
    if film and sheet is None:
        raise InputError(
            Fault(
                where=Where(column="--film"),
                given="",
                allowed="the oil films go on the build sheet",
                action="name it with --sheet FILE.pdf, or ask with: oilwedge film cycle",
            )
        )


def _film_part(judgement: Judgement, face: LengthFace, engine: Path) -> tuple[Block, ...]:
    from oilwedge.usecases.film_part import film_part  # heavy: only when films are asked for

    return film_part(judgement=judgement, face=face, folder=engine.parent, progress=say)


def _say_bad_rows(taken: ReadIn, *, rest: Path | None) -> None:
    for fault in taken.faults:
        say(fault.sentence())
    if taken.faults:
        count = len(taken.bad_rows)
        row_word = "row was" if count == 1 else "rows were"
        say(f"{count} {row_word} not taken; the others are judged.")
    if rest is not None and taken.rest_csv:
        write_file(rest, taken.rest_csv.encode("utf-8"))
        say(f"Bad rows written to {rest}: mend them there and give both tables.")
