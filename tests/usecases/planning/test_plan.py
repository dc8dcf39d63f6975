"""What to measure, with what, in which order."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

import pytest

from oilwedge.engine.catalogue import catalogue
from oilwedge.engine.layout import Caps, Layout, LayoutKind, Throw
from oilwedge.engine.model import Engine, FitLimits, Marks
from oilwedge.metrology.instrument import Instrument, InstrumentKind, Strip
from oilwedge.report.document import Text
from oilwedge.report.terminal import render_terminal
from oilwedge.shop.model import DEFAULT_SHOP
from oilwedge.uncertainty.conformity import DecisionRule
from oilwedge.usecases.planning.document import plan_document
from oilwedge.usecases.planning.instruments import Capability, check_ways, one_reading, room_m
from oilwedge.usecases.planning.plan import Depth, Plan, Stage, make_plan, stage_of
from oilwedge.usecases.planning.resolving import refusal_sentences, ways_table
from oilwedge.usecases.planning.strips import strip_advice
from oilwedge.usecases.planning.words import (
    checks_for,
    degrees_text,
    instrument_text,
    mark_rows,
    numbers_text,
)

UM = 1e-6


def throws(*angles_deg: float) -> tuple[Throw, ...]:
    return tuple(Throw(angle_deg=a, rods=(i,)) for i, a in enumerate(angles_deg, start=1))


LAYOUT = Layout(
    kind=LayoutKind.IN_LINE,
    cylinders=4,
    firing_order=(1, 2, 3, 4),
    throws=throws(0, 180, 180, 0),
    bank_angle_deg=(0.0,) * 4,
    main_bearings=5,
)


@dataclass(frozen=True)
class Workshop:
    instruments: Mapping[str, Instrument]
    strips: Mapping[str, Strip]


def four(**limits_um: tuple[float | None, float | None, float | None]) -> Engine:
    """An invented in-line four with the named fits: low, high, service limit in micrometres."""
    sizes_mm = {
        "rod_journal": 47.98,
        "main_journal": 54.98,
        "rod_shell_bore": 48.015,
        "main_shell_bore": 55.015,
        "rod_housing_bore": 51.0,
        "rod_upper_wall": 1.49,
        "rod_lower_wall": 1.49,
    }
    known = catalogue()

    def metres(value_um: float | None) -> float | None:
        return None if value_um is None else value_um * UM

    fits = {
        key: replace(
            known.fits[key],
            count=LAYOUT.count(known.fits[key].per),
            low_m=metres(low),
            high_m=metres(high),
            service_high_m=metres(service),
        )
        for key, (low, high, service) in limits_um.items()
    }
    wanted = {feature for fit in fits.values() for feature in fit.features}
    features = {
        key: replace(
            feature,
            count=LAYOUT.count(feature.per),
            nominal_m=sizes_mm[key] * 1e-3 if key in sizes_mm else None,
        )
        for key, feature in known.features.items()
        if key in wanted
    }
    return Engine(
        name="Invented four",
        format=1,
        rule=DecisionRule.SIMPLE,
        layout=LAYOUT,
        features=features,
        fits=fits,
        marks=Marks(front="timing case", pistons="arrow to the front"),
    )


def micrometer(key: str, low_mm: float, high_mm: float, error_um: float = 3) -> Instrument:
    return Instrument(
        key=key,
        title=f"micrometer {key}",
        kind=InstrumentKind.MICROMETER,
        resolution_m=1 * UM,
        permissible_error_m=error_um * UM,
        range_low_m=low_mm * 1e-3,
        range_high_m=high_mm * 1e-3,
    )


def bore_gauge(*, set_in: str, resolution_um: float = 1) -> Instrument:
    return Instrument(
        key="gauge",
        title="bore gauge 35 to 60",
        kind=InstrumentKind.BORE_GAUGE,
        resolution_m=resolution_um * UM,
        permissible_error_m=2 * UM,
        set_in=set_in,
        range_low_m=35e-3,
        range_high_m=60e-3,
    )


CALIPER = Instrument(
    key="caliper",
    title="caliper 150",
    kind=InstrumentKind.CALIPER,
    resolution_m=10 * UM,
    permissible_error_m=30 * UM,
    range_low_m=0.0,
    range_high_m=0.15,
)
FINE = Strip(key="fine", title="fine strip", low_m=25 * UM, high_m=76 * UM)


def workshop(*instruments: Instrument, strips: tuple[Strip, ...] = ()) -> Workshop:
    return Workshop(
        instruments={one.key: one for one in instruments},
        strips={one.key: one for one in strips},
    )


ROD = {"rod_bearing": (21.0, 49.0, 60.0)}
GOOD = workshop(micrometer("25-50", 25, 50), bore_gauge(set_in="25-50"), CALIPER, strips=(FINE,))


def document_text(plan: Plan, unit: str = "mm") -> str:
    text = render_terminal(plan_document(plan=plan, unit=unit))
    return " ".join(text.split())


def test_a_gauge_set_in_the_journals_micrometer_drops_that_ones_error() -> None:
    """Worked by hand: two resolutions 1/√12 and the gauge's own 2/√3, k 1.95996 (in µm)."""
    (check, *_) = check_ways(engine=four(**ROD), shop=GOOD)
    by_hand = 1.959964 * math.sqrt(2 * (1 / 12) + (2 / math.sqrt(3)) ** 2) * UM
    assert check.expanded_m == pytest.approx(by_hand, rel=1e-6)
    assert check.room_m == pytest.approx(14 * UM)


def test_two_micrometers_that_are_not_the_same_do_not_cancel() -> None:
    """The bore of 48.015 mm is set in one micrometer, the journal read with another (in µm)."""
    shop = workshop(micrometer("a", 25, 48), micrometer("b", 48, 60), bore_gauge(set_in="b"))
    (check, *_) = check_ways(engine=four(**ROD), shop=shop)
    u_squared = 2 / 12 + (2**2 + 3**2 + 3**2) / 3
    assert check.expanded_m == pytest.approx(1.959964 * math.sqrt(u_squared) * UM, rel=1e-6)


def test_the_ratio_names_what_it_can_do() -> None:
    room = 14 * UM
    (check, *_) = check_ways(engine=four(**ROD), shop=GOOD)
    for ratio, word in [
        (4.0, Capability.ENOUGH),
        (3.9, Capability.SHORT),
        (1.01, Capability.SHORT),
        (1.0, Capability.NO_USE),
        (0.2, Capability.NO_USE),
    ]:
        assert replace(check, room_m=room, expanded_m=room / ratio).capability is word


def test_the_figure_for_four_to_one_of_a_shop() -> None:
    """A window of 30 µm wants U of 3.75 µm or less for 4:1 (COMPUTED: 15/4)."""
    (check, *_) = check_ways(engine=four(rod_bearing=(20.0, 50.0, None)), shop=GOOD)
    enough = replace(check, expanded_m=3.75 * UM)
    assert enough.ratio == pytest.approx(4)


def test_below_one_upper_limit_the_room_goes_down_to_zero_for_what_cannot_be_less() -> None:
    engine = four(rod_journal_taper=(None, 6.0, None), crank_runout=(None, 30.0, None))
    rooms = [room_m(fit=f, features=engine.features) for f in engine.fits.values()]
    assert rooms == pytest.approx([6 * UM, 30 * UM])
    size = four(rod_journal_size=(None, 47.98e3, None))
    assert room_m(fit=size.fits["rod_journal_size"], features=size.features) is None


def test_the_narrowest_window_of_all_numbers_counts() -> None:
    engine = four(**ROD)
    fit = replace(
        engine.fits["rod_bearing"], exceptions={3: FitLimits(low_m=30 * UM, high_m=40 * UM)}
    )
    assert room_m(fit=fit, features=engine.features) == pytest.approx(5 * UM)


def test_a_caliper_is_named_before_anyone_measures() -> None:
    plan = make_plan(engine=four(**ROD), shop=GOOD, depth=Depth.QUICK)
    (sentence,) = [s for s in refusal_sentences(plan, "mm") if "caliper" in s]
    assert sentence.startswith("Do not take the caliper 150 for rod bearing")
    assert "±0.0140 mm" in sentence
    used = {one.instrument.key for one in plan.measurements if one.instrument}
    assert used == {"25-50", "gauge"}


def test_without_a_shop_the_stand_ins_are_called_so_and_no_ruler_is_warned_of() -> None:
    plan = make_plan(engine=four(**ROD), shop=DEFAULT_SHOP, depth=Depth.QUICK)
    said = " ".join(render_terminal(plan_document(plan=plan, unit="mm")).split())
    assert "No instrument of your own is listed" in said
    assert "Do not take a caliper for rod bearing" in said
    assert "ruler" not in said


def test_a_girdle_comes_off_in_one_piece_and_so_do_its_strips() -> None:
    engine = four(**ROD)
    girdled = replace(engine, layout=replace(engine.layout, caps=Caps.GIRDLE))
    assert any("Each main cap in turn" in one for one in checks_for(Stage.CRANK_IN, engine))
    assert not any("main cap" in one for one in checks_for(Stage.CRANK_IN, girdled))
    assert any("the girdle on at full torque" in one for one in checks_for(Stage.CRANK_IN, girdled))


def flat_twin() -> Engine:
    engine = four(**ROD)
    twin = Layout(
        kind=LayoutKind.FLAT,
        cylinders=2,
        firing_order=(1, 2),
        throws=throws(0, 180),
        bank_angle_deg=(90.0, -90.0),
        main_bearings=3,
    )
    return replace(engine, layout=twin)


def test_the_crank_of_a_flat_engine_lies_in_one_half_of_its_case() -> None:
    """Common practice, no source: a split case is not inverted, its halves come apart."""
    said = " ".join(checks_for(Stage.CRANK_IN, flat_twin()))
    assert "Crankcase halves apart" in said
    assert "the crank lying in that half's shells" in said
    assert "the other half of the case, or the caps, on at full torque" in said
    assert "inverted" not in said
    assert "Engine inverted" in " ".join(checks_for(Stage.CRANK_IN, four(**ROD)))


@pytest.mark.parametrize(
    ("angle_deg", "text"),
    [(22.5, "22.5°"), (90.0, "90°"), (0.0, "0°"), (360.0, "360°"), (1 / 3, "0.3°")],
)
def test_an_angle_keeps_its_half_degree(angle_deg: float, text: str) -> None:
    assert degrees_text(angle_deg) == text


def test_the_stops_of_a_crank_say_half_degrees() -> None:
    engine = four(**ROD)
    odd = replace(engine, layout=replace(LAYOUT, throws=throws(0, 112.5, 180, 292.5)))
    assert "112.5°" in document_text(make_plan(engine=odd, shop=GOOD, depth=Depth.QUICK))


@pytest.mark.parametrize(
    ("instrument", "said"),
    [
        (
            CALIPER,
            "No instrument on the list is fine enough for rod bearing. Borrow or buy a finer",
        ),
        (
            micrometer("0-25", 0, 25),
            "No instrument on the list is of the kind and range for rod bearing. Borrow or buy one",
        ),
    ],
)
def test_too_coarse_is_told_from_none_that_fits(instrument: Instrument, said: str) -> None:
    plan = make_plan(engine=four(**ROD), shop=workshop(instrument), depth=Depth.QUICK)
    (found,) = [s for s in refusal_sentences(plan, "mm") if s.startswith("No instrument")]
    assert found.startswith(said)


def test_an_empty_list_asks_for_an_instrument_of_the_size() -> None:
    plan = make_plan(engine=four(**ROD), shop=workshop(), depth=Depth.QUICK)
    words = [instrument_text(one, "mm") for one in plan.measurements]
    assert "none on the list: a micrometer for 47.980 mm is needed" in words


def test_a_micrometer_out_of_range_is_not_taken() -> None:
    plan = make_plan(
        engine=four(**ROD), shop=workshop(micrometer("0-25", 0, 25)), depth=Depth.QUICK
    )
    assert all(one.instrument is None for one in plan.measurements)


# --- strips ----------------------------------------------------------------------------------


def test_a_strip_from_25_um_cannot_tell_21_to_25_um_from_too_tight() -> None:
    """Common practice, no source: limits 0.021 to 0.049 mm, service 0.060 mm."""
    engine = four(**ROD)
    advice = strip_advice(fit=engine.fits["rod_bearing"], strips={"fine": FINE})
    (sentence,) = advice.shortcomings("mm")
    assert "0.021 mm to 0.025 mm from too tight" in sentence
    assert not advice.generic


def test_a_second_strip_joins_where_the_first_does_not_reach() -> None:
    engine = four(rod_bearing=(30.0, 70.0, 120.0))
    coarse = Strip(key="coarse", title="coarse strip", low_m=70 * UM, high_m=180 * UM)
    advice = strip_advice(fit=engine.fits["rod_bearing"], strips={"fine": FINE, "coarse": coarse})
    assert [one.key for one in advice.strips] == ["fine", "coarse"]
    assert advice.shortcomings("mm") == ()


def test_without_a_strip_on_the_list_the_common_one_stands_in() -> None:
    advice = strip_advice(fit=four(**ROD).fits["rod_bearing"], strips={})
    assert advice.generic
    assert advice.shortcomings("mm")


# --- the plan --------------------------------------------------------------------------------


def test_steps_stand_in_working_order() -> None:
    engine = four(**ROD, main_bearing=(18.0, 46.0, None), crank_runout=(None, 60.0, None))
    plan = make_plan(engine=engine, shop=GOOD, depth=Depth.FULL)
    stages = [step.stage for step in plan.steps]
    assert stages == [stage for stage in Stage if stage in stages]
    assert stages[:4] == [Stage.MARKS, Stage.CLEANING, Stage.WARMING, Stage.ZERO_BEFORE]
    assert stages[-2:] == [Stage.ZERO_AFTER, Stage.CLOSING]
    assert stages.index(Stage.CLEANING) < stages.index(Stage.CRANKSHAFT)


@pytest.mark.parametrize(
    ("feature", "stage"),
    [
        ("rod_journal", Stage.CRANKSHAFT),
        ("crank_runout_reading", Stage.CRANKSHAFT),
        ("main_housing_bore", Stage.HOUSINGS),
        ("rod_housing_bore", Stage.HOUSINGS),
        ("rod_upper_wall", Stage.WALLS),
        ("rod_shell_bore", Stage.SHELL_BORES),
        ("main_gauge", Stage.SHELL_BORES),
        ("cylinder_bore", Stage.CYLINDERS),
        ("small_end_bore", Stage.HOUSINGS),
        ("top_ring_gap", Stage.CYLINDERS),
        ("intake_guide", Stage.HEAD),
        ("cam_bore", Stage.HEAD),
        ("pump_tip_gap", Stage.OTHERS),
        ("main_strip", Stage.CRANK_IN),
        ("crank_end_gap", Stage.CRANK_IN),
        ("rod_strip", Stage.RODS),
        ("rod_side_gap", Stage.RODS),
        ("piston_deck_height", Stage.PISTONS),
    ],
)
def test_each_feature_has_its_step(feature: str, stage: Stage) -> None:
    assert stage_of(catalogue().features[feature]) is stage


def test_quick_takes_one_way_and_the_strip() -> None:
    plan = make_plan(engine=four(**ROD), shop=GOOD, depth=Depth.QUICK)
    assert {one.feature.key for one in plan.measurements} == {
        "rod_journal",
        "rod_shell_bore",
        "rod_strip",
    }
    journal = next(one for one in plan.measurements if one.feature.key == "rod_journal")
    assert (journal.readings_each, journal.readings) == (4, 16)


def test_full_reads_more() -> None:
    quick, full = (make_plan(engine=four(**ROD), shop=GOOD, depth=depth) for depth in Depth)
    assert full.readings > quick.readings


def test_a_fit_without_limits_is_named_and_not_in_the_quick_plan() -> None:
    engine = four(rod_side_clearance=(None, None, None), **ROD)
    plan = make_plan(engine=engine, shop=GOOD, depth=Depth.QUICK)
    assert plan.without_limits == ("rod side clearance",)
    assert "rod_side_gap" not in {one.feature.key for one in plan.measurements}


def test_a_gauge_is_set_in_a_micrometer_that_spans_the_size() -> None:
    shop = workshop(
        micrometer("25-50", 25, 50), micrometer("50-75", 50, 75), bore_gauge(set_in="25-50")
    )
    engine = four(main_bearing=(18.0, 46.0, None), **ROD)
    plan = make_plan(engine=engine, shop=shop, depth=Depth.QUICK)
    settings = {one.feature.key: one for one in plan.settings}
    assert settings["rod_shell_bore"].usual
    main = settings["main_shell_bore"]
    assert main.set_in is not None
    assert (main.set_in.key, main.usual) == ("50-75", False)


def test_the_document_says_the_marks_the_turns_and_the_cautions() -> None:
    plan = make_plan(engine=four(**ROD), shop=GOOD, depth=Depth.QUICK)
    text = document_text(plan)
    assert "maker's manual" in text
    for n in range(1, 6):
        assert f"main cap {n}" in text
    assert "arrow to the front" in text
    assert "timing case" in text
    assert "180° in the normal direction of rotation" in text
    assert "Nothing turns while a strip is in" in text
    assert "square to the split" in text
    assert "solvent" in text.lower()
    assert text.index("Clean, then look for cracks") < text.index("Measure the crankshaft")


def test_a_girdle_is_checked_as_one_part() -> None:
    engine = four(**ROD)
    girdled = replace(engine, layout=replace(engine.layout, caps=Caps.GIRDLE))
    parts = [part for part, _, _ in mark_rows(girdled)]
    assert "girdle" in parts
    assert "main cap 1" not in parts


def test_the_plan_speaks_inches_when_asked() -> None:
    plan = make_plan(engine=four(**ROD), shop=GOOD, depth=Depth.QUICK)
    text = document_text(plan, unit="in")
    assert "0.0008 to 0.0019 in" in text
    assert " mm" not in text


@pytest.mark.parametrize(
    ("numbers", "text"),
    [((1,), "1"), ((1, 4), "1 and 4"), ((1, 2, 3), "1 to 3"), ((1, 3, 5), "1, 3 and 5")],
)
def test_numbers_read_like_words(numbers: tuple[int, ...], text: str) -> None:
    assert numbers_text(numbers) == text


def test_a_ratio_is_never_rounded_up_to_a_pass() -> None:
    """Room of 14 µm over U 3.53 µm is 3.966: it must not print as 4.0:1."""
    plan = make_plan(engine=four(**ROD), shop=GOOD, depth=Depth.QUICK)
    near = replace(plan.ways[0], room_m=14 * UM, expanded_m=3.53 * UM)
    (_, row) = ways_table(replace(plan, ways=(near,)), "mm").rows
    assert row.cells[-1] == Text(text="3.9:1, short")


def test_a_zeroed_gauge_is_the_one_that_spans_the_bore() -> None:
    small = replace(bore_gauge(set_in="25-50"), key="small", range_low_m=18e-3, range_high_m=35e-3)
    shop = workshop(micrometer("25-50", 25, 50), small, bore_gauge(set_in="25-50"))
    checks = check_ways(engine=four(**ROD), shop=shop)
    zeroed = next(one for one in checks if one.features == ("rod_gauge",))
    assert [one.key for one in zeroed.instruments if one] == ["gauge"]


def test_one_reading_adds_up_what_it_is_made_of() -> None:
    """Root of the sum of squares, by hand (in µm): 2²/12 + 1.5² + 0.5² + 0.8² + 3²/3."""
    instrument = replace(
        micrometer("25-50", 25, 50),
        resolution_m=2 * UM,
        repeatability_m=1.5 * UM,
        setup_m=0.5 * UM,
        setting_m=0.8 * UM,
    )
    feature = four(**ROD).features["rod_journal"]
    reading = one_reading(feature=feature, instrument=instrument, instruments={})
    by_hand = math.sqrt(4 / 12 + 2.25 + 0.25 + 0.64 + 3)
    assert reading.standard_uncertainty == pytest.approx(by_hand * UM, rel=1e-9)


def test_form_is_the_difference_of_two_readings_of_one_instrument() -> None:
    """The instrument's own error drops out: U = 1.95996 √2 r/√12 with r = 1 µm."""
    (check,) = check_ways(engine=four(rod_journal_taper=(None, 6.0, None)), shop=GOOD)
    by_hand = 1.959964 * math.sqrt(2 / 12) * UM
    assert check.expanded_m == pytest.approx(by_hand, rel=1e-6)


def test_housing_less_walls_carries_two_walls_of_one_instrument_and_the_nip() -> None:
    """Both walls with one ball micrometer: its error counts twice over; the nip comes on top."""
    engine = four(**ROD)
    ball = replace(
        micrometer("ball", 0, 25), kind=InstrumentKind.BALL_MICROMETER, permissible_error_m=2 * UM
    )
    shop = workshop(micrometer("m", 25, 60), bore_gauge(set_in="m"), ball)
    walls = next(one for one in check_ways(engine=engine, shop=shop) if len(one.features) == 4)
    nip_um = walls.way.extra_standard_uncertainty_m / UM
    assert nip_um > 0
    u_squared = 4 / 12 + 2**2 / 3 + (2 * 2) ** 2 / 3 + nip_um**2
    assert walls.expanded_m == pytest.approx(1.959964 * math.sqrt(u_squared) * UM, rel=1e-6)


def test_full_leaves_out_a_way_that_the_list_cannot_resolve() -> None:
    """No ball micrometer on this list: the walls would have to be read with the caliper."""
    plan = make_plan(engine=four(**ROD), shop=GOOD, depth=Depth.FULL)
    keys = {one.feature.key for one in plan.measurements}
    assert {"rod_journal", "rod_shell_bore", "rod_strip"} <= keys
    assert not keys & {"rod_upper_wall", "rod_lower_wall", "rod_gauge"}
