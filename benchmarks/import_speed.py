"""How long 100,000 rows of readings take to import, in one whole process; and how it grows.

Two tables: bare rows, and rows with every column filled. Run it alone:
    python benchmarks/import_speed.py
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
import time
from pathlib import Path

DEMO = Path(__file__).parents[1] / "src" / "oilwedge" / "demo"
ROWS = (10_000, 30_000, 100_000, 300_000)


def table(rows: int, *, wide: bool) -> str:
    header = "feature,number,place,direction,value [mm]"
    if wide:
        header += ",instrument,person,time,part temperature,repeat,id,note"
    lines = [header]
    for i in range(rows):
        side = ("front", "rear")[i % 2]
        way = ("along", "across")[i // 2 % 2]
        line = f"rod journal,{i // 4 % 4 + 1},{side},{way},{47.96 + i % 17 * 0.001:.3f}"
        if wide:
            line += f",mic_25_50,ada,2026-03-01 {i // 3600 % 24:02d}:{i // 60 % 60:02d},"
            line += f"{20 + i % 30 / 10:.1f},{i // 16 + 1},r{i},as found"
        lines.append(line)
    return "\n".join(lines) + "\n"


def one_case(path: Path) -> None:
    from oilwedge.usecases.importing.read import read_table
    from oilwedge.usecases.opening import open_engine_and_shop

    opened = open_engine_and_shop(engine=DEMO / "four.toml", shop=None)
    start = time.perf_counter()
    imported = read_table(path, engine=opened.engine, shop=opened.shop)
    print(len(imported.entries), time.perf_counter() - start)


def main() -> None:
    print("table      rows   whole process   import alone")
    with tempfile.TemporaryDirectory() as folder:
        for wide in (False, True):
            for rows in ROWS:
                path = Path(folder) / "readings.csv"
                path.write_text(table(rows, wide=wide), encoding="utf-8")
                start = time.perf_counter()
                done = subprocess.run(
                    [sys.executable, __file__, str(path)],
                    capture_output=True,
                    text=True,
                    check=True,
                )
                whole = time.perf_counter() - start
                count, alone = done.stdout.split()
                if int(count) != rows:
                    raise SystemExit(f"{count} of {rows} rows were taken")
                name = "wide" if wide else "bare"
                print(f"{name:5s} {rows:9d}  {whole:11.2f} s  {float(alone):11.2f} s")


if __name__ == "__main__":
    if len(sys.argv) == 2:
        one_case(Path(sys.argv[1]))
    else:
        main()
