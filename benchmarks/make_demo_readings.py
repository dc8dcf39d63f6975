"""Make the readings of the demo's invented engines: ``python benchmarks/make_demo_readings.py``.

The scatter of each reading hangs on its own name alone, so that the same files come out each time
and changing one part changes its own rows only. Trouble is put in on purpose; each place where it
is done says so.
"""

from __future__ import annotations

from demo_bench import DEMO, Bench, Part, Style, bench

INVENTED = "Invented readings of an invented engine, for trying oilwedge."


def four_parts() -> dict[tuple[str, int], Part]:
    """The true sizes of the petrol four that are not near the middle of their limits."""
    parts = {
        # tapered: right on the mean (0.044 mm), loose at the rear
        ("rod_journal", 3): Part(mean=47.9675, slope=-0.008),
        ("rod_shell_bore", 3): Part(mean=48.0115),
        # worn past its service limit (0.066 mm)
        ("rod_journal", 4): Part(mean=47.9585, lobe=0.0015),
        ("rod_shell_bore", 4): Part(mean=48.0245),
        ("rod_housing_bore", 4): Part(mean=51.0075),
        ("rod_upper_wall", 4): Part(mean=1.492),
        ("rod_lower_wall", 4): Part(mean=1.491),
        # a housing that its cap pinches: too tight (0.016 mm), apart from its neighbours
        ("main_housing_bore", 4): Part(mean=58.9985, lobe=-0.0060),
        ("main_shell_bore", 4): Part(mean=55.0085),
        ("main_journal", 4): Part(mean=54.9922),
        # strip and gauges disagree: something turned on the strip and smeared it wide
        ("main_strip", 2): Part(mean=0.0262),
        # larger than a new ring may have
        ("oil_ring_gap", 3): Part(mean=0.76),
        # the middle main has limits of its own
        ("main_shell_bore", 3): Part(mean=55.0295),
    }
    for number in range(1, 5):
        parts["cylinder_bore", number] = Part(mean=82.011, slope=-0.0015, lobe=0.0012)
    return parts


def four() -> str:
    """The petrol four: taken apart to see what can stay; nothing was machined yet."""
    one = bench("four", style=Style(), parts=four_parts(), start="2026-03-02 08:30")
    one.note(INVENTED)
    one.state(
        "re-used", "crankshaft", "rod shells", "main shells", "rods", "block", "thrust washers",
        "cylinders", "pistons", "pins", "camshaft", "cam bearings", "intake valves",
        "exhaust valves", "valve guides", "oil pump",
    )  # fmt: skip
    one.state("new", "rings")
    checked = ("mic_0_25", "mic_25_50", "mic_50_75", "mic_75_100")
    one.zero(*checked)
    four_bottom_end(one)
    four_cylinders(one)
    four_head(one)
    four_assembled(one)
    one.zero(*checked)
    return one.table()


def four_bottom_end(one: Bench) -> None:
    """Journals, housings, shells."""
    # inches typed for millimetres: 47.972 mm is 1.8887 in
    one.read("rod_journal", instrument="mic_25_50", slips={(1, "rear", "across"): "1.8887"})
    one.read("main_journal", instrument="mic_50_75")
    one.read("crank_runout_reading", instrument="dial")
    one.later(hours=1)
    one.person = "tom"
    one.read("rod_housing_bore", instrument="bore_medium")
    one.read("rod_upper_wall", instrument="ball_mic")
    one.read("rod_lower_wall", instrument="ball_mic")
    one.read("rod_shell_bore", instrument="bore_small")
    one.read("main_housing_bore", instrument="bore_medium")
    one.read("main_shell_bore", instrument="bore_medium")


def four_cylinders(one: Bench) -> None:
    """Cylinders and pistons in a warm room, pins, rings."""
    one.later(hours=2)
    one.person, one.part_c, one.instrument_c = "ada", "22", "22"
    one.read("cylinder_bore", instrument="bore_large")
    one.read("piston_skirt", instrument="mic_75_100", numbers=(1,))
    # two figures swapped while writing; a new reading replaces it by its id
    one.read(
        "piston_skirt",
        instrument="mic_75_100",
        numbers=(2,),
        slips={(2, "", ""): "81.698"},
        id="skirt 2",
    )
    one.read("piston_skirt", instrument="mic_75_100", numbers=(3, 4))
    one.read(
        "piston_skirt",
        instrument="mic_75_100",
        numbers=(2,),
        id="skirt 2 again",
        replaces="skirt 2",
        note="two figures were swapped",
    )
    one.part_c = one.instrument_c = ""
    one.read("pin", instrument="mic_0_25")
    one.read("pin_bore", instrument="bore_pin")
    one.read("small_end_bore", instrument="bore_pin")
    for gap in ("top_ring_gap", "second_ring_gap", "oil_ring_gap"):
        one.read(gap, instrument="feelers")
    for gap in ("top_ring_side_gap", "second_ring_side_gap"):
        one.read(gap, instrument="feelers")


def four_head(one: Bench) -> None:
    """Camshaft, valves, and the oil pump."""
    one.later(days=1, hours=-4)
    one.person = "tom"
    # a turn of the thimble: 0.50 mm too much
    one.read("cam_journal", instrument="mic_25_50", slips={(3, "rear", "across"): "26.449"})
    one.read("cam_bore", instrument="bore_cam")
    for side in ("intake", "exhaust"):
        one.read(f"{side}_stem", instrument="mic_0_25")
        one.read(f"{side}_guide", instrument="hole_gauge")
    for gap in ("pump_tip_gap", "pump_side_gap", "pump_body_gap"):
        one.read(gap, instrument="feelers")


def four_assembled(one: Bench) -> None:
    """The crank in its shells, the rods on it."""
    one.later(hours=1)
    one.person = "ada"
    one.read("main_strip", instrument="narrow")
    one.read("crank_end_gap", instrument="dial")
    one.read("rod_strip", instrument="narrow")
    one.read("rod_side_gap", instrument="feelers")
    one.read("piston_deck_height", instrument="depth")


def three_diesel() -> str:
    """The diesel three: mains ground to an undersize between two rounds of measuring."""
    worn = {("main_journal", n): Part(mean=2.7478 - 0.0003 * n, lobe=0.0002) for n in range(1, 5)}
    worn |= {("main_shell_bore", n): Part(mean=2.7520 + 0.0002 * n) for n in range(1, 5)}
    style = Style(unit="in", unit_column=True, leading_zero=False)
    parts = {
        **worn,
        # close to its limit: with the safety margin nobody can tell (3.2 of 3.4 thou)
        ("rod_journal", 2): Part(mean=2.24890),
        ("rod_shell_bore", 2): Part(mean=2.25211),
    }
    for number in range(1, 4):
        parts["cylinder_bore", number] = Part(mean=3.6005, slope=-0.00003, lobe=0.00003)
    one = bench("three_diesel", style=style, parts=parts, start="2026-04-13 09:00")
    one.note(INVENTED)
    one.state(
        "re-used", "crankshaft", "rod shells", "rods", "block", "thrust washers", "main shells"
    )
    one.state("new", "cylinders", "pistons", "rings", note="liner kit, invented")
    one.zero("inch_mic_2_3", "inch_mic_3_4")
    # before the grind: these stay on record and stop judging
    one.read("main_journal", instrument="inch_mic_2_3", round_="before")
    one.read("main_shell_bore", instrument="inch_bore_2_3", round_="before")
    one.read("rod_journal", instrument="inch_mic_2_3")
    one.read("rod_housing_bore", instrument="inch_bore_2_3")
    one.read("rod_shell_bore", instrument="inch_bore_2_3")
    one.read("rod_strip", instrument="inch_wide", unit="thou")
    one.zero("inch_mic_2_3")
    diesel_ground(one)
    diesel_cylinders(one)
    return one.table()


def diesel_ground(one: Bench) -> None:
    """Back from the grinder, with undersize shells."""
    one.later(days=4, hours=-3)
    one.event("work", "main journals", "ground to 0.010 in under", number="all")
    one.event("work", "main shells", "replaced to 0.010 in under", number="all")
    ground = {("main_journal", n): Part(mean=2.73830) for n in range(1, 5)}
    ground |= {("main_shell_bore", n): Part(mean=2.74055) for n in range(1, 5)}
    # right, and yet apart from its neighbours: 3.3 thou beside 2.25
    ground["main_shell_bore", 2] = Part(mean=2.74160)
    one.parts = {**one.parts, **ground}
    one.later(hours=2)
    one.part_c, one.instrument_c = "20", "20"
    one.zero("inch_mic_2_3")
    one.read("main_journal", instrument="inch_mic_2_3")
    one.read("main_housing_bore", instrument="inch_bore_2_3")
    one.read("main_shell_bore", instrument="inch_bore_2_3")
    one.read("main_strip", instrument="inch_wide", unit="thou")
    one.part_c = one.instrument_c = ""
    one.read("crank_runout_reading", instrument="inch_dial")
    one.read("crank_end_gap", instrument="inch_dial")
    one.read("rod_side_gap", instrument="inch_feelers")
    one.zero("inch_mic_2_3")


def diesel_cylinders(one: Bench) -> None:
    """The new liners and pistons."""
    one.later(days=1)
    one.person = "tom"
    one.zero("inch_mic_3_4")
    one.read("cylinder_bore", instrument="inch_bore_3_4")
    one.read("piston_skirt", instrument="inch_mic_3_4", numbers=(1, 2))
    one.zero("inch_mic_3_4")
    # knocked off the bench between two checks: its last reading is in doubt
    one.read("piston_skirt", instrument="inch_mic_3_4", numbers=(3,))
    one.zero("inch_mic_3_4", value="failed", note="it reads .0006 in over its setting rod")
    one.read("top_ring_gap", instrument="inch_feelers")
    one.read("second_ring_gap", instrument="inch_feelers")
    one.read("piston_deck_height", instrument="inch_depth")


def v_twin() -> str:
    """The V-twin, written with decimal commas and semicolons."""
    style = Style(separator=";", decimal_sign=",")
    parts = {
        # honed a little far: machined parts have build limits only (0.077 mm, limit 0.065)
        ("cylinder_bore", 1): Part(mean=92.0300),
        ("piston_skirt", 1): Part(mean=91.9530),
        ("cylinder_bore", 2): Part(mean=92.0080),
        # 0.019 mm: under what the strip can show; nobody had a gauge in this bore
        ("main_shell_bore", 2): Part(mean=45.0105),
        ("main_journal", 2): Part(mean=44.9900),
    }
    one = bench("v_twin", style=style, parts=parts, start="2026-05-18 13:00")
    one.note(INVENTED)
    one.state(
        "re-used", "crankshaft", "rods", "block", "main shells", "rod shells", "pistons",
        "thrust washers",
    )  # fmt: skip
    one.state("new", "rings")
    one.event("condition", "balance shaft", "re-used")
    one.event("condition", "balance bush", "new")
    one.event("work", "cylinders", "honed", number="all")
    one.zero("mic_0_25", "mic_25_50", "mic_75_100")
    one.read("rod_journal", instrument="mic_25_50")
    one.read("main_journal", instrument="mic_25_50")
    one.read("rod_housing_bore", instrument="bore_small")
    one.read("rod_shell_bore", instrument="bore_small")
    # the third way: the gauge zeroed at the journal; refitted once for rod 2
    one.read("rod_gauge", instrument="bore_small")
    one.read("rod_gauge", instrument="bore_small", numbers=(2,), repeat="2 refit")
    # an aluminium case that was not left to cool: the correction to 20 °C counts
    one.later(hours=1)
    one.part_c, one.instrument_c = "26,5", "22"
    one.read("main_housing_bore", instrument="bore_small")
    one.read("main_shell_bore", instrument="bore_small", numbers=(1,))
    one.part_c = one.instrument_c = ""
    # strip only, and wider than its widest bar: at most 0.025 mm, which does not decide
    one.read("main_strip", instrument="narrow")
    one.later(days=1, hours=-3)
    one.person = "tom"
    one.read("crank_end_gap", instrument="dial")
    one.read("rod_side_gap", instrument="feelers")
    one.read("crank_runout_reading", instrument="dial")
    one.read("cylinder_bore", instrument="bore_large")
    one.read("piston_skirt", instrument="mic_75_100")
    one.read("top_ring_gap", instrument="feelers")
    one.read("balance_journal", instrument="mic_0_25")
    one.read("balance_bore", instrument="bore_pin")
    one.zero("mic_0_25", "mic_25_50", "mic_75_100")
    return one.table()


TABLES = {"four.csv": four, "three_diesel.csv": three_diesel, "v_twin.csv": v_twin}


def main() -> None:
    """Write all tables into the demo folder."""
    for name, make in TABLES.items():
        (DEMO / name).write_text(make(), encoding="utf-8", newline="")


if __name__ == "__main__":
    main()
