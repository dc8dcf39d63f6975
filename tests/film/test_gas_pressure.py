"""Traces of pressure: what is taken, what is refused and why, and the work they do."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from oilwedge.errors import InputError
from oilwedge.film.gas_pressure import (
    PressureTrace,
    Strokes,
    indicated_mean_effective_pressure_pa,
    indicated_work_j,
    pressure_trace,
)
from oilwedge.film.kinematics import SliderCrank

CRANK = SliderCrank(throw_m=0.04, rod_length_m=0.14, offset_m=0.003)
DEGREES = np.arange(0.0, 720.0, 2.0)


def hump(degrees: NDArray[np.float64], *, cycle: float = 720.0) -> NDArray[np.float64]:
    """An invented trace: 1 bar, and 50 bar more 10° after firing top dead centre."""
    from_peak = np.radians((degrees - 10.0 + cycle / 2) % cycle - cycle / 2)
    return np.asarray(1e5 + 50e5 * np.exp(-8.0 * from_peak**2))


def taken(
    degrees: NDArray[np.float64],
    pressure: NDArray[np.float64],
    *,
    strokes: Strokes = Strokes.FOUR,
) -> PressureTrace:
    return pressure_trace(angle_rad=np.radians(degrees), pressure_pa=pressure, strokes=strokes)


@given(start=st.integers(-360, 360), closed=st.booleans(), angle=st.floats(-30.0, 30.0))
def test_where_a_trace_starts_and_whether_it_repeats_its_first_point_make_no_odds(
    start: int, closed: bool, angle: float
) -> None:
    shifted = start + np.arange(0.0, 720.0 + (2.0 if closed else 0.0), 2.0)
    given_one, plain = taken(shifted, hump(shifted)), taken(DEGREES, hump(DEGREES))
    here = angle + 4.0 * math.pi
    assert float(given_one.at(angle)) == pytest.approx(float(given_one.at(here)), rel=1e-9)
    if start % 2 == 0:
        assert float(given_one.at(angle)) == pytest.approx(float(plain.at(angle)), rel=1e-9)


def test_the_peak_is_where_it_was_put() -> None:
    trace = taken(DEGREES, hump(DEGREES))
    assert trace.peak_pressure_pa == pytest.approx(51e5)
    assert math.degrees(trace.peak_angle_rad) == pytest.approx(10.0)


def without(values: NDArray[np.float64], *, low: float, high: float) -> NDArray[np.float64]:
    return values[(low >= DEGREES) | (high <= DEGREES)]


@pytest.mark.parametrize(
    ("degrees", "pressure", "words"),
    [
        (without(DEGREES, low=100, high=130), None, "no point between 100° and 130°"),
        (DEGREES[:180], None, "no point between 358° and 720°"),
        (np.arange(0.0, 1440.0, 2.0), None, "one cycle of a four-stroke engine is 720°"),
        (DEGREES, hump(DEGREES) + 2e3 * DEGREES, "ends at the pressure it starts with"),
        (np.append(DEGREES, 720.0), np.append(hump(DEGREES), 1e5), "ends at the pressure"),
        (DEGREES - 360.0, hump(DEGREES), "top dead centre of firing"),
        (DEGREES, hump(DEGREES) - 1.1e5, "absolute, above 0"),
        (DEGREES[::-1], None, "rise from point to point"),
        (DEGREES, np.where(DEGREES == 40.0, math.nan, hump(DEGREES)), "point 21 of 360"),
        (DEGREES, hump(DEGREES)[:-1], "360 angles and 359 pressures"),
        (DEGREES[:2], None, "3 points at the least"),
    ],
)
def test_what_is_no_cycle_is_refused_in_one_sentence(
    degrees: NDArray[np.float64], pressure: NDArray[np.float64] | None, words: str
) -> None:
    with pytest.raises(InputError, match=words) as caught:
        taken(degrees, hump(degrees) if pressure is None else pressure)
    assert len(caught.value.faults) == 1
    assert str(caught.value).count("\n") == 0


def test_a_two_stroke_trace_is_one_turn() -> None:
    degrees = np.arange(-180.0, 180.0, 1.0)
    trace = taken(degrees, hump(degrees, cycle=360.0), strokes=Strokes.TWO)
    assert float(trace.at(0.3)) == pytest.approx(float(trace.at(0.3 + 2 * math.pi)))
    with pytest.raises(InputError, match="no point between"):
        taken(degrees, hump(degrees), strokes=Strokes.FOUR)


def test_a_pressure_that_depends_on_the_volume_alone_does_no_work() -> None:
    flat = taken(DEGREES, np.full_like(DEGREES, 2e5))
    assert indicated_work_j(trace=flat, crank=CRANK, bore_m=0.08) == pytest.approx(0.0, abs=1e-9)


def test_a_step_of_pressure_at_the_dead_centres_works_as_a_rectangle() -> None:
    # 11 bar from firing top to bottom, 1 bar for the rest: W = 10 bar × swept volume
    crank = SliderCrank(throw_m=0.04, rod_length_m=0.14)
    degrees = np.array([0.0, 1e-4, *np.arange(1.0, 180.0), 180.0 - 1e-4, *np.arange(180.0, 720.0)])
    pressure = np.where((degrees > 0.0) & (degrees < 180.0), 11e5, 1e5)
    trace = taken(degrees, pressure)
    swept = math.pi / 4 * 0.08**2 * 0.08
    work = indicated_work_j(trace=trace, crank=crank, bore_m=0.08)
    assert work == pytest.approx(1e6 * swept, rel=1e-4)
    mean = indicated_mean_effective_pressure_pa(trace=trace, crank=crank)
    assert mean == pytest.approx(1e6, rel=1e-4)
