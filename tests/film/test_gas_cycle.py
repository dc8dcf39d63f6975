"""The built-in cycle: what was set comes out, and its limits are the textbook's."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from oilwedge.errors import InputError
from oilwedge.film.gas_cycle import (
    GasCycle,
    cycle_for_mean_pressure,
    cycle_for_peak_pressure,
    four_stroke_cycle,
    two_stroke_cycle,
)
from oilwedge.film.gas_pressure import (
    PressureTrace,
    Strokes,
    indicated_mean_effective_pressure_pa,
)
from oilwedge.film.kinematics import SliderCrank, motion

CRANK = SliderCrank(throw_m=0.04, rod_length_m=0.14)
cycles = st.sampled_from(
    [four_stroke_cycle(compression_ratio=9.5), two_stroke_cycle(compression_ratio=8.0)]
)


@given(cycle=cycles, peak=st.floats(45e5, 120e5), offset=st.floats(-0.01, 0.01))
def test_the_peak_pressure_is_the_one_that_was_set(
    cycle: GasCycle, peak: float, offset: float
) -> None:
    crank = SliderCrank(throw_m=0.04, rod_length_m=0.14, offset_m=offset)
    trace = cycle_for_peak_pressure(cycle=cycle, crank=crank, peak_pressure_pa=peak)
    assert trace.peak_pressure_pa == pytest.approx(peak, rel=1e-12)
    assert -30.0 < math.degrees(trace.peak_angle_rad) < 60.0
    assert trace.pressure_pa.min() > 0.0


@given(cycle=cycles, mean=st.floats(5e5, 20e5), offset=st.floats(-0.01, 0.01))
def test_the_mean_effective_pressure_is_the_one_that_was_set(
    cycle: GasCycle, mean: float, offset: float
) -> None:
    crank = SliderCrank(throw_m=0.04, rod_length_m=0.14, offset_m=offset)
    trace = cycle_for_mean_pressure(cycle=cycle, crank=crank, mean_pressure_pa=mean)
    found = indicated_mean_effective_pressure_pa(trace=trace, crank=crank)
    assert found == pytest.approx(mean, rel=2e-5)


def volume_share(trace: PressureTrace, ratio: float) -> np.ndarray:
    """Volume over clearance volume at the trace's points."""
    travel = motion(crank=CRANK, angle_rad=trace.angle_rad, speed_rad_s=1.0).piston_travel_m
    return np.asarray(1.0 + travel / 0.08 * (ratio - 1.0))


def test_compression_is_polytropic_from_the_closing_of_the_inlet() -> None:
    cycle = four_stroke_cycle(compression_ratio=9.5)
    trace = cycle_for_peak_pressure(cycle=cycle, crank=CRANK, peak_pressure_pa=60e5)
    before = (trace.angle_rad > math.radians(-139.9)) & (trace.angle_rad < math.radians(-20.1))
    constant = trace.pressure_pa * volume_share(trace, 9.5) ** 1.35
    assert np.ptp(constant[before]) / constant[before].mean() < 1e-9
    assert float(trace.at(math.radians(-140.0))) == pytest.approx(100_000.0, rel=1e-3)


def test_the_heat_that_the_pressure_tells_of_is_released_after_wiebe() -> None:
    # backwards, with plain differences: Q x' = (V p' + n p V')/(n − 1) for one Q at all angles
    cycle = four_stroke_cycle(compression_ratio=9.5)
    trace = cycle_for_peak_pressure(cycle=cycle, crank=CRANK, peak_pressure_pa=60e5)
    burning = (trace.angle_rad > math.radians(-10.0)) & (trace.angle_rad < math.radians(25.0))
    share = (trace.angle_rad[burning] - math.radians(-20.0)) / math.radians(55.0)
    x = 1.0 - np.exp(-5.0 * share**3)
    rate = 15.0 * share**2 * (1.0 - x)
    n = 1.35 - 0.05 * x
    volume = volume_share(trace, 9.5)
    pressure_rate = np.gradient(trace.pressure_pa, trace.angle_rad)[burning]
    volume_rate = np.gradient(volume, trace.angle_rad)[burning]
    power = volume[burning] * pressure_rate + n * trace.pressure_pa[burning] * volume_rate
    heat = power / (n - 1.0) / rate
    assert np.ptp(heat) / heat.mean() < 1e-3


def test_expansion_is_polytropic_when_all_has_burnt() -> None:
    cycle = four_stroke_cycle(compression_ratio=9.5)
    trace = cycle_for_peak_pressure(cycle=cycle, crank=CRANK, peak_pressure_pa=60e5)
    after = (trace.angle_rad > math.radians(60.0)) & (trace.angle_rad < math.radians(129.9))
    constant = trace.pressure_pa * volume_share(trace, 9.5) ** 1.30
    assert np.ptp(constant[after]) / constant[after].mean() < 1e-3


@pytest.mark.parametrize("ratio", [6.0, 10.0, 18.0])
def test_burning_at_once_at_top_dead_centre_is_the_ideal_constant_volume_cycle(
    ratio: float,
) -> None:
    # Textbook: mean pressure = (p₃ − p₂)(1 − ε^(1−γ))/((γ − 1)(ε − 1)); here the burn takes 1°
    gamma, inlet = 1.4, 1e5
    cycle = GasCycle(
        strokes=Strokes.FOUR,
        compression_ratio=ratio,
        inlet_pressure_pa=inlet,
        exhaust_pressure_pa=inlet,
        compression_exponent=gamma,
        expansion_exponent=gamma,
        burn_start_rad=math.radians(-0.6),
        burn_duration_rad=math.radians(1.0),
        closing_rad=-math.pi,
        opening_rad=math.pi,
        blowdown_rad=math.radians(0.5),
    )
    before, peak = inlet * ratio**gamma, 80e5
    if before > peak:
        peak = 2.0 * before
    trace = cycle_for_peak_pressure(cycle=cycle, crank=CRANK, peak_pressure_pa=peak)
    ideal = (peak - before) * (1.0 - ratio ** (1.0 - gamma)) / ((gamma - 1.0) * (ratio - 1.0))
    found = indicated_mean_effective_pressure_pa(trace=trace, crank=CRANK)
    assert found == pytest.approx(ideal, rel=5e-3)


def test_gas_exchange_of_a_four_stroke_engine_stands_at_exhaust_then_at_inlet_pressure() -> None:
    cycle = replace(
        four_stroke_cycle(compression_ratio=10.0),
        inlet_pressure_pa=60_000.0,
        exhaust_pressure_pa=110_000.0,
    )
    trace = cycle_for_peak_pressure(cycle=cycle, crank=CRANK, peak_pressure_pa=40e5)
    at = trace.at(np.radians([200.0, 300.0, 344.0, 360.0, 376.0, 450.0, 579.0]))
    expected = [110e3, 110e3, 110e3, 85e3, 60e3, 60e3, 60e3]
    np.testing.assert_allclose(at, expected, rtol=2e-4)


@pytest.mark.parametrize("ratio", [7.0, 12.0])
def test_no_built_in_cycle_jumps(ratio: float) -> None:
    for cycle in (
        four_stroke_cycle(compression_ratio=ratio),
        two_stroke_cycle(compression_ratio=ratio),
    ):
        trace = cycle_for_peak_pressure(cycle=cycle, crank=CRANK, peak_pressure_pa=70e5)
        around = np.append(trace.pressure_pa, trace.pressure_pa[0])
        # in steps of 0.1°
        assert np.abs(np.diff(np.log(around))).max() < 0.012


def test_a_peak_below_compression_and_a_mean_below_motoring_are_refused() -> None:
    cycle = four_stroke_cycle(compression_ratio=10.0)
    with pytest.raises(InputError, match="compression alone reaches"):
        cycle_for_peak_pressure(cycle=cycle, crank=CRANK, peak_pressure_pa=10e5)
    with pytest.raises(InputError, match="without any burning"):
        cycle_for_mean_pressure(cycle=cycle, crank=CRANK, mean_pressure_pa=-5e5)


@pytest.mark.parametrize(
    ("field", "value", "words"),
    [
        ("compression_ratio", 1.0, "between 1 and 50"),
        ("inlet_pressure_pa", 0.0, "absolute, above 0"),
        ("expansion_exponent", 1.0, "exponents lie above 1"),
        ("burn_duration_rad", 0.0, "durations"),
        ("burn_start_rad", 2.5, "closes, burns and opens"),
        ("blowdown_rad", 5.0, "before the gas exchange ends"),
    ],
)
def test_a_cycle_that_cannot_be_is_refused(field: str, value: float, words: str) -> None:
    with pytest.raises(InputError, match=words):
        replace(four_stroke_cycle(compression_ratio=9.0), **{field: value})  # type: ignore[arg-type]
