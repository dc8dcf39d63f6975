"""Make what oilwedge needs, show it, check it. Standard library only.

python3 dev.py setup             make .venv with the program oilwedge in it
python3 dev.py demo [options]    the same, then run the demo engine
python3 dev.py test [options]    the same, then every check; options go to pytest
python3 dev.py lock              renew requirements.lock (developers; needs uv)
"""

from __future__ import annotations

import hashlib
import importlib.util
import os
import shutil
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent
VENV = ROOT / ".venv"
PROGRAMS = VENV / ("Scripts" if os.name == "nt" else "bin")
LOCK = ROOT / "requirements.lock"
STAMP = VENV / "oilwedge-stamp"


def program(name: str) -> str:
    """The path of a program in the environment."""
    return str(PROGRAMS / (name + (".exe" if os.name == "nt" else "")))


def stop(sentence: str) -> None:
    """End with one sentence and a failing exit code."""
    sys.exit("dev.py: " + sentence)


def wanted_stamp() -> str:
    """What the environment was made from: the lock, the project, the place and the Python."""
    digest = hashlib.sha256()
    for part in (LOCK.read_bytes(), (ROOT / "pyproject.toml").read_bytes()):
        digest.update(hashlib.sha256(part).digest())
    digest.update(f"{ROOT} {sys.version_info[:2]}".encode())
    return digest.hexdigest()


def stamped() -> bool:
    """Whether the environment stands and is current."""
    return (
        STAMP.is_file()
        and Path(program("python")).exists()
        and STAMP.read_text(encoding="utf-8") == wanted_stamp()
    )


def same_python() -> bool:
    """Whether the environment that stands runs, and runs the Python that runs this."""
    show = "import sys; print(sys.version_info[:2])"
    try:
        answer = subprocess.run([program("python"), "-c", show], stdout=subprocess.PIPE, check=True)
    except (OSError, subprocess.CalledProcessError):
        return False
    return answer.stdout.decode().strip() == str(sys.version_info[:2])


def pip(*arguments: str) -> None:
    """Run pip in the environment, or stop."""
    command = [program("python"), "-m", "pip", "--disable-pip-version-check", "install", "-qq"]
    if subprocess.call([*command, *arguments], cwd=str(ROOT)) != 0:
        stop(
            "pip could not install what oilwedge needs (its own words stand above);"
            " look at the network connection and run the same command again."
        )


def setup() -> None:
    """Make .venv from the lock, or leave it when it is current."""
    if stamped():
        return
    if importlib.util.find_spec("venv") is None or importlib.util.find_spec("ensurepip") is None:
        stop(
            "this Python cannot make an environment; on Debian or Ubuntu install it with"
            " 'sudo apt install python3-venv' and run the same command again."
        )
    print(f"Setting up {VENV} (once; takes a minute or two) ...", flush=True)
    STAMP.unlink() if STAMP.exists() else None
    if not same_python():
        clear = ["--clear"] if VENV.exists() else []
        if subprocess.call([sys.executable, "-m", "venv", *clear, str(VENV)]) != 0:
            stop(f"{VENV} could not be made; remove that folder and run the same command again.")
    pip("--require-hashes", "-r", str(LOCK))
    pip("--no-deps", "--no-build-isolation", "-e", str(ROOT))
    STAMP.write_text(wanted_stamp(), encoding="utf-8")


def need_debian(programs: dict[str, str]) -> None:
    """Install Debian's packages for programs that the tests drive, or say what is missing."""
    missing = [package for name, package in programs.items() if shutil.which(name) is None]
    if not missing:
        return
    names = " ".join(missing)
    if shutil.which("apt-get") is None or os.geteuid() != 0:
        stop(f"the tests drive {names}; install that (on Debian: sudo apt-get install {names}).")
    print(f"Installing {names} (once) ...", flush=True)
    quiet = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
    command = ["apt-get", "install", "-y", "-qq", "--no-install-recommends", *missing]
    for attempt in (["apt-get", "update", "-qq"], command):
        subprocess.call(attempt, env=quiet, stdout=subprocess.DEVNULL)
    if any(shutil.which(name) is None for name in programs):
        stop(f"{names} could not be installed; look at the network connection and run this again.")


def check(pytest_arguments: list[str]) -> int:
    """Run every check that CI runs; the exit code of the first that fails, otherwise 0."""
    need_debian({"chromium": "chromium", "certutil": "libnss3-tools"})
    postgres = [program("python"), "tests/web/postgres_server.py", program("python")]
    steps = [
        ("lint", [program("ruff"), "check", "."]),
        ("format", [program("ruff"), "format", "--check", "."]),
        ("types", [program("mypy"), "--strict", "src"]),
        ("import contracts", [program("lint-imports"), "--no-logo"]),
        ("tests", [program("python"), "-m", "pytest", "-n", "2", *pytest_arguments]),
    ]
    if not pytest_arguments:
        records = ["-m", "pytest", "-n", "2", "tests/web/record", "tests/web/api"]
        steps.append(("the record's tests on PostgreSQL", [*postgres, *records]))
    for name, command in steps:
        print(f"== {name}", flush=True)
        code = subprocess.call(command, cwd=str(ROOT))
        if code != 0:
            print(f"== FAILED: {name}", flush=True)
            return code
    print("== all checks passed", flush=True)
    return 0


def lock() -> int:
    """Resolve pyproject.toml for every Python and machine; no registry host is written down."""
    uv = shutil.which("uv")
    if uv is None:
        stop("'lock' needs uv; install it with 'python3 -m pip install uv' in a venv of its own.")
    options = "--all-extras --group dev --universal --python-version 3.11 --generate-hashes"
    quiet = "--no-emit-index-url --no-emit-find-links --no-annotate --quiet"
    said = ["--custom-compile-command", "python3 dev.py lock", "--upgrade", "-o", LOCK.name]
    command = [str(uv), "pip", "compile", "pyproject.toml", *options.split(), *quiet.split(), *said]
    return subprocess.call(
        command, cwd=str(ROOT), env={**os.environ, "UV_PYTHON_DOWNLOADS": "never"}
    )


def main(arguments: list[str]) -> int:
    """Do what the first argument says."""
    if sys.version_info < (3, 11):
        stop(f"oilwedge needs Python 3.11 or newer, and this is {sys.version.split()[0]}.")
    task, rest = (arguments[0], arguments[1:]) if arguments else ("", [])
    if task not in {"setup", "demo", "test", "lock"} or (rest and task in {"setup", "lock"}):
        print((__doc__ or "").strip())
        return 0 if task in {"-h", "--help"} else 2
    if task == "lock":
        return lock()
    setup()
    if task == "demo":
        return subprocess.call([program("oilwedge"), "demo", *rest])
    if task == "test":
        return check(rest)
    print(f"The program is {program('oilwedge')}")
    return 0


if __name__ == "__main__":
    try:
        sys.exit(main(sys.argv[1:]))
    except KeyboardInterrupt:
        sys.exit(130)
