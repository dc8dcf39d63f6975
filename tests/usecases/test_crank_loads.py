"""Loads of a whole engine from its file: statics, textbook values, layouts, what is assumed."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from tests.usecases.crank_made_up import BEARINGS, DUTY, SINGLE, engine, with_train

from oilwedge.engine.file import read_engine
from oilwedge.engine.layout import LayoutKind
from oilwedge.engine.model import Engine
from oilwedge.engine.running import Groove
from oilwedge.engine.skeleton import SkeletonAnswers, write_skeleton
from oilwedge.errors import InputError
from oilwedge.film.bearing_duty import big_end_history
from oilwedge.film.gas_cycle import cycle_for_peak_pressure, four_stroke_cycle
from oilwedge.film.gas_pressure import indicated_work_j
from oilwedge.film.kinematics import SliderCrank
from oilwedge.film.rod_load import Cylinder, RodMasses
from oilwedge.usecases.crank_loads import HEAT_OVER_OIL_K, EngineLoads, engine_loads

Array = NDArray[np.float64]
R, L, BORE = 0.080, 0.245, 0.140
OMEGA = 1000.0 * math.pi / 30.0
M_REC, M_BIG = 3.5, 2.0  # kg: piston 2.0, pin 0.5, small end 1.0; big end 2.0
AREA = math.pi / 4.0 * BORE**2
DEMO = Path(__file__).parents[2] / "src" / "oilwedge" / "demo"
FILM_NOT = "Nobody measured the pressure"


def full_load(made: Engine, **options: int) -> EngineLoads:
    return engine_loads(engine=made, condition="full load", **options)


def force(loads: EngineLoads, key: str) -> tuple[Array, Array]:
    history = loads.bearing(key).history
    return history.force_x_n, history.force_y_n


def test_the_inertia_on_a_big_end_is_that_of_the_printed_slider_crank() -> None:
    """REFERENCES (inputs READ, values COMPUTED): a = 1163.76 and −590.83 m/s² at 0 and 180°."""
    still = full_load(engine(**SINGLE)).bearing("rod 1").without_gas
    turning = M_BIG * R * OMEGA**2
    at = [int(np.argmin(abs(still.angle_rad - angle))) for angle in (0.0, math.pi)]
    # at the top the pistons pull: the cap (−x) is loaded by all masses
    assert still.force_x_n[at[0]] == pytest.approx(-(M_REC * 1163.76 + turning), rel=1e-5)
    # at the bottom the rod axis still points from big to small end; the turning part pulls on it
    assert still.force_x_n[at[1]] == pytest.approx(M_REC * 590.83 + turning, rel=1e-5)
    assert still.force_y_n[at] == pytest.approx([0.0, 0.0], abs=1e-6)


def test_gas_presses_the_pin_into_the_rods_side_by_its_pressure_times_the_piston() -> None:
    found = full_load(engine(**SINGLE)).bearing("rod 1")
    gas_x = found.history.force_x_n - found.without_gas.force_x_n
    gas_y = found.history.force_y_n - found.without_gas.force_y_n
    size = np.hypot(gas_x, gas_y)
    assert np.all(gas_y == pytest.approx(0.0, abs=1e-6 * size.max()))  # along the rod
    sine = R / L * np.sin(found.history.angle_rad)
    along_cylinder = gas_x * np.sqrt(1.0 - sine**2)
    assert along_cylinder.max() == pytest.approx((50e5 - 1e5) * AREA, rel=1e-3)


@pytest.mark.parametrize("name", ["four", "three_diesel", "v_twin"])
def test_gas_adds_on_the_masses_in_proportion(name: str) -> None:
    """Half of the gas over the crankcase gives the load half way between: what families use."""
    made = read_engine((DEMO / f"{name}.toml").read_text("utf-8"), file=name)
    loads = full_load(made)
    for one in loads.bearings:
        assert one.history.angle_rad.shape == one.without_gas.angle_rad.shape
        assert one.history.turning_speed_rad_s == one.without_gas.turning_speed_rad_s
        assert np.array_equal(one.history.journal_speed_rad_s, one.without_gas.journal_speed_rad_s)
    assert [one.key for one in loads.bearings] == [
        *(f"rod {n}" for n in range(1, made.layout.cylinders + 1)),
        *(f"main {n}" for n in range(1, made.layout.main_bearings + 1)),
    ]


def test_the_work_of_the_torque_is_that_of_the_gas() -> None:
    loads = full_load(engine(), steps_per_turn=1440)
    trace = cycle_for_peak_pressure(
        cycle=four_stroke_cycle(compression_ratio=9.0),
        crank=SliderCrank(throw_m=R, rod_length_m=L),
        peak_pressure_pa=50e5,
    )
    work = indicated_work_j(trace=trace, crank=SliderCrank(throw_m=R, rod_length_m=L), bore_m=BORE)
    assert np.trapezoid(loads.torque_n_m, loads.angle_rad) == pytest.approx(4 * work, rel=1e-4)


def test_a_big_end_is_that_of_the_film_room_with_offset() -> None:
    made = engine(**SINGLE, crank='pin_offset = "10 mm"')
    crank = SliderCrank(throw_m=R, rod_length_m=L, offset_m=0.010)
    trace = cycle_for_peak_pressure(
        cycle=four_stroke_cycle(compression_ratio=9.0), crank=crank, peak_pressure_pa=50e5
    )
    masses = RodMasses(
        piston_set_kg=2.0, pin_kg=0.5, rod_kg=3.0, rod_big_end_kg=2.0, rod_small_end_kg=1.0
    )
    wanted = big_end_history(
        cylinder=Cylinder(crank=crank, bore_m=BORE, masses=masses, trace=trace),
        speed_rad_s=OMEGA,
    )
    x, y = force(full_load(made), "rod 1")
    assert x == pytest.approx(wanted.force_x_n, rel=1e-9)
    assert y == pytest.approx(wanted.force_y_n, rel=1e-9, abs=1e-6)


def rod_on_crank(loads: EngineLoads, number: int, *, bank: float) -> tuple[Array, Array]:
    """The force of a rod on the crank in the engine's axes, from the big end's own history.

    Turned back by hand: the rod leans by φ = arcsin(r sin θ/l) and its axes are (cos φ, −sin φ)
    and (sin φ, cos φ) in those of the cylinder, which leans by its bank.
    """
    big_end = loads.bearing(f"rod {number}").history
    fired = next(one.angle_rad for one in loads.firings if one.cylinder == number)
    own = loads.angle_rad - fired
    cycle = loads.angle_rad[-1]
    shell_x, shell_y = (
        np.interp(own, big_end.angle_rad[:-1], values[:-1], period=cycle)
        for values in (big_end.force_x_n, big_end.force_y_n)
    )
    sin_p = R / L * np.sin(own)
    cos_p = np.sqrt(1.0 - sin_p**2)
    x = -(cos_p * shell_x + sin_p * shell_y)
    y = -(-sin_p * shell_x + cos_p * shell_y)
    c, s = math.cos(bank), math.sin(bank)
    return c * x - s * y, s * x + c * y


TWIN: dict[str, object] = {
    "kind": "V",
    "order": (1, 2),
    "throws": (0,),
    "mains": 2,
    "layout": 'v_angle = "90 deg"\nbanks = [[1], [2]]\nrods_on_throw = [[1, 2]]',
}


@st.composite
def layouts(draw: st.DrawFn) -> dict[str, object]:
    """Any in-line, V or flat engine with a firing order that its crank can fire."""
    strokes = draw(st.sampled_from([2, 4]))
    kind = draw(st.sampled_from(["in-line", "V", "flat"]))
    throws = draw(st.integers(1, 4))
    angles = [float(10 * draw(st.integers(0, 35))) for _ in range(throws)]
    shared = kind != "in-line" and draw(st.booleans())
    cylinders = 2 * throws if shared else throws
    half = 90.0 if kind == "flat" else float(draw(st.integers(10, 60)))
    first = {n for n in range(1, cylinders + 1) if n % 2}
    bank = [0.0 if kind == "in-line" else half if n in first else -half
            for n in range(1, cylinders + 1)]  # fmt: skip
    on = [(n - 1) // 2 if shared else n - 1 for n in range(1, cylinders + 1)]
    turns = [(bank[n] - angles[on[n]]) % 360 for n in range(cylinders)]
    if strokes == 4:
        turns = [turn + 360 * draw(st.integers(0, 1)) for turn in turns]
        cycle = 720
    else:
        cycle = 360
    order = sorted(range(cylinders), key=lambda n: turns[n])
    lines = []
    if kind != "in-line":
        second = [n for n in range(1, cylinders + 1) if n not in first]
        lines.append(f"banks = [{sorted(first)}, {second}]")
        pairs = [[n + 1 for n in range(cylinders) if on[n] == throw] for throw in range(throws)]
        lines.append(f"rods_on_throw = {pairs}")
    if kind == "V":
        lines.append(f'v_angle = "{2 * half:g} deg"')
    together = len({turn % cycle for turn in turns}) < cylinders
    return {
        "kind": kind,
        "order": [n + 1 for n in order],
        "throws": angles,
        "mains": draw(st.sampled_from([throws + 1, 2])),
        "strokes": strokes,
        "layout": "\n".join(lines),
        "together": together and strokes == 4,
    }


@given(layouts(), st.floats(0.0, 4.0), st.floats(0.1, 4.0))
@settings(max_examples=40)
def test_the_mains_carry_all_that_acts_on_the_crank(
    parts: dict[str, object], own: float, weight: float
) -> None:
    """Force and moment of the mains are those of rods and turning masses, for any layout."""
    assume(not parts.pop("together"))  # at once in a four-stroke: not every such order closes
    crank = (
        f'throw_unbalance = "{own * 100:.6f} kg mm"\n'
        f'counterweights = [{{ throw = 1, unbalance = "{weight * 100:.6f} kg mm" }}]'
    )
    made = engine(**parts, crank=crank)
    loads = full_load(made)  # every dead centre lies on a whole degree
    throws = made.layout.throws
    bays = made.layout.main_bearings - 1
    each = len(throws) // bays
    place = [(n // each) + (n % each + 1) / (each + 1) for n in range(len(throws))]
    zero = math.radians(
        made.layout.bank_angle_deg[made.layout.firing_order[0] - 1]
        - made.layout.throw_of(made.layout.firing_order[0]).angle_deg
    )
    forces: list[tuple[float, Array, Array]] = []
    for number in range(1, made.layout.cylinders + 1):
        x, y = rod_on_crank(
            loads,
            number,
            bank=math.radians(made.layout.bank_angle_deg[number - 1]),
        )
        on = next(at for at, one in enumerate(throws) if number in one.rods)
        forces.append((place[on], x, y))
    for at, throw in enumerate(throws):
        size = round(own * 100, 6) * 1e-3 - (round(weight * 100, 6) * 1e-3 if at == 0 else 0.0)
        turned = loads.angle_rad + zero + math.radians(throw.angle_deg)
        forces.append(
            (place[at], size * OMEGA**2 * np.cos(turned), size * OMEGA**2 * np.sin(turned))
        )
    scale = max(float(abs(x).max()) for _, x, _ in forces) + 1.0
    mains = [force(loads, f"main {n}") for n in range(1, made.layout.main_bearings + 1)]
    for axis in (0, 1):
        carried = sum(main[axis] for main in mains)
        assert carried == pytest.approx(sum(one[1 + axis] for one in forces), abs=1e-7 * scale)
        tilted = sum(at * main[axis] for at, main in enumerate(mains))
        assert tilted == pytest.approx(
            sum(one[0] * one[1 + axis] for one in forces), abs=1e-6 * scale
        )


@given(layouts())
@settings(max_examples=30)
def test_cylinders_fire_in_their_order_each_at_its_top_dead_centre(
    parts: dict[str, object],
) -> None:
    assume(not parts.pop("together"))
    made = engine(**parts)
    loads = full_load(made, steps_per_turn=24)
    if len({one.angle_rad for one in loads.firings}) == made.layout.cylinders:
        assert tuple(one.cylinder for one in loads.firings) == made.layout.firing_order
    assert loads.firings[0].angle_rad == 0.0
    first = made.layout.firing_order[0]
    for one in loads.firings:
        apart = [
            made.layout.bank_angle_deg[n - 1] - made.layout.throw_of(n).angle_deg
            for n in (first, one.cylinder)
        ]
        turn = math.degrees(one.angle_rad) - (apart[1] - apart[0])
        assert turn % 360 == pytest.approx(0.0, abs=1e-6) or turn % 360 == pytest.approx(360.0)


def test_the_ends_of_a_four_carry_alike_one_turn_apart() -> None:
    loads = full_load(engine())
    for front, rear in ((1, 5), (2, 4)):
        for axis in (0, 1):
            a, b = (force(loads, f"main {n}")[axis][:-1] for n in (front, rear))
            assert np.roll(a, 360) == pytest.approx(b, abs=1e-6 * abs(a).max())


def test_the_angles_of_a_vee_count_from_the_first_cylinder_to_fire() -> None:
    """A 90° twin on one pin: 2 fires 270° after 1, as bank less bank says."""
    made = engine(**TWIN)
    loads = full_load(made)
    assert [(one.cylinder, round(math.degrees(one.angle_rad), 9)) for one in loads.firings] == [
        (1, 0.0),
        (2, 270.0),
    ]
    assert loads.bearing("main 1").firings == loads.firings
    assert [one.angle_rad for one in loads.bearing("rod 2").firings] == [0.0]
    # at 0 the pressure of cylinder 1, on the right, presses the crank down and to the left
    x, y = force(loads, "main 1")
    assert (x[5] < 0, y[5] < 0) == (True, True)
    assert "Rods that share a crank pin" in " ".join(loads.assumptions)


def test_firing_intervals_choose_among_the_ways_to_fire() -> None:
    made = engine(**TWIN, crank='firing_intervals = ["630 deg", "90 deg"]')
    assert math.degrees(full_load(made).firings[1].angle_rad) == pytest.approx(630.0)
    wrong = engine(**TWIN, crank='firing_intervals = ["360 deg", "360 deg"]')
    with pytest.raises(
        InputError, match=r"crank_train.firing_intervals: .*does not fit the layout"
    ):
        full_load(wrong)


def test_a_two_stroke_has_one_turn_and_its_own_cycle() -> None:
    parts = {"strokes": 2, "order": (1, 2), "throws": (0, 180), "mains": 3}
    duty = DUTY.replace('inlet_pressure = "1 bar"\n', "")
    loads = full_load(engine(**parts, duty=duty))
    assert loads.angle_rad[-1] == pytest.approx(2.0 * math.pi)
    assert loads.bearing("rod 2").history.turns == 1
    assert math.degrees(loads.firings[1].angle_rad) == pytest.approx(180.0)
    words = " ".join(loads.assumptions)
    assert "fills at 1.1 bar" in words
    assert "pumps the charge" in words


def test_a_crank_that_fires_only_anticlockwise_is_computed_as_its_mirror_image() -> None:
    """A two-stroke three with pins 120° on fires 1-2-3 only when it turns the other way."""
    weights = 'counterweights = [{ throw = 2, unbalance = "90 kg mm", angle = "%d deg" }]'
    other, own = (
        full_load(engine(strokes=2, order=(1, 2, 3), throws=throws, mains=4, crank=weights % angle))
        for throws, angle in (((0, 120, 240), 70), ((0, 240, 120), -70))
    )
    for one, mirrored in zip(own.bearings, other.bearings, strict=True):
        assert mirrored.history.force_y_n == pytest.approx(one.history.force_y_n, abs=1e-6)
        assert mirrored.history.force_x_n == pytest.approx(one.history.force_x_n, abs=1e-6)
    assert any("turns anticlockwise" in one for one in other.assumptions)
    assert not any("turns anticlockwise" in one for one in own.assumptions)


def test_the_middle_main_of_a_flat_twin_feels_the_gas_alone() -> None:
    """Its pistons run against each other, so that the masses leave it nothing (symmetry)."""
    made = engine(
        kind="flat",
        order=(1, 2),
        throws=(0, 180),
        mains=3,
        layout="banks = [[1], [2]]",
    )
    middle = full_load(made).bearing("main 2")
    assert middle.without_gas.force_x_n == pytest.approx(1e-9 * middle.history.force_x_n)
    assert middle.without_gas.force_y_n == pytest.approx(1e-9 * middle.history.force_y_n)
    assert middle.largest_n == pytest.approx((50e5 - 1e5) * AREA / 2.0, rel=0.1)
    ends = full_load(made).bearing("main 1").without_gas
    assert np.hypot(ends.force_x_n, ends.force_y_n).max() > 1000.0


def test_a_main_that_no_load_reaches_is_left_out_and_it_is_said() -> None:
    """A two-stroke flat twin fires both cylinders at once, each against the other."""
    made = engine(
        kind="flat",
        order=(1, 2),
        throws=(0, 180),
        mains=3,
        strokes=2,
        layout="banks = [[1], [2]]",
    )
    loads = full_load(made)
    assert [one.key for one in loads.bearings] == ["rod 1", "rod 2", "main 1", "main 3"]
    assert "Main bearing 2 is left out: no load reaches it." in loads.assumptions
    assert not any("left out: no load" in one for one in full_load(engine()).assumptions)


def shaking(loads: EngineLoads) -> float:
    """The largest load on main 1 from masses alone."""
    found = loads.bearing("main 1").without_gas
    return float(np.hypot(found.force_x_n, found.force_y_n).max())


def test_a_bobweight_is_a_counterweight_of_its_mass_at_the_pin() -> None:
    weight = 'counterweights = [{ throw = 1, unbalance = "240 kg mm" }]\nthrow_unbalance = "0 g mm"'
    weighed, listed = (
        full_load(engine(**SINGLE, crank=crank)) for crank in ('bobweight = "3 kg"', weight)
    )
    for axis in (0, 1):
        assert force(weighed, "main 1")[axis] == pytest.approx(force(listed, "main 1")[axis])


def test_half_of_what_goes_up_and_down_balanced_leaves_the_least_to_a_single() -> None:
    """Textbook, to first order: what is left then turns backwards with half the force."""
    half = M_BIG + 0.5 * M_REC
    found = {
        share: shaking(full_load(engine(**SINGLE, crank=f'bobweight = "{mass} kg"')))
        for share, mass in ((0.5, half), (0.0, M_BIG), (1.0, M_BIG + M_REC))
    }
    assert found[0.5] < min(found[0.0], found[1.0])
    first_order = M_REC * R * OMEGA**2 / 2.0  # main 1 of two carries half of it
    assert found[0.5] / first_order == pytest.approx(0.5 + R / L, rel=0.01)  # second order on top
    assert found[0.0] / first_order == pytest.approx(1.0 + R / L, rel=0.01)


def test_without_any_word_of_balance_the_big_ends_are_balanced_and_it_is_said() -> None:
    thumb = full_load(engine(**SINGLE))
    weighed = full_load(engine(**SINGLE, crank='bobweight = "2 kg"'))
    assert force(thumb, "main 1")[0] == pytest.approx(force(weighed, "main 1")[0])
    assert any("Counterweights are not known" in one for one in thumb.assumptions)
    assert not any("Counterweights" in one for one in weighed.assumptions)
    both, hung = (full_load(engine(**TWIN, crank=crank)) for crank in ("", 'bobweight = "4 kg"'))
    assert force(both, "main 1")[0] == pytest.approx(force(hung, "main 1")[0])  # two big ends
    bare = full_load(engine(**SINGLE, crank='throw_unbalance = "50 kg mm"'))
    assert any("no counterweights: the file lists none" in one for one in bare.assumptions)
    assert shaking(bare) > 1.5 * shaking(thumb)
    listed = full_load(
        engine(**SINGLE, crank='counterweights = [{ throw = 1, unbalance = "9 kg mm" }]')
    )
    assert any("balanced in themselves" in one for one in listed.assumptions)


PLACES = 'main_places = ["0 mm", "100 mm"]\nthrow_places = ["25 mm"]'


def test_places_share_the_load_between_the_mains() -> None:
    loads = full_load(engine(**SINGLE, crank=PLACES))
    assert not any("evenly apart" in one for one in loads.assumptions)
    assert any("evenly apart" in one for one in full_load(engine(**SINGLE)).assumptions)
    front, rear = (force(loads, f"main {n}")[0] for n in (1, 2))
    assert front == pytest.approx(3.0 * rear)


def test_a_counterweight_at_a_main_loads_that_main_only() -> None:
    weight = (
        PLACES
        + '\nthrow_unbalance = "0 g mm"\ncounterweights = [{ throw = 1, unbalance = "100 kg mm",'
        ' angle = "90 deg", place = "100 mm" }]'
    )
    with_it = full_load(engine(**SINGLE, crank=weight))
    without = full_load(engine(**SINGLE, crank=PLACES + '\nthrow_unbalance = "0 g mm"'))
    assert force(with_it, "main 1")[0] == pytest.approx(force(without, "main 1")[0])
    more = [a - b for a, b in zip(force(with_it, "main 2"), force(without, "main 2"), strict=True)]
    turn = with_it.angle_rad + math.pi / 2.0
    assert more[0] == pytest.approx(0.1 * OMEGA**2 * np.cos(turn), abs=1e-6)
    assert more[1] == pytest.approx(0.1 * OMEGA**2 * np.sin(turn), abs=1e-6)


def test_rods_side_by_side_load_their_mains_unlike() -> None:
    places = 'main_places = ["0 mm", "100 mm"]\nthrow_places = ["50 mm"]\n'
    apart = full_load(engine(**TWIN, crank=places + 'rod_places = ["40 mm", "60 mm"]'))
    together = full_load(engine(**TWIN, crank=places))
    assert not any("Rods that share" in one for one in apart.assumptions)
    sizes = [[one.bearing(f"main {n}").largest_n for n in (1, 2)] for one in (apart, together)]
    fired = int(np.argmax(force(together, "rod 1")[0]))
    main1, main2 = (force(apart, f"main {n}")[0][fired] for n in (1, 2))
    assert abs(main1) > 1.2 * abs(main2)  # cylinder 1 stands nearer to main 1
    assert sizes[0] != pytest.approx(sizes[1])


def test_an_end_of_the_rod_that_was_not_weighed_is_the_rest_and_it_is_said() -> None:
    whole = full_load(engine(**SINGLE))
    for key, words in (
        ("rod_small_end", "small end's mass is that of the rod less"),
        ("rod_big_end", "big end's mass is that of the rod less"),
        ("rod", "rod's mass is that of its two ends"),
    ):
        found = full_load(engine(**SINGLE, without=[key]))
        assert force(found, "rod 1")[0] == pytest.approx(force(whole, "rod 1")[0])
        assert any(words in one for one in found.assumptions)


def test_what_a_bearing_is_told_with_its_load() -> None:
    loads = full_load(engine())
    rod, main = loads.bearing("rod 3"), loads.bearing("main 5")
    assert (rod.title, rod.fit_key, rod.number) == ("big end 3", "rod_bearing", 3)
    assert (main.title, main.fit_key, main.number) == ("main bearing 5", "main_bearing", 5)
    assert (rod.diameter_m, main.diameter_m) == (pytest.approx(0.070), pytest.approx(0.080))
    assert (rod.data.groove, main.data.groove) == (Groove.NONE, Groove.HALF)
    own = (rod.data.journal_temperature_over_oil_k, rod.data.housing_temperature_over_oil_k)
    assert own == HEAT_OVER_OIL_K["rod"]
    assert rod.specific_load_pa == pytest.approx(rod.largest_n / (0.070 * 0.040))
    words = " ".join(loads.assumptions)
    assert "big ends are taken without groove" in words
    assert "main bearings are taken without groove" not in words
    assert words.count("rule of thumb") == 5  # four temperatures, and the counterweights
    with pytest.raises(KeyError):
        loads.bearing("rod 5")


def test_temperatures_that_the_file_gives_are_no_rule_of_thumb() -> None:
    bearings = BEARINGS.replace(
        "[bearings.rod]", '[bearings.rod]\njournal_over_oil = "0 K"\nhousing_over_oil = "-3 K"'
    )
    found = full_load(engine(bearings=bearings))
    data = found.bearing("rod 1").data
    assert (data.journal_temperature_over_oil_k, data.housing_temperature_over_oil_k) == (0.0, -3.0)
    assert not any("of the big ends are taken" in one and "K" in one for one in found.assumptions)


def test_the_swing_of_the_rod_is_in_the_speed_of_the_pin() -> None:
    history = full_load(engine()).bearing("rod 1").history
    assert history.journal_speed_rad_s.max() == pytest.approx(OMEGA * (1 + R / L), rel=1e-6)
    main = full_load(engine()).bearing("main 1").history
    assert np.all(main.journal_speed_rad_s == OMEGA)


@pytest.mark.parametrize("pressed", ['mean_pressure = "8 bar"', 'peak_pressure = "50 bar"'])
def test_a_built_in_cycle_says_so_and_meets_what_is_set(pressed: str) -> None:
    duty = DUTY.replace('peak_pressure = "50 bar"', pressed)
    loads = full_load(engine(**SINGLE, duty=duty), steps_per_turn=1440)
    assert any(one.startswith(FILM_NOT) for one in loads.assumptions)
    assert not any("fills at" in one for one in loads.assumptions)
    if "mean" in pressed:
        work = np.trapezoid(loads.torque_n_m, loads.angle_rad)
        assert work / (AREA * 2 * R) == pytest.approx(8e5, rel=1e-4)


def trace_of(step: int, *, gap: Sequence[int] = ()) -> str:
    rows = [
        f"{angle},{1 + 30 * math.exp(-(((angle - 10) / 40) ** 2)):.5f}"
        for angle in range(-360, 361, step)
        if angle not in gap
    ]
    return "angle [deg],pressure [bar]\n" + "\n".join(rows) + "\n"


def traced() -> Engine:
    duty = DUTY.replace('peak_pressure = "50 bar"', 'pressure_trace = "p.csv"')
    return engine(**SINGLE, duty=duty, without=["compression_ratio"])


def test_a_measured_trace_is_taken_from_beside_the_file(tmp_path: Path) -> None:
    (tmp_path / "p.csv").write_text(trace_of(2), encoding="utf-8")
    loads = engine_loads(engine=traced(), condition="full load", folder=tmp_path)
    assert not any(one.startswith(FILM_NOT) for one in loads.assumptions)
    found = loads.bearing("rod 1")
    gas = found.history.force_x_n - found.without_gas.force_x_n
    assert gas.max() == pytest.approx(30e5 * AREA, rel=2e-3)


def test_a_trace_with_a_gap_is_told_with_its_name(tmp_path: Path) -> None:
    (tmp_path / "p.csv").write_text(trace_of(2, gap=range(20, 60)), encoding="utf-8")
    with pytest.raises(InputError, match=r"p\.csv.*no point between 18° and 60°"):
        engine_loads(engine=traced(), condition="full load", folder=tmp_path)


def test_a_trace_that_is_not_there_is_told_with_its_line(tmp_path: Path) -> None:
    for folder in (None, tmp_path):
        with pytest.raises(InputError, match=r"line \d+, duty.*pressure_trace.*not beside"):
            engine_loads(engine=traced(), condition="full load", folder=folder)


def test_a_condition_that_the_file_does_not_have_is_told_with_those_it_has() -> None:
    with pytest.raises(InputError, match=r"engine file has full load; did you mean 'full load'"):
        engine_loads(engine=engine(), condition="full laod")
    with pytest.raises(InputError, match=r"the engine file has none.*duty.conditions"):
        engine_loads(engine=engine(duty=""), condition="full load")


def test_all_that_is_missing_is_listed_at_once() -> None:
    made = engine(without=["rod_length", "pin"], bearings="", duty=DUTY.replace("50 bar", "50 bar"))
    with pytest.raises(InputError) as caught:
        full_load(made)
    places = [fault.where.column for fault in caught.value.faults]
    assert places == [
        "[crank_train] rod_length",
        "[crank_train] pin",
        "[bearings.rod] width",
        "[bearings.main] width",
    ]
    assert "weigh it" in str(caught.value)


def test_no_oil_is_needed_for_the_loads() -> None:
    assert full_load(engine(oil="")).bearings


def test_a_firing_order_that_does_not_fit_is_told_with_its_line() -> None:
    made = engine(order=(1, 4, 2, 3))
    with pytest.raises(
        InputError, match=r"line 7, layout.firing_order: given 'firing order 1-4-2-3'; it does not"
    ):
        full_load(made)


def test_masses_that_do_not_add_up_are_told_with_their_place() -> None:
    made = engine(**SINGLE)
    train = replace(made.running.crank_train, rod_kg=3.2)
    with pytest.raises(InputError, match=r"crank_train\.rod: .*add up to the whole rod"):
        full_load(with_train(made, train))


def test_a_peak_that_compression_alone_reaches_is_told_with_its_place() -> None:
    made = engine(**SINGLE, duty=DUTY.replace('"50 bar"', '"12 bar"'))
    with pytest.raises(InputError, match=r"line 44, .*peak_pressure: .*compression alone reaches"):
        full_load(made)


def test_a_mean_pressure_that_takes_no_burning_is_told_with_its_place() -> None:
    made = engine(**SINGLE)
    condition = replace(made.running.conditions[0], peak_pressure_pa=None, mean_pressure_pa=-1e6)
    made = replace(made, running=replace(made.running, conditions=(condition,)))
    with pytest.raises(InputError, match=r"full load\.mean_pressure: .*without any burning"):
        full_load(made)


def test_a_rod_too_short_is_refused_with_its_place() -> None:
    made = engine(**SINGLE)
    train = replace(made.running.crank_train, rod_length_m=0.07)
    with pytest.raises(InputError, match=r"crank_train\.rod_length: .*rod has to be longer"):
        full_load(with_train(made, train))


@pytest.mark.parametrize("steps", [0, 23, 3601])
def test_steps_that_cannot_be_are_refused(steps: int) -> None:
    with pytest.raises(InputError, match="24 to 3600 steps"):
        full_load(engine(), steps_per_turn=steps)


USUAL = [
    *((LayoutKind.IN_LINE, n) for n in range(1, 7)),
    (LayoutKind.V, 2),
    (LayoutKind.V, 8),
    (LayoutKind.FLAT, 2),
    (LayoutKind.FLAT, 4),
]


@pytest.mark.parametrize(("kind", "cylinders"), USUAL)
def test_an_engine_as_usually_laid_out_has_its_loads(kind: LayoutKind, cylinders: int) -> None:
    """From a new file's layout; two turns shared out evenly from three cylinders on."""
    new = write_skeleton(answers=SkeletonAnswers(kind=kind, cylinders=cylinders))
    made = engine()
    usual = read_engine(new, file="new.toml").layout
    features = {key: replace(one, count=cylinders + 1) for key, one in made.features.items()}
    loads = full_load(replace(made, layout=usual, features=features))
    assert len(loads.bearings) == cylinders + usual.main_bearings
    if cylinders > 2:
        steps = np.diff([one.angle_rad for one in loads.firings])
        assert np.degrees(steps) == pytest.approx(720.0 / cylinders)
    assert not any("anticlockwise" in one for one in loads.assumptions)


@pytest.mark.parametrize("name", ["four", "three_diesel", "v_twin"])
@pytest.mark.parametrize("condition", ["hot idle", "full load", "top speed"])
def test_the_demo_engines_stay_within_what_shells_carry(name: str, condition: str) -> None:
    """Tribology Handbook A11 (READ): up to 51.7 MPa for automotive shells; 0 is no load at all."""
    made = read_engine((DEMO / f"{name}.toml").read_text("utf-8"), file=name)
    loads = engine_loads(engine=made, condition=condition)
    assert all(1e6 < one.specific_load_pa < 51.7e6 for one in loads.bearings)
    assert loads.torque_n_m.mean() > 0.0
    assert not any("rule of thumb" in one for one in loads.assumptions)
