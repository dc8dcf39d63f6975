from __future__ import annotations

import math
from dataclasses import replace

import pytest

from oilwedge.metrology.instrument import Instrument, InstrumentKind
from oilwedge.metrology.reading import Bound, Reading
from oilwedge.metrology.reading_error import Measurand
from oilwedge.metrology.repeatability import Pooled
from oilwedge.metrology.size import UNSEEN_FORM_M, SizeEstimate, estimate_size
from oilwedge.metrology.thermal import Coefficient, Workshop
from oilwedge.uncertainty.quantity import SourceKind

STEEL = Coefficient(key="steel", per_k=11.5e-6)
MICROMETER = Instrument(
    key="mic",
    title="micrometer",
    kind=InstrumentKind.MICROMETER,
    resolution_m=1e-6,
    permissible_error_m=3e-6,
    repeatability_m=1e-6,
    setup_m=1e-6,
)
SHOP = {"mic": MICROMETER}
PLACES = {"front": -1.0, "rear": 1.0}
DIRECTIONS = {"0": 0.0, "90": 90.0}


def reading(value_um: float, place: str = "", direction: str = "", n: int = 1) -> Reading:
    return Reading(
        id=f"{place}{direction}{n}",
        feature="rod_journal",
        number=1,
        place=place,
        direction=direction,
        value_m=value_um * 1e-6,
        instrument="mic",
    )


def tapered_and_oval() -> list[Reading]:
    """Front 6 µm thicker than the rear, 4 µm thicker at 0° than at 90°."""
    return [
        reading(48_000 - 3 * z + 2 * lobe, place, direction)
        for place, z in PLACES.items()
        for direction, lobe in (("0", 1), ("90", -1))
    ]


def estimate(
    readings: list[Reading],
    *,
    form_judged: bool = True,
    pooled: Pooled | None = None,
    instruments: dict[str, Instrument] = SHOP,
) -> SizeEstimate:
    return estimate_size(
        label="rod journal 1",
        readings=readings,
        instruments=instruments,
        places=PLACES,
        directions=DIRECTIONS,
        material_expansion=STEEL,
        form_judged=form_judged,
        pooled=pooled,
    )


def test_mean_taper_and_out_of_round_of_a_quick_plan() -> None:
    still = {"mic": replace(MICROMETER, repeatability_m=1e-9, resolution_m=0.0)}
    found = estimate(tapered_and_oval(), instruments=still)
    assert found.mean is not None
    assert found.taper is not None
    assert found.out_of_round is not None
    assert found.mean.value == pytest.approx(48e-3)
    assert found.taper.value == pytest.approx(6e-6, abs=1e-9)
    assert found.out_of_round.value == pytest.approx(4e-6, abs=1e-9)
    assert found.extremes is not None
    assert found.extremes.smallest.value == pytest.approx(47.995e-3, abs=1e-9)
    assert found.extremes.largest.value == pytest.approx(48.005e-3, abs=1e-9)
    assert (found.extremes.smallest_at, found.extremes.largest_at) == (1.0, -1.0)
    assert found.raw_range_m == pytest.approx(10e-6)


def test_the_form_of_fitted_shells_is_not_judged_but_still_counts_for_the_extremes() -> None:
    found = estimate(tapered_and_oval(), form_judged=False)
    assert found.taper is None
    assert found.out_of_round is None
    assert found.form is not None
    assert found.form.slope is not None


def test_each_place_keeps_its_mean_and_count() -> None:
    repeats = [reading(48_000, "front", "0", n=1), reading(48_002, "front", "0", n=2)]
    (front,) = estimate(repeats).places
    assert (front.place, front.direction, front.count) == ("front", "0", 2)
    assert front.mean_m == pytest.approx(48.001e-3)


def test_a_bound_is_information_and_no_size() -> None:
    found = estimate([replace(reading(25), bound=Bound.AT_MOST)])
    assert found.mean is None
    assert found.extremes is None
    assert found.at_most_m == pytest.approx(25e-6)
    assert found.at_least_m is None


def test_the_tightest_bounds_count() -> None:
    bounds = [
        replace(reading(value, n=i), bound=bound)
        for i, (value, bound) in enumerate(
            [(30, Bound.AT_LEAST), (20, Bound.AT_LEAST), (50, Bound.AT_MOST), (60, Bound.AT_MOST)]
        )
    ]
    found = estimate(bounds)
    assert found.at_least_m == pytest.approx(30e-6)
    assert found.at_most_m == pytest.approx(50e-6)
    assert found.notes == ()


def test_bounds_that_exclude_each_other_are_said() -> None:
    found = estimate(
        [
            replace(reading(50, n=1), bound=Bound.AT_LEAST),
            replace(reading(30, n=2), bound=Bound.AT_MOST),
        ]
    )
    assert "exclude each other" in found.notes[0]


def test_a_bound_that_contradicts_the_size_is_said() -> None:
    found = estimate([*tapered_and_oval(), replace(reading(47_900, n=9), bound=Bound.AT_MOST)])
    assert "contradicts the measured size" in found.notes[-1]


def test_what_nobody_looked_for_costs_a_floor() -> None:
    found = estimate([reading(48_000, "front", "0")])
    assert found.mean is not None
    floor = [c for s, c in found.mean.contributions.items() if s.kind is SourceKind.FORM]
    # Taper and out-of-round, each rectangular.
    assert floor == [pytest.approx(UNSEEN_FORM_M * math.sqrt(2 / 3))]
    assert "do not show taper or out-of-round" in found.notes[0]


def test_a_complete_plan_costs_no_floor() -> None:
    found = estimate(tapered_and_oval())
    assert found.mean is not None
    assert not [s for s in found.mean.contributions if s.kind is SourceKind.FORM]
    assert "Two directions only" in found.notes[0]


def test_the_budget_of_a_mean_is_the_sum_of_its_parts() -> None:
    found = estimate(tapered_and_oval()).mean
    assert found is not None
    expected = {
        SourceKind.REPEATABILITY: 1e-6**2 / 4,
        SourceKind.RESOLUTION: 1e-6**2 / 12 / 4,
        SourceKind.PERMISSIBLE_ERROR: (3e-6) ** 2 / 3,
        SourceKind.SETUP: 1e-6**2,
        SourceKind.TEMPERATURE: (0.048 * 11.5e-6) ** 2 / 3,
    }
    parts: dict[SourceKind, float] = {}
    for source, c in found.contributions.items():
        parts[source.kind] = parts.get(source.kind, 0.0) + c * c
    assert parts == pytest.approx(expected, rel=1e-3)


def test_pooled_scatter_counts_once_however_many_readings_use_it() -> None:
    pooled = Pooled(instrument="mic", standard_deviation_m=2e-6, degrees_of_freedom=12)
    found = estimate(tapered_and_oval(), pooled=pooled)
    assert found.repeatability is not None
    assert found.repeatability.standard_deviation_m == 2e-6
    assert found.taper is not None
    assert found.form is not None
    assert found.form.slope is not None
    scatter = 2e-6**2 / 4
    whole = found.form.slope.variance
    # Welch-Satterthwaite with one common s: ν / share², not 4 ν / share².
    assert found.form.slope.degrees_of_freedom == pytest.approx(12 * (whole / scatter) ** 2)


def test_own_repeats_decide_when_there_are_enough() -> None:
    values = [-2.0, -1.0, 0.0, 1.0, 2.0, -1.0, 1.0, 0.0]
    found = estimate([reading(48_000 + 3 * v, "front", "0", n=i) for i, v in enumerate(values)])
    assert found.repeatability is not None
    assert found.repeatability.standard_deviation_m == pytest.approx(3e-6 * math.sqrt(12 / 7))
    assert found.repeatability.degrees_of_freedom == 7


def test_temperatures_that_were_written_down_correct_the_size() -> None:
    warm = replace(reading(48_000), part_temperature_c=30.0, instrument_temperature_c=20.0)
    found = estimate([warm]).mean
    assert found is not None
    assert found.value == pytest.approx(48e-3 * (1 - 11.5e-5), abs=2e-9)


def test_the_workshop_says_how_far_temperatures_may_be() -> None:
    found = estimate_size(
        label="rod journal 1",
        readings=[reading(48_000)],
        instruments=SHOP,
        places={},
        directions={},
        material_expansion=STEEL,
        workshop=Workshop(difference_limit_k=4.0),
    ).mean
    assert found is not None
    parts = {s.kind: abs(c) for s, c in found.contributions.items()}
    assert parts[SourceKind.TEMPERATURE] == pytest.approx(0.048 * 11.5e-6 * 4 / math.sqrt(3))


def test_places_and_directions_that_change_together_are_said() -> None:
    found = estimate([reading(48_000, "front", "0"), reading(48_002, "rear", "90")])
    assert any("cannot be told apart" in note for note in found.notes)


def test_a_size_knows_its_readings_and_instruments() -> None:
    found = estimate(tapered_and_oval())
    assert found.readings == ("front01", "front901", "rear01", "rear901")
    assert found.instruments == ("mic",)


def test_two_directions_leave_an_oval_between_them_open_and_four_do_not() -> None:
    """COMPUTED by hand: with 4 µm seen, √(4² + 2²/6) − 4 = 0.0825 µm more may be there."""
    found = estimate(tapered_and_oval(), instruments={"mic": replace(MICROMETER, resolution_m=0.0)})
    assert found.out_of_round is not None
    open_parts = {
        s.key: c for s, c in found.out_of_round.contributions.items() if "between" in s.key
    }
    seen = found.out_of_round.value
    assert list(open_parts.values()) == pytest.approx(
        [math.sqrt(seen**2 + UNSEEN_FORM_M**2 / 6) - seen]
    )
    every = {"0": 0.0, "45": 45.0, "90": 90.0, "135": 135.0}
    full = estimate_size(
        label="rod journal 1",
        readings=[reading(48_000, place, way) for place in PLACES for way in every],
        instruments=SHOP,
        places=PLACES,
        directions=every,
        material_expansion=STEEL,
        form_judged=True,
    )
    assert full.out_of_round is not None
    assert not any("between" in s.key for s in full.out_of_round.contributions)


def test_repeats_that_cannot_but_round_alike_do_not_shrink_the_step() -> None:
    def resolution_um(step_um: float, count: int, fittings: int = 1) -> float:
        coarse = {"mic": replace(MICROMETER, resolution_m=step_um * 1e-6)}
        readings = [
            replace(reading(48_000, "front", "0", n), fitting=n % fittings) for n in range(count)
        ]
        mean = estimate(readings, instruments=coarse).mean
        assert mean is not None
        parts = mean.contributions.items()
        variance = sum(c * c for s, c in parts if s.kind is SourceKind.RESOLUTION)
        return math.sqrt(variance) * 1e6

    # scatter 1 µm: a step of 2 µm mixes, one of 5 µm does not
    assert resolution_um(2, 4) == pytest.approx(2 / math.sqrt(12) / 2)
    assert resolution_um(5, 4) == pytest.approx(5 / math.sqrt(12))
    assert resolution_um(5, 4, fittings=2) == pytest.approx(5 / math.sqrt(12) / math.sqrt(2))


def test_a_gauge_zeroed_at_a_part_leaves_the_form_of_that_part_open() -> None:
    gauge = replace(MICROMETER, key="gauge", kind=InstrumentKind.BORE_GAUGE, set_in="mic")

    def open_m(measurand: Measurand) -> float:
        mean = estimate_size(
            label="gap",
            readings=[replace(reading(40, place, "0"), instrument="gauge") for place in PLACES],
            instruments={**SHOP, "gauge": gauge},
            places=PLACES,
            directions={"0": 0.0},
            material_expansion=STEEL,
            measurand=measurand,
        ).mean
        assert mean is not None
        return sum(c for s, c in mean.contributions.items() if s.kind is SourceKind.FORM)

    assert open_m(Measurand.SIZE) == 0.0
    assert open_m(Measurand.DIFFERENCE) == pytest.approx(UNSEEN_FORM_M / math.sqrt(3))
