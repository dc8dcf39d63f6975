"""``oilwedge engine``: write, check and describe engine files."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Annotated

import typer

from oilwedge.cli.face import say
from oilwedge.cli.writing import write_file
from oilwedge.errors import Fault, InputError
from oilwedge.usecases.engine_files import (
    ask_for_engine,
    check_engine_file,
    refuse_overwriting,
    schema,
)
from oilwedge.usecases.film_data import film_remarks

engine_app = typer.Typer(help="Write, check and describe engine files.", no_args_is_help=True)


@engine_app.command("check")
def check_command(
    file: Annotated[Path, typer.Argument(help="The engine file (TOML).")],
) -> int:
    """List every fault of an engine file in one go: line, key, what was given, what is allowed."""
    checked = check_engine_file(file)
    for warning in checked.warnings:
        say(f"Look again: {warning.sentence()}")
    if checked.engine is None:
        raise InputError(*checked.faults)
    engine = checked.engine
    limited = sum(fit.count for fit in engine.fits.values() if fit.has_limits)
    total = sum(fit.count for fit in engine.fits.values())
    typer.echo(
        f"{engine.name}: no faults, {len(checked.warnings)} to look at again;"
        f" {_counted(engine.layout.cylinders, 'cylinder')},"
        f" {_counted(engine.layout.main_bearings, 'main bearing')},"
        f" {_counted(total, 'fit')}, {limited} of them with limits."
    )
    for remark in film_remarks(engine=engine):
        typer.echo(remark)
    return 0


def _counted(count: int, word: str) -> str:
    return f"{count} {word}" if count == 1 else f"{count} {word}s"


@engine_app.command("schema")
def schema_command() -> int:
    """Print the JSON Schema of the engine file."""
    typer.echo(json.dumps(schema(), ensure_ascii=False, indent=2))
    return 0


@engine_app.command("new")
def new_command(
    file: Annotated[Path, typer.Argument(help="Where to write the new engine file.")],
) -> int:
    """Ask for layout and counts, and write a commented engine file to fill in."""
    refuse_overwriting(file)
    text = ask_for_engine(ask=_ask, say=say)
    write_file(file, text.encode("utf-8"))
    typer.echo(f"Written to {file}. Fill in the sizes and limits from the manual, then check it:")
    typer.echo(f"  oilwedge engine check {file}")
    return 0


def _ask(question: str) -> str:
    """Ask one question; the end of the input ends it without a file."""
    try:
        return input(question)
    except EOFError:
        raise InputError(
            Fault(given="", allowed="the questions ended early", action="nothing was written")
        ) from None
