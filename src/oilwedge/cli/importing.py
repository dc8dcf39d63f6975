"""``oilwedge import``: put tables of readings into a job file."""

from __future__ import annotations

import datetime
from pathlib import Path
from typing import Annotated

import typer

from oilwedge.cli.face import say
from oilwedge.cli.writing import write_file
from oilwedge.usecases.importing.imported import BadRows
from oilwedge.usecases.importing.into_job import import_into_job
from oilwedge.usecases.opening import open_engine_and_shop


def import_command(
    engine: Annotated[Path, typer.Argument(help="The engine file (TOML).")],
    job: Annotated[Path, typer.Argument(help="The job file; it is made if there is none.")],
    tables: Annotated[list[Path], typer.Argument(help="Tables of readings (CSV, XLSX, ODS).")],
    shop: Annotated[Path | None, typer.Option(help="The shop file.")] = None,
    keep_good: Annotated[
        bool, typer.Option("--keep-good", help="Take the good rows; say which are bad.")
    ] = False,
    rest: Annotated[
        Path | None, typer.Option(help="With --keep-good: write the bad rows here, to be mended.")
    ] = None,
) -> int:
    """Append what is new in the tables to a job file: all rows, or (by default) none."""
    opened = open_engine_and_shop(engine=engine, shop=shop)
    report = import_into_job(
        job,
        tables,
        engine=opened.engine,
        shop=opened.shop,
        now=datetime.datetime.now(datetime.UTC),
        bad_rows=BadRows.KEEP_GOOD if keep_good or rest else BadRows.REFUSE_ALL,
    )
    for bad in report.bad_rows:
        for fault in bad.faults:
            say(fault.sentence())
    if report.warning:
        say(f"Look again: {report.warning}")
    if rest is not None and report.rest_csv:
        write_file(rest, report.rest_csv.encode("utf-8"))
        say(f"Bad rows written to {rest}: mend them there and import that file.")
    typer.echo(
        f"{report.rows} rows read: {report.added} added, {report.already_there} already there,"
        f" {len(report.bad_rows)} not taken."
    )
    return 0
