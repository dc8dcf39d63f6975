"""The part of a new engine file that says how the engine runs: all of it commented out."""

from __future__ import annotations

from oilwedge.engine.running import FULL_LOAD, HOT_IDLE, TOP_SPEED

__all__ = ["write_running"]


def write_running(*, units: str) -> list[str]:
    """Lines for oil, crank train, bearings and duty, to be filled in from scales and manual."""
    return [
        "",
        "# --- oil, and how it will run: only the oil film over a cycle needs what follows ---",
        "[oil]",
        '# grade = "?"   # such as "5W-30"',
        "# # better than a grade alone, from the data sheet of this very oil:",
        '# data_sheet = { viscosity_40c = "? mm2/s", viscosity_100c = "? mm2/s",'
        ' density_15c = "? kg/m3" }',
        *_crank_train(units),
        *_bearings(units),
        *_duty(),
    ]


def _crank_train(unit: str) -> list[str]:
    mass = "g" if unit == "mm" else "oz"
    return [
        "",
        "[crank_train]   # from manual, ruler and scales; weigh clean parts",
        f'# stroke = "? {unit}"',
        f'# rod_length = "? {unit}"   # between the centres of its two bores',
        "# compression_ratio = ?",
        f'# piston_set = "? {mass}"   # piston with rings and clips, without its pin',
        f'# pin = "? {mass}"',
        f'# rod = "? {mass}"   # with cap, bolts and shells',
        f'# rod_big_end = "? {mass}"   # on the scale, with the small end held level',
        f'# rod_small_end = "? {mass}"   # the same the other way round; both make the whole rod',
        f'# bobweight = "? {mass}"   # hung on each crank pin when the crank was balanced;',
        "# # without it, or counterweights, each throw is taken to balance the big ends on it",
        f'# main_places = ["0 {unit}", "? {unit}"]   # along the crank from the front;',
        f'# throw_places = ["? {unit}"]   # without both, pins are taken evenly between mains',
    ]


def _bearings(unit: str) -> list[str]:
    lines = []
    for kind, words in (("rod", "big ends"), ("main", "main bearings")):
        lines += [
            "",
            f"[bearings.{kind}]   # {words}",
            f'# width = "? {unit}"   # of a shell, without its chamfers',
            '# groove = "none"   # or "half", "full" with groove_width, "hole" with hole_diameter',
            f'# groove_width = "? {unit}"',
            '# bore_relief = "? µm"   # how much wider the bore is at the split than square to it',
            '# journal_roughness = "? µm"   # Rq, with a roughness tester',
            '# shell_roughness = "? µm"',
        ]
    return lines


def _duty() -> list[str]:
    lines = ["", "[duty]", '# speed = "? rpm"']
    for name, words in (
        (HOT_IDLE, "the lowest speed with the thinnest oil"),
        (FULL_LOAD, "where it pulls hardest"),
        (TOP_SPEED, "the highest speed it sees"),
    ):
        lines += [
            "",
            f'[duty.conditions."{name}"]   # {words}',
            '# speed = "? rpm"',
            '# peak_pressure = "? bar"   # absolute; or mean_pressure, or pressure_trace = "F.csv"',
            '# inlet_pressure = "? bar"   # absolute: about 0.35 at idle behind a throttle, else 1',
            '# oil_pressure = "? bar"',
            '# oil_temperature = "? C"',
        ]
    return lines
