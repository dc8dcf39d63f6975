"""The typing loop in a process of its own, with what a terminal or a digital micrometer sends."""

import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from oilwedge.job.entry import Event
from oilwedge.job.file import JobWriter, create_job, read_job
from oilwedge.job.header import JobHeader
from oilwedge.metrology.reading import Reading

PROGRAM = """
import sys
import typer
from oilwedge.cli.take import take_command
from oilwedge.errors import OilwedgeError
app = typer.Typer(pretty_exceptions_enable=False)
app.command()(take_command)
try:
    sys.exit(app(standalone_mode=False))
except OilwedgeError as error:
    sys.exit(f"{error}")
"""
OPTIONS = ["--feature", "rod journal 1", "--unit", "mm", "--instrument", "micrometer"]


@pytest.fixture
def folder(tmp_path: Path, bench_engine_text: str) -> Path:
    (tmp_path / "engine.toml").write_text(bench_engine_text, encoding="utf-8")
    return tmp_path


def command(folder: Path, *options: str) -> list[str]:
    files = [str(folder / "engine.toml"), str(folder / "bench.job")]
    return [sys.executable, "-c", PROGRAM, *files, *(options or OPTIONS)]


def run(folder: Path, text: str, *options: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        command(folder, *options),
        input=text,
        capture_output=True,
        text=True,
        encoding="utf-8",
        env=os.environ | {"PYTHONIOENCODING": "utf-8"},
        check=False,
    )


def typed(folder: Path) -> list[str]:
    entries = read_job(folder / "bench.job").entries
    return [entry.text for entry in entries if isinstance(entry, Reading)]


def test_what_is_typed_is_in_the_file_and_the_end_of_input_loses_nothing(folder: Path) -> None:
    answer = run(folder, "standard\nr\n47.972\n47,971")
    assert answer.returncode == 0, answer.stderr
    assert typed(folder) == ["47.972", "47,971"]
    assert "4 entries added to bench.job" in answer.stdout
    again = run(folder, "47.970\n47.969\n")
    assert "2 of 4 readings taken, 2 to go; now rod journal 1, rear, along." in again.stdout
    assert "rod journal 1: complete; mean 47.9705 mm" in again.stdout
    assert "which size" not in again.stdout
    assert typed(folder) == ["47.972", "47,971", "47.970", "47.969"]
    done = run(folder, "")
    assert "0 entries added" in done.stdout


def wait_for(path: Path, lines: int, process: "subprocess.Popen[str]") -> None:
    for _ in range(600):
        if path.exists() and path.read_bytes().count(b"\n") >= lines:
            return
        assert process.poll() is None
        time.sleep(0.05)
    raise AssertionError("the program did not store what was typed")


@pytest.fixture
def typing(folder: Path) -> Iterator["subprocess.Popen[str]"]:
    process = subprocess.Popen(
        command(folder),
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        # A shell's background jobs ignore Ctrl-C, and so would what they start.
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.default_int_handler),
    )
    yield process
    if process.poll() is None:
        process.kill()
    process.communicate()


@pytest.mark.slow
@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGKILL])
def test_ctrl_c_and_worse_lose_nothing_that_was_entered(
    folder: Path, typing: "subprocess.Popen[str]", number: signal.Signals
) -> None:
    assert typing.stdin is not None
    typing.stdin.write("standard\nr\n47.972\n47.971\n")
    typing.stdin.flush()
    wait_for(folder / "bench.job", 5, typing)
    typing.send_signal(number)
    out, err = typing.communicate(timeout=30)
    if number is signal.SIGINT:
        assert typing.returncode == 130
        assert "4 entries added to bench.job. The same command goes on where this stopped." in out
    assert "Traceback" not in err
    assert typed(folder) == ["47.972", "47.971"]
    again = run(folder, "47.970\n47.969\n")
    assert again.returncode == 0
    assert typed(folder) == ["47.972", "47.971", "47.970", "47.969"]


def test_a_line_cut_off_by_a_power_cut_is_named_and_typing_goes_on(folder: Path) -> None:
    run(folder, "standard\nr\n47.972\n47.971\n")
    path = folder / "bench.job"
    path.write_bytes(path.read_bytes()[:-30])
    again = run(folder, "47.971\n47.970\n47.969\n")
    assert "bench.job, line 5: was cut off and never was a reading; go on." in again.stderr
    assert typed(folder) == ["47.972", "47.971", "47.970", "47.969"]


def test_two_at_the_same_job_are_refused(folder: Path) -> None:
    create_job(path=folder / "bench.job", header=JobHeader(number="1"))
    with JobWriter(folder / "bench.job"):
        answer = run(folder, "standard\n")
    assert answer.returncode != 0
    assert answer.stderr.strip() == (
        "bench.job: another oilwedge is writing to this job file;"
        " finish there first, then start again here."
    )


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (["--feature", "rod jurnal"], "did you mean 'rod journal'?"),
        (["--feature", "rod journal", "--number", "9"], "nothing of this number is measured"),
        (["--instrument", "mic9"], "this is no instrument"),
        (["--unit", "furlong"], "'furlong' is no unit"),
        (["--temperature", "hot"], "a number is needed"),
    ],
)
def test_a_wrong_option_gets_one_sentence_and_makes_no_file(
    folder: Path, options: list[str], words: str
) -> None:
    answer = run(folder, "", *options)
    assert words in answer.stderr
    assert len(answer.stderr.strip().splitlines()) == 1
    assert not (folder / "bench.job").exists()


def test_without_a_feature_the_plan_says_what_is_read(folder: Path) -> None:
    answer = run(folder, "stop\n", "--unit", "mm")
    assert answer.returncode == 0, answer.stderr
    assert "now rod journal 1, front, along." in answer.stdout
    assert not [e for e in read_job(folder / "bench.job").entries if isinstance(e, Event)]


def test_help_is_broken_between_words(folder: Path) -> None:
    done = subprocess.run(
        command(folder), input="?\n", capture_output=True, text=True, check=True, timeout=60
    )
    assert "a strip may be\n" in done.stdout or " a\nstrip may be" in done.stdout
    shown = done.stdout.replace(" > ", " >\n")  # as a terminal shows it: Enter ends the line
    assert max(len(line) for line in shown.splitlines()) <= 80


def test_an_ascii_terminal_gets_um_for_micrometres(folder: Path) -> None:
    done = subprocess.run(
        command(folder),
        input="standard\nr\n47.9x\n",
        capture_output=True,
        text=True,
        check=True,
        timeout=60,
        env={**os.environ, "PYTHONIOENCODING": "ascii"},
    )
    assert "in mm, in, um, thou" in done.stdout.replace("\n", " ")


def test_bytes_that_are_no_text_are_asked_again(folder: Path) -> None:
    done = subprocess.run(
        command(folder),
        input=b"standard\nr\n47.97\xff\n47.97\n",
        capture_output=True,
        check=True,
        timeout=60,
        env={**os.environ, "PYTHONUTF8": "1"},
    )
    assert b"a number is needed" in done.stdout or b"no unit that is known" in done.stdout
    assert typed(folder) == ["47.97"]
