"""``oilwedge engine``: write, check and describe engine files."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Annotated

import typer

from oilwedge.cli.face import say
from oilwedge.cli.writing import write_file
from oilwedge.engine.file import check_engine, decode_engine
from oilwedge.engine.json_schema import engine_schema
from oilwedge.errors import Fault, InputError, Where
from oilwedge.usecases.new_engine import ask_for_engine
from oilwedge.usecases.opening import file_bytes

engine_app = typer.Typer(help="Write, check and describe engine files.", no_args_is_help=True)


@engine_app.command("check")
def check_command(
    file: Annotated[Path, typer.Argument(help="The engine file (TOML).")],
) -> int:
    """List every fault of an engine file in one go: line, key, what was given, what is allowed."""
    data = file_bytes(file, what="an engine file")
    checked = check_engine(decode_engine(data, file=file.name), file=file.name)
    for warning in checked.warnings:
        say(f"Look again: {warning.sentence()}")
    if checked.engine is None:
        raise InputError(*checked.faults)
    engine = checked.engine
    limited = sum(fit.count for fit in engine.fits.values() if fit.has_limits)
    total = sum(fit.count for fit in engine.fits.values())
    typer.echo(
        f"{engine.name}: no faults, {len(checked.warnings)} to look at again;"
        f" {engine.layout.cylinders} cylinders, {engine.layout.main_bearings} main bearings,"
        f" {total} fits, {limited} of them with limits."
    )
    return 0


@engine_app.command("schema")
def schema_command() -> int:
    """Print the JSON Schema of the engine file."""
    typer.echo(json.dumps(engine_schema(), ensure_ascii=False, indent=2))
    return 0


@engine_app.command("new")
def new_command(
    file: Annotated[Path, typer.Argument(help="Where to write the new engine file.")],
) -> int:
    """Ask for layout and counts, and write a commented engine file to fill in."""
    if file.exists():
        raise InputError(
            Fault(
                where=Where(file=str(file)),
                given="",
                allowed="there is a file already, and it is not overwritten",
                action="name another file",
            )
        )
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
