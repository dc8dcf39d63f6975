"""The program ``oilwedge``: its commands, its exit codes, and how it says what went wrong.

Exit codes: 0 all right, 1 a fit is not right or cannot be told, 2 bad input, 130 stopped by hand.
Output that nobody reads to its end gives 1, for nobody was told that all is right.
"""

from __future__ import annotations

import os
import sys
import traceback
from typing import Annotated

import typer

from oilwedge import __version__
from oilwedge.cli.demo import demo_command
from oilwedge.cli.engine import engine_app
from oilwedge.cli.face import prepare_streams, say
from oilwedge.cli.importing import import_command
from oilwedge.cli.judge import judge_command
from oilwedge.cli.plan import plan_command
from oilwedge.cli.sheet import sheet_app
from oilwedge.cli.take import take_command
from oilwedge.errors import OilwedgeError

BAD_INPUT = 2
INSIDE = 3
STOPPED = 130
NO_READER = 1  # as typer ends for a closed pipe: 0 would mean that every fit is right

app = typer.Typer(
    name="oilwedge",
    help=(
        "Check the running fits of an engine that is being rebuilt: readings in, a verdict on"
        " every fit and a build sheet out. The maker's manual comes first."
    ),
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
)
app.command("judge")(judge_command)
app.command("plan")(plan_command)
app.command("take")(take_command)
app.command("import")(import_command)
app.command("demo")(demo_command)
app.add_typer(sheet_app, name="sheet")
app.add_typer(engine_app, name="engine")


def _show_version(wanted: bool) -> None:
    if wanted:
        typer.echo(f"oilwedge {__version__}")
        raise typer.Exit


@app.callback()
def _options(
    version: Annotated[
        bool,
        typer.Option("--version", help="Print the version.", callback=_show_version, is_eager=True),
    ] = False,
) -> None:
    pass


def main() -> int:
    """Run the program; gives the exit code. No traceback reaches a person."""
    prepare_streams()
    try:
        result = app(prog_name="oilwedge", standalone_mode=False)
        sys.stdout.flush()  # here, where a full disk or a closed pipe can still be told
    except OilwedgeError as error:
        say(str(error))
        return BAD_INPUT
    except (KeyboardInterrupt, typer.Abort):  # Ctrl-C, or the end of what is typed in
        say("Stopped.")
        return STOPPED
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return NO_READER
    except OSError as error:
        what = error.filename or "The output"
        say(f"{what} cannot be read or written ({error.strerror or error}).")
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return BAD_INPUT
    except Exception as error:  # the last resort: say it in one sentence
        return _last_resort(error)
    return result if isinstance(result, int) else 0


def _last_resort(error: Exception) -> int:
    """Say what typer found wrong with the command itself, or that the fault is oilwedge's own."""
    show = getattr(error, "show", None)
    if callable(show):
        show()
        return int(getattr(error, "exit_code", BAD_INPUT))
    if os.environ.get("OILWEDGE_TRACEBACK"):
        traceback.print_exception(error)
    say(
        f"This is a fault of oilwedge and not of yours ({type(error).__name__}: {error})."
        " Nothing was changed. Please report it, with what you did;"
        " OILWEDGE_TRACEBACK=1 shows where it happened."
    )
    return INSIDE
