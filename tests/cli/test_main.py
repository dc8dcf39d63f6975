"""The program: commands, exit codes, and that no traceback reaches a person."""

from __future__ import annotations

import errno
import os
import sys

import pytest

from oilwedge import __version__
from oilwedge.cli import main as program
from oilwedge.errors import Fault, InputError


def run(monkeypatch: pytest.MonkeyPatch, *arguments: str) -> int:
    monkeypatch.setattr(sys, "argv", ["oilwedge", *arguments])
    return program.main()


def raising(monkeypatch: pytest.MonkeyPatch, error: BaseException) -> int:
    def fail(**options: object) -> None:
        raise error

    monkeypatch.setattr(program, "app_for", lambda arguments: fail)
    return run(monkeypatch)


def test_the_version_is_printed(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(monkeypatch, "--version") == 0
    assert capsys.readouterr().out.strip() == f"oilwedge {__version__}"


@pytest.mark.parametrize("command", list(program.COMMANDS))
def test_every_command_has_help(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], command: str
) -> None:
    assert run(monkeypatch, command, "--help") == 0
    assert "Usage: oilwedge" in capsys.readouterr().out


@pytest.mark.parametrize("arguments", [("jugde",), ("judge",), ("judge", "--nonsense")])
def test_a_command_that_is_not_understood_ends_with_2(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], arguments: tuple[str, ...]
) -> None:
    assert run(monkeypatch, *arguments) == 2
    said = capsys.readouterr().err
    assert said
    assert "Traceback" not in said


def test_bad_input_is_said_sentence_by_sentence(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    error = InputError(
        Fault(given="1", allowed="two are needed"), Fault(given="x", allowed="a number is needed")
    )
    assert raising(monkeypatch, error) == 2
    assert len(capsys.readouterr().err.strip().splitlines()) == 2


def test_ctrl_c_and_the_end_of_input_stop_quietly(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    import typer

    for error in (KeyboardInterrupt(), typer.Abort()):
        assert raising(monkeypatch, error) == 130
        assert capsys.readouterr().err.strip() == "Stopped."


def test_a_fault_of_its_own_is_owned_up_to_without_a_traceback(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.delenv("OILWEDGE_TRACEBACK", raising=False)
    assert raising(monkeypatch, ZeroDivisionError("by zero")) == 3
    said = capsys.readouterr().err
    assert said.startswith("This is a fault of oilwedge and not of yours (ZeroDivisionError")
    assert "Traceback" not in said


def test_the_traceback_is_there_for_whoever_asks(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("OILWEDGE_TRACEBACK", "1")
    assert raising(monkeypatch, ZeroDivisionError("by zero")) == 3
    assert "Traceback" in capsys.readouterr().err


def test_output_that_cannot_be_written_is_no_fault_of_its_own_and_never_all_right(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    full = OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
    monkeypatch.setattr(os, "dup2", lambda *_: None)
    monkeypatch.setattr(sys.stdout, "fileno", lambda: 1, raising=False)
    assert raising(monkeypatch, full) == 2
    assert "cannot be read or written (No space left" in capsys.readouterr().err
    assert raising(monkeypatch, BrokenPipeError()) != 0


def test_a_closed_output_is_no_fault(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stdout", None)
    assert run(monkeypatch, "engine", "schema") == 0
