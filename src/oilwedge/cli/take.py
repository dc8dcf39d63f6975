"""``oilwedge take``: type readings at the bench, place by place, with Enter only."""

from __future__ import annotations

import datetime
import secrets
from pathlib import Path
from typing import Annotated

import typer

from oilwedge.cli.face import ask, say, tell
from oilwedge.job.file import JobWriter, read_job
from oilwedge.units import Dimension, find_unit
from oilwedge.usecases.importing.cells import read_temperature_c
from oilwedge.usecases.job_files import open_job
from oilwedge.usecases.opening import open_engine_and_shop
from oilwedge.usecases.planning.plan import Depth
from oilwedge.usecases.taking.asking import prompt
from oilwedge.usecases.taking.bench import Bench, asked_bench
from oilwedge.usecases.taking.session import advance, start
from oilwedge.usecases.taking.state import State, Step, Tick
from oilwedge.usecases.trade_words import TradeWords, spoken

STOPPED = 130


def take_command(
    engine: Annotated[Path, typer.Argument(help="The engine file (TOML).")],
    job: Annotated[Path, typer.Argument(help="The job file; it is made if there is none.")],
    feature: Annotated[
        list[str] | None,
        typer.Option(help="What to read, may be given again; else what the plan asks for."),
    ] = None,
    number: Annotated[int | None, typer.Option(help="Only this number.")] = None,
    depth: Annotated[Depth, typer.Option(help="How many places.")] = Depth.QUICK,
    repeats: Annotated[
        int, typer.Option(min=1, max=20, help="Readings of each place, fixed beforehand.")
    ] = 1,
    instrument: Annotated[str, typer.Option(help="The instrument, remembered.")] = "",
    person: Annotated[str, typer.Option(help="Who reads, remembered.")] = "",
    unit: Annotated[str, typer.Option(help="The unit, remembered.")] = "",
    temperature: Annotated[str, typer.Option(help="Of parts and instrument, remembered.")] = "",
    shop: Annotated[Path | None, typer.Option(help="The shop file.")] = None,
) -> int:
    """Type readings at the bench. Each one is on the disk before the next is asked for."""
    opened = open_engine_and_shop(engine=engine, shop=shop)
    bench = asked_bench(
        opened=opened, names=feature or (), number=number, depth=depth, repeats=repeats
    )
    unit_name = find_unit(text=unit, dimension=Dimension.LENGTH).name if unit else ""
    temperature_c = read_temperature_c(temperature, unit=None) if temperature else None
    key = bench.names.instrument(instrument) if instrument else ""
    now = datetime.datetime.now(datetime.UTC)
    with open_job(job, engine=opened.engine, now=now) as writer:
        for torn in writer.contents.unmarked_torn:
            say(f"{job.name}, line {torn.line}: was cut off and never was a reading; go on.")
        first = start(
            bench,
            entries=writer.contents.entries,
            instrument=key,
            person=person,
            unit=unit_name,
            temperature_c=temperature_c,
        )
        return _loop(bench, first, writer, job)


def _loop(bench: Bench, step: Step, writer: JobWriter, job: Path) -> int:
    """Ask, read, store, say; until stop, the end of the input or Ctrl-C."""
    before = len(writer.contents.entries)
    code = 0
    try:
        _tell(step, words=bench.shop.words)
        while not _over(step.state):
            step = advance(
                bench,
                step.state,
                ask(spoken(prompt(bench, step.state), words=bench.shop.words)),
                _tick(),
            )
            if step.entries:
                writer.append(step.entries)
            _tell(step, words=bench.shop.words)
    except EOFError:
        typer.echo("")
    except KeyboardInterrupt:
        typer.echo("")
        code = STOPPED
    new = len(read_job(job).entries) - before  # what is on the disk, even if Ctrl-C came between
    typer.echo(f"{new} entries added to {job.name}. The same command goes on where this stopped.")
    return code


def _over(state: State) -> bool:
    """Stopped, or nothing left and nothing open."""
    return state.ended or (state.position < 0 and state.held is None)


def _tell(step: Step, *, words: TradeWords) -> None:
    for message in step.messages:
        tell(spoken(message, words=words))


def _tick() -> Tick:
    now = datetime.datetime.now().astimezone().replace(microsecond=0)
    return Tick(now=now, ids=(f"t{secrets.token_hex(6)}", f"t{secrets.token_hex(6)}"))
