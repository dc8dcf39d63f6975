"""What a second core brings: the paths of many engines by one process and by two, side by side.

The engines are those of film_path.py (nine bearings each), the workers warm before the clock runs.
The share of the ideal is the time of one process over the time of n, over n. Run it alone:
    python benchmarks/film_cores.py [ENGINES]
"""

from __future__ import annotations

import os
import statistics
import sys
import time
from concurrent.futures import ProcessPoolExecutor

from film_path import BIG_END, MAIN, history, path_of

RUNS = 5


def engine(number: int) -> float:
    """The thinnest film of an engine; a process of its own for as long as it takes."""
    bearings = [(history(k, 1.0), BIG_END) for k in range(4)]
    bearings += [(history(k, 0.5 + 0.05 * k), MAIN) for k in range(5)]
    del number
    return min(path_of(*bearing).minimum_film_m for bearing in bearings)


def seconds(pool: ProcessPoolExecutor, engines: int, workers: int) -> float:
    start = time.perf_counter()
    list(pool.map(engine, range(engines), chunksize=-(-engines // (4 * workers))))
    return time.perf_counter() - start


def main(engines: int) -> None:
    counts = sorted({1, os.cpu_count() or 1})
    pools = {count: ProcessPoolExecutor(max_workers=count) for count in counts}
    for count, pool in pools.items():
        list(pool.map(engine, range(4 * count), chunksize=1))
    taken: dict[int, list[float]] = {count: [] for count in counts}
    for _ in range(RUNS):  # in turn, so that a busy moment meets all alike
        for count, pool in pools.items():
            taken[count].append(seconds(pool, engines, count))
    alone = statistics.median(taken[1])
    for count in counts:
        middle = statistics.median(taken[count])
        print(
            f"{engines} engines, {count} process{'es' if count > 1 else ''}: median {middle:.2f} s,"
            f" {1e3 * middle / engines:.1f} ms an engine, {alone / middle:.2f} x,"
            f" {alone / middle / count * 100:.0f} % of the ideal"
        )
    for pool in pools.values():
        pool.shutdown()


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 200)
