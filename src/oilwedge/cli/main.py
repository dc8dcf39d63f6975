"""The program ``oilwedge``: its commands, its exit codes, and how it says what went wrong.

Exit codes: 0 all right, 1 a fit is not right or cannot be told, 2 bad input, 130 stopped by hand.
Output that nobody reads to its end gives 1, for nobody was told that all is right.
"""

from __future__ import annotations

import importlib
import os
import sys
import traceback
from collections.abc import Mapping, Sequence
from typing import Annotated

import typer

from oilwedge import __version__
from oilwedge.cli.face import prepare_streams, say
from oilwedge.errors import OilwedgeError

BAD_INPUT = 2
INSIDE = 3
STOPPED = 130
NO_READER = 1  # as typer ends for a closed pipe: 0 would mean that every fit is right

# Each command with its module and what is in it: a function, or a group of commands. Only the one
# that was called is imported, for a person at a bench waits for it.
COMMANDS: Mapping[str, tuple[str, str]] = {
    "judge": ("oilwedge.cli.judge", "judge_command"),
    "plan": ("oilwedge.cli.plan", "plan_command"),
    "take": ("oilwedge.cli.take", "take_command"),
    "import": ("oilwedge.cli.importing", "import_command"),
    "demo": ("oilwedge.cli.demo", "demo_command"),
    "shop": ("oilwedge.cli.shop", "shop_app"),
    "sheet": ("oilwedge.cli.sheet", "sheet_app"),
    "engine": ("oilwedge.cli.engine", "engine_app"),
    "film": ("oilwedge.cli.film", "film_app"),
    "oil": ("oilwedge.cli.oil", "oil_command"),
    "serve": ("oilwedge.cli.serve", "serve_command"),
}


def _show_version(wanted: bool) -> None:
    if wanted:
        typer.echo(f"oilwedge {__version__}")
        raise typer.Exit


def _options(
    version: Annotated[
        bool,
        typer.Option("--version", help="Print the version.", callback=_show_version, is_eager=True),
    ] = False,
) -> None:
    pass


def app_for(arguments: Sequence[str]) -> typer.Typer:
    """Put the program together: with the command that is called, or with all where none is."""
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
    app.callback()(_options)
    called = arguments[0] if arguments and arguments[0] in (*COMMANDS, "--version") else None
    for name, (module, attribute) in COMMANDS.items():
        if called not in (None, name):
            continue
        found = getattr(importlib.import_module(module), attribute)
        if isinstance(found, typer.Typer):
            app.add_typer(found, name=name)
        else:
            app.command(name)(found)
    return app


def main() -> int:
    """Run the program; gives the exit code. No traceback reaches a person."""
    prepare_streams()
    try:
        result = app_for(sys.argv[1:])(prog_name="oilwedge", standalone_mode=False)
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
