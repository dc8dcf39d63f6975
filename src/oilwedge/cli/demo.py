"""``oilwedge demo``: the main job on invented engines, in the browser or as table and sheet."""

from __future__ import annotations

import shlex
import shutil
import sys
import tempfile
from pathlib import Path
from typing import Annotated

import typer

from oilwedge.cli.face import columns, say
from oilwedge.cli.judge import judge_command
from oilwedge.cli.writing import write_file
from oilwedge.errors import Fault, InputError, MissingExtraError, Where
from oilwedge.report.line_wrap import wrap_text
from oilwedge.usecases.demonstration import (
    DemoEngine,
    Demonstration,
    demo_bytes,
    demonstration,
)
from oilwedge.usecases.opening import file_bytes

WORKED = 0
PROGRAM = "oilwedge"


def demo_command(
    engine: Annotated[
        DemoEngine | None, typer.Argument(help="Show this one as table and sheet, and end.")
    ] = None,
    every: Annotated[
        bool, typer.Option("--all", help="Show all three, one after another.")
    ] = False,
    folder: Annotated[
        Path | None, typer.Option(help="Where files and build sheet are written; then end.")
    ] = None,
    once: Annotated[
        bool, typer.Option("--once", help="Show table and sheet in the terminal, and end.")
    ] = False,
    no_browser: Annotated[
        bool, typer.Option("--no-browser", help="Do not open a browser.")
    ] = False,
    port: Annotated[
        int, typer.Option(min=0, max=65534, help="Where the bench listens; 0: any free port.")
    ] = 0,
) -> int:
    """Try it on invented engines with realistic trouble.

    Opens the bench in a browser on a fresh invented shop, which is gone when it is stopped. With
    --once, an engine, --all or --folder it lays out an engine file, a shop file and a table of
    readings instead, judges them as "oilwedge judge" does, writes the build sheet and says what
    to try next. Ends with 0 though not every fit is right: the trouble is there on purpose.
    """
    if not (once or every or engine or folder):
        return _open_bench(port=port, no_browser=no_browser)
    for one in DemoEngine if every else (engine or DemoEngine.FOUR,):
        _show(demonstration(one), folder=folder or Path("oilwedge-demo"))
    return WORKED


def _open_bench(*, port: int, no_browser: bool) -> int:
    """Serve a fresh copy of the demo's shop from a temporary place until stopped."""
    from oilwedge.cli.serve import serve_place
    from oilwedge.cli.shop_contents import Contents
    from oilwedge.cli.start_address import Browser

    with tempfile.TemporaryDirectory(prefix="oilwedge-demo-", ignore_cleanup_errors=True) as place:
        serve_place(
            Path(place),
            port=port,
            browser=Browser.NONE if no_browser else Browser.OPENED,
            contents=Contents.DEMO,
        )
    return WORKED


def _show(demo: Demonstration, *, folder: Path) -> None:
    """Lay out one engine, judge it, and say what was done and what comes next."""
    changed = _lay_out(demo, folder=folder)
    _tell(demo.what_is_in_it)
    _tell("All of it is invented. Never build a real engine by it.\n")
    sys.stdout.flush()
    rest = folder / demo.rest_file
    try:
        judge_command(
            engine=folder / demo.engine_file,
            readings=[folder / demo.readings_file],
            sheet=folder / demo.sheet_file,
            keep_good=True,
            rest=None if rest.exists() else rest,  # somebody may be mending it
        )
    except MissingExtraError as error:
        sys.stdout.flush()
        say(str(error))
    sys.stdout.flush()
    for name in changed:
        say(
            f"{folder / name} is not as it came with the demo and was used as it is;"
            " delete it to get the demo's own back."
        )
    _tell(f"\nThe engine, the shop, the readings and the build sheet are in {folder.resolve()}.\n")
    _next_steps(demo, folder=folder)


def _lay_out(demo: Demonstration, *, folder: Path) -> list[str]:
    """Copy the demo's files; give the names of those that somebody changed, which stay."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise InputError(
            Fault(
                where=Where(file=str(folder)),
                given="",
                allowed=f"this folder cannot be made ({error.strerror})",
                action="name another one with --folder",
            )
        ) from None
    changed = []
    for name in demo.sources:
        path, data = folder / name, demo_bytes(name)
        if not path.exists():
            write_file(path, data)
        elif file_bytes(path, what="a file of the demo") != data:
            changed.append(name)
    return changed


def _next_steps(demo: Demonstration, *, folder: Path) -> None:
    """Say what to try, each step with its command."""
    files = f"{demo.engine_file} {demo.readings_file}"
    steps = [
        ("Go there:", f"cd {shlex.quote(str(folder))}"),
        (
            "Do the same again, after changing a value or without:",
            f"{PROGRAM} judge {files} --keep-good --sheet {demo.sheet_file}",
        ),
        (
            "See what one value rests on:",
            f'{PROGRAM} judge {files} --keep-good --budget "{demo.fit}"',
        ),
        ("See what to measure, and in which order:", f"{PROGRAM} plan {demo.engine_file}"),
        (
            "See what the oil films of these clearances do when it runs:",
            f"{PROGRAM} film cycle {files}",
        ),
        ("Type readings of your own:", f"{PROGRAM} take {demo.engine_file} mine.job"),
        ("Print sheets to fill in at the bench:", f"{PROGRAM} sheet blank {demo.engine_file}"),
    ]
    if (folder / demo.rest_file).exists():
        steps.insert(
            2,
            (
                f"Mend the row in {demo.rest_file}, then judge with it:",
                f"{PROGRAM} judge {files} {demo.rest_file} --keep-good",
            ),
        )
    for words, command in steps:
        _tell(words)
        typer.echo(f"    {command}")
    if shutil.which(PROGRAM) is None:
        _tell(f"({PROGRAM} stands for {Path(sys.argv[0]).resolve()} here.)")


def _tell(text: str) -> None:
    for line in wrap_text(text, columns=columns()):
        typer.echo(line)
