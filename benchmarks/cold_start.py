"""Cold start of ``oilwedge judge`` on the four-cylinder demo, beside ``python -c "import numpy"``.

Whole processes, alternating, so that both see the same machine; medians. Run it alone:
    python benchmarks/cold_start.py [RUNS]
"""

from __future__ import annotations

import statistics
import subprocess
import sys
import time
from pathlib import Path

DEMO = Path(__file__).parents[1] / "src" / "oilwedge" / "demo"
COMMANDS = {
    "import numpy": [sys.executable, "-c", "import numpy"],
    "oilwedge judge": [
        sys.executable,
        "-m",
        "oilwedge",
        "judge",
        "--keep-good",
        str(DEMO / "four.toml"),
        str(DEMO / "four.csv"),
    ],
    "oilwedge --version": [sys.executable, "-m", "oilwedge", "--version"],
}
ALLOWED_RATIO = 8.0


def seconds(command: list[str]) -> float:
    start = time.perf_counter()
    done = subprocess.run(command, capture_output=True, check=False)
    taken = time.perf_counter() - start
    if done.returncode not in (0, 1):
        raise SystemExit(done.stderr.decode())
    return taken


def main() -> None:
    runs = int(sys.argv[1]) if len(sys.argv) > 1 else 9
    taken: dict[str, list[float]] = {name: [] for name in COMMANDS}
    for command in COMMANDS.values():  # once for the disk's sake
        seconds(command)
    for _ in range(runs):
        for name, command in COMMANDS.items():
            taken[name].append(seconds(command))
    median = {name: statistics.median(found) for name, found in taken.items()}
    for name, found in taken.items():
        spread = f"{min(found):.3f} to {max(found):.3f}"
        print(f"{name:20s} median {median[name]:.3f} s ({spread}, {runs} runs)")
    ratio = median["oilwedge judge"] / median["import numpy"]
    print(f"judge / import numpy: {ratio:.1f} (allowed: under {ALLOWED_RATIO:g})")


if __name__ == "__main__":
    main()
