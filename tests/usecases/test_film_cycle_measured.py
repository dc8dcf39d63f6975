"""What a film takes from a judgement: clearance, its uncertainty, the form; and what it refuses."""

from __future__ import annotations

import math
from typing import Any

import pytest

from oilwedge.film.film_shape import FilmShape
from oilwedge.fits.verdict import State
from oilwedge.metrology.reading import Bound
from oilwedge.usecases.film_cycle_measured import (
    MeasuredBearing,
    Unmeasured,
    measured_bearing,
    shape_gap_m,
)

Bench = Any  # the fixture of conftest.py
UM = 1e-6


def found(bench: Bench, number: int = 1, **change: Any) -> MeasuredBearing | Unmeasured:
    options: dict[str, Any] = {"fit_key": "rod_bearing", "number": number, "width_m": 0.02} | change
    return measured_bearing(judgement=bench.judge(), **options)


def measured(bench: Bench, number: int = 1, **change: Any) -> MeasuredBearing:
    one = found(bench, number, **change)
    assert isinstance(one, MeasuredBearing)
    return one


def reason(bench: Bench, number: int = 1, **change: Any) -> str:
    one = found(bench, number, **change)
    assert isinstance(one, Unmeasured)
    return one.why


def test_clearance_is_that_of_the_judgement_with_its_uncertainty(bench: Bench) -> None:
    bench.journal(1, 47.972)
    bench.bore(1, 48.010)
    one = measured(bench)
    mean = bench.result("rod_bearing", 1).measurement.evidence.mean
    assert one.clearance_m == pytest.approx(38 * UM)
    assert one.clearance_u_m == pytest.approx(mean.standard_uncertainty)
    assert one.state is State.RIGHT
    assert one.mid_limit_m == pytest.approx(35 * UM)  # of 0.021 to 0.049 mm in its file


def test_bearing_with_limits_of_its_own_has_a_middle_of_its_own(bench: Bench) -> None:
    for number in (1, 3):
        bench.read("main_gauge", number, 0.050)
    ordinary = measured(bench, 1, fit_key="main_bearing")
    own = measured(bench, 3, fit_key="main_bearing")
    assert ordinary.mid_limit_m == pytest.approx(38 * UM)
    assert own.mid_limit_m == pytest.approx(58 * UM)


def test_bearing_nobody_read_is_not_measured(bench: Bench) -> None:
    assert reason(bench) == "not measured"


def test_readings_that_disagree_give_no_clearance(bench: Bench) -> None:
    bench.journal(2, 47.955)
    bench.bore(2, 48.010)
    bench.read("rod_strip", 2, 0.025, "front", instrument="narrow")
    assert "disagree" in reason(bench, 2)


def test_one_sided_reading_gives_no_clearance(bench: Bench) -> None:
    bench.read("rod_strip", 3, 0.025, "front", instrument="narrow", bound=Bound.AT_MOST)
    assert "only at least or at most" in reason(bench, 3)


def test_failed_zero_check_gives_no_clearance(bench: Bench) -> None:
    bench.journal(1, 47.972)
    bench.bore(1, 48.010)
    bench.zero("bore", "failed")
    assert "zero check" in reason(bench)


def test_parts_that_overlap_build_no_film(bench: Bench) -> None:
    bench.journal(1, 48.000)
    bench.bore(1, 47.995)
    assert "no clearance" in reason(bench)


def test_fit_that_the_engine_does_not_have_is_told(bench: Bench) -> None:
    assert "no oil clearance" in reason(bench, fit_key="cam_bearing_of_another")


def test_taper_counts_front_less_rear_over_the_shell(bench: Bench) -> None:
    bench.journal(1, 47.972, taper_mm=0.016)  # thicker at the rear
    bench.bore(1, 48.010)
    taper_m = measured(bench).shape.journal_taper_m
    assert taper_m == pytest.approx(-16 * UM, rel=0.05)


def test_form_read_over_more_than_the_shell_counts_by_the_shell(bench: Bench) -> None:
    bench.journal(1, 47.972, taper_mm=0.016)
    bench.bore(1, 48.010)
    length_m = bench.engine.features["rod_journal"].length_m
    whole = measured(bench, width_m=1.0).shape.journal_taper_m
    assert length_m is not None
    half = measured(bench, width_m=0.5 * length_m).shape.journal_taper_m
    assert half == pytest.approx(0.5 * whole, rel=0.1)


def test_bore_that_follows_the_journal_leaves_no_taper(bench: Bench) -> None:
    bench.journal(1, 47.972, taper_mm=0.016)
    for place, side in (("front", -1), ("rear", 1)):
        bench.read("rod_shell_bore", 1, 48.010 + side * 0.008, place, "square", instrument="bore")
    width_m = 1.0  # both over their whole length
    assert abs(measured(bench, width_m=width_m).shape.journal_taper_m) < 4 * UM


def test_round_straight_parts_have_no_form(bench: Bench) -> None:
    bench.journal(1, 47.972)
    bench.bore(1, 48.010)
    shape = measured(bench).shape
    assert shape.journal_taper_m == pytest.approx(0.0)
    assert shape.journal_out_of_round_m == pytest.approx(0.0)
    assert shape.is_round


def test_oval_journal_knows_where_it_is_high(bench: Bench) -> None:
    for place in ("front", "rear"):
        bench.read("rod_journal", 1, 47.980, place, "along", instrument="mic")
        bench.read("rod_journal", 1, 47.968, place, "across", instrument="mic")
    bench.bore(1, 48.010)
    shape = measured(bench).shape
    assert shape.journal_out_of_round_m == pytest.approx(12 * UM, rel=0.1)
    assert shape.journal_high_angle_rad == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize(
    ("high", "angle_deg"), [("along", 0.0), ("right 45", 45.0), ("across", 90.0)]
)
def test_an_oval_is_high_in_the_direction_in_which_it_reads_most(
    bench: Bench, high: str, angle_deg: float
) -> None:
    """Read at 0°, 45° and 90°: a + c cos 2θ + s sin 2θ, solved by hand for 12 µm out of round."""
    sizes = {"along": 47.974, "right 45": 47.974, "across": 47.974} | {high: 47.980}
    if high != "right 45":
        sizes[{"along": "across", "across": "along"}[high]] = 47.968
    for place in ("front", "rear"):
        for way, size in sizes.items():
            bench.read("rod_journal", 1, size, place, way, instrument="mic")
    bench.bore(1, 48.010)
    shape = measured(bench).shape
    assert shape.journal_out_of_round_m == pytest.approx(12 * UM, rel=0.1)
    apart = shape.journal_high_angle_rad - math.radians(angle_deg)
    assert math.remainder(apart, math.pi) == pytest.approx(0.0, abs=1e-6)


def test_a_barrel_read_over_more_than_the_shell_counts_by_the_square(bench: Bench) -> None:
    """A parabola over half the length is a quarter as high."""
    for place, size in (("front", 47.964), ("middle", 47.980), ("rear", 47.964)):
        for way in ("along", "across"):
            bench.read("rod_journal", 1, size, place, way, instrument="mic")
    bench.bore(1, 48.010)
    length_m = bench.engine.features["rod_journal"].length_m
    assert length_m is not None
    whole = measured(bench, width_m=1.0).shape.journal_barrel_m
    half = measured(bench, width_m=0.5 * length_m).shape.journal_barrel_m
    assert whole == pytest.approx(16 * UM, rel=0.05)
    assert half == pytest.approx(4 * UM, rel=0.1)


def test_relief_of_the_shells_goes_along_and_makes_no_narrow_gap(bench: Bench) -> None:
    bench.journal(1, 47.972)
    bench.bore(1, 48.010)
    shape = measured(bench, bore_relief_m=12 * UM).shape
    assert shape.bore_relief_m == pytest.approx(12 * UM)
    assert shape.split_angle_rad == pytest.approx(math.pi / 2)
    assert shape_gap_m(shape) == 0.0


@pytest.mark.parametrize(
    ("shape", "narrower_um"),
    [
        (FilmShape(journal_taper_m=8 * UM), 2.0),  # a quarter of it, at one end
        (FilmShape(journal_taper_m=-8 * UM), 2.0),
        (FilmShape(journal_out_of_round_m=8 * UM), 2.0),
        (FilmShape(journal_barrel_m=6 * UM), 1.0),  # in the middle: half, less its own mean
        (FilmShape(journal_barrel_m=-6 * UM), 2.0),  # hourglass: at the ends
    ],
)
def test_narrowest_gap_follows_from_the_form(shape: FilmShape, narrower_um: float) -> None:
    assert shape_gap_m(shape) == pytest.approx(narrower_um * UM, rel=1e-6)
