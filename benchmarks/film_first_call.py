"""How long the film's commands take where nothing is compiled yet, and after that.

numba keeps what it compiled in NUMBA_CACHE_DIR; an empty folder there is a fresh install. Every
command runs as a process of its own, all in a row on the same folder: what one has compiled the
next finds. The sum is what a person waits who tries every command once. Run it alone:
    python benchmarks/film_first_call.py
"""

from __future__ import annotations

import math
import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import oilwedge

DEMO = Path(oilwedge.__file__).parent / "demo"
OILWEDGE = Path(sys.executable).with_name("oilwedge")
BEARING = ("--diameter", "50mm", "--width", "25mm", "--clearance", "50um", "--speed", "3000rpm")
LATER = 3


def loads(folder: Path) -> Path:
    rows = ["angle [deg],fx [N],fy [N]"]
    for angle in range(0, 720, 5):
        turn = math.radians(angle)
        fire = -22000.0 * math.exp(-(((turn - 0.35) / 0.3) ** 2))
        rows.append(f"{angle},{fire + 5000.0 * math.cos(turn):.1f},{6000.0 * math.sin(turn):.1f}")
    file = folder / "loads.csv"
    file.write_text("\n".join(rows), encoding="utf-8")
    return file


def commands(folder: Path) -> dict[str, list[str]]:
    four, readings = str(DEMO / "four.toml"), str(DEMO / "four.csv")
    steady = ["film", "bearing", *BEARING, "--load", "5kN", "--viscosity", "10mPa.s"]
    path = ["film", "path", *BEARING, "--viscosity", "10mPa.s", "--loads", str(loads(folder))]
    asked = {
        "bearing": steady,
        "bearing, mass-conserving": [*steady, "--rupture", "mass-conserving"],
        "path": path,
        "path, transient": [*path, "--route", "transient"],
        "cycle, four-cylinder demo": ["film", "cycle", four, readings],
        "window, four-cylinder demo": ["film", "window", four, readings],
    }
    return {name: [str(OILWEDGE), *words] for name, words in asked.items()}


def seconds(command: list[str], cache: Path) -> float:
    start = time.perf_counter()
    done = subprocess.run(
        command, env={**os.environ, "NUMBA_CACHE_DIR": str(cache)}, capture_output=True, check=False
    )
    taken = time.perf_counter() - start
    if done.returncode not in (0, 1):
        print(f"    {done.stderr.decode().strip().splitlines()[-1]}")
    return taken


def main() -> None:
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        cache = folder / "cache"
        cache.mkdir()
        firsts, laters = [], []
        for title, command in commands(folder).items():
            firsts.append(seconds(command, cache))
            laters.append(min(seconds(command, cache) for _ in range(LATER)))
            print(
                f"{title:28s} first {firsts[-1]:6.2f} s   later {laters[-1]:5.2f} s"
                f"   ratio {firsts[-1] / laters[-1]:5.1f}"
            )
        print(
            f"{'all, one after the other':28s} first {sum(firsts):6.2f} s   later"
            f" {sum(laters):5.2f} s"
        )


if __name__ == "__main__":
    main()
