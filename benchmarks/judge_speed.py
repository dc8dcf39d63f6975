"""How many fits a second are judged with full budgets, in one whole process; and how it grows.

Invented engines with 4 to 31 cylinders, bearings got at by bore and journal, walls and strip,
with repeats. Each figure is a process of its own, its start included, and beside it the judging
alone. Run it alone:
    python benchmarks/judge_speed.py
"""

from __future__ import annotations

import subprocess
import sys
import time
from pathlib import Path

CASES = (
    # cylinders, repeats of every reading, times judged
    (4, 1, 20),
    (4, 2, 20),
    (4, 4, 20),
    (4, 8, 20),
    (12, 1, 7),
    (31, 1, 3),
    (4, 1, 200),
)


BENCH_FOUR = Path(__file__).parents[1] / "tests" / "data" / "bench_four.toml"
MORE_FITS = """
[features.piston_skirt]
size = ["81.958 mm", "81.978 mm"]
[fits.piston_clearance]
build = ["0.022 mm", "0.062 mm"]
service = "0.100 mm"
[fits.rod_journal_out_of_round]
build = "0.005 mm"
service = "0.010 mm"
[fits.rod_housing]
[fits.rod_housing_out_of_round]
build = "0.008 mm"
[fits.cylinder_taper]
build = "0.010 mm"
[fits.cylinder_out_of_round]
build = "0.010 mm"
"""


def engine_text(cylinders: int) -> str:
    """The sizes and limits of the tests' bench engine, on as many cylinders as are wanted."""
    order = ", ".join(str(n) for n in range(1, cylinders + 1))
    angles = ", ".join(f'"{n * 180 % 360} deg"' for n in range(cylinders))
    head = f"""
format = 1
[engine]
name = "Long row of {cylinders} (invented)"
[layout]
kind = "in-line"
cylinders = {cylinders}
numbering = "1 at the front"
firing_order = [{order}]
throw_angles = [{angles}]
main_bearings = {cylinders + 1}
caps = "separate"
"""
    _, features, rest = BENCH_FOUR.read_text(encoding="utf-8").partition("[features.")
    return head + features + rest + MORE_FITS


def one_case(cylinders: int, repeats: int, times: int) -> None:
    """Make the engine and its readings, judge, reckon every budget; print the figures."""
    import random

    from oilwedge.engine.file import read_engine
    from oilwedge.metrology.reading import Reading
    from oilwedge.shop.model import DEFAULT_SHOP
    from oilwedge.uncertainty.budget import budget
    from oilwedge.usecases.judging import judge

    engine = read_engine(engine_text(cylinders), file="engine.toml")
    generator = random.Random(1)
    sizes = {
        "rod_journal": 47.972,
        "rod_shell_bore": 48.010,
        "rod_housing_bore": 51.008,
        "rod_upper_wall": 1.499,
        "rod_lower_wall": 1.499,
        "rod_strip": 0.038,
        "main_journal": 54.988,
        "main_shell_bore": 55.026,
        "cylinder_bore": 82.010,
        "piston_skirt": 81.968,
    }
    readings: list[Reading] = []
    for key, mm in sizes.items():
        feature = engine.features[key]
        spots = [
            (place.name if place else "", direction.name if direction else "")
            for place in feature.quick_places or (None,)
            for direction in feature.quick_directions or (None,)
        ]
        for number in feature.numbers:
            own_mm = mm + generator.gauss(0.0, 0.002)
            for _ in range(repeats):
                for place, way in spots:
                    readings.append(
                        Reading(
                            id=f"r{len(readings)}",
                            feature=key,
                            number=number,
                            place=place,
                            direction=way,
                            value_m=round(own_mm + generator.gauss(0.0, 0.001), 3) * 1e-3,
                            unit="mm",
                        )
                    )
    start = time.perf_counter()
    fits = lines = 0
    for _ in range(times):
        judgement = judge(engine=engine, shop=DEFAULT_SHOP, entries=readings)
        for result in judgement.fits:
            mean = result.measurement.evidence.mean
            if mean is not None:
                fits += 1
                lines += len(budget(mean).lines)
    taken = time.perf_counter() - start
    print(f"{fits} {len(readings)} {lines} {taken}")


def main() -> None:
    print("cylinders  readings  fits judged  budget lines   whole process    judging alone")
    for cylinders, repeats, times in CASES:
        arguments = [str(cylinders), str(repeats), str(times)]
        start = time.perf_counter()
        done = subprocess.run(
            [sys.executable, __file__, *arguments], capture_output=True, text=True, check=True
        )
        whole = time.perf_counter() - start
        fits, readings, lines = (int(word) for word in done.stdout.split()[:3])
        alone = float(done.stdout.split()[3])
        print(
            f"{cylinders:9d}  {readings:8d}  {fits:11d}  {lines:12d}"
            f"  {whole:6.2f} s {fits / whole:6.0f}/s  {alone:6.2f} s {fits / alone:6.0f}/s"
        )


if __name__ == "__main__":
    if len(sys.argv) == 4:
        one_case(*(int(argument) for argument in sys.argv[1:]))
    else:
        main()
