from __future__ import annotations

import math
from dataclasses import replace

import pytest

from oilwedge.errors import UnknownNameError
from oilwedge.metrology.instrument import Strip, StripBar
from oilwedge.metrology.reading import Bound, Reading, ReadingForm
from oilwedge.metrology.strip_size import GENERIC_STRIP, estimate_strip
from oilwedge.uncertainty.quantity import SourceKind

AREA = math.pi * 0.25e-3**2 / 4
FINE = Strip(
    key="fine",
    title="the fine strip",
    low_m=0.025e-3,
    high_m=0.076e-3,
    bars=tuple(StripBar(clearance_m=h, width_m=AREA / h) for h in (0.025e-3, 0.051e-3, 0.076e-3)),
)
STRIPS = {"fine": FINE}
PLACES = {"front": -1.0, "rear": 1.0}


def width(clearance_um: float, place: str = "") -> Reading:
    return Reading(
        id=f"{place}{clearance_um}",
        feature="rod_strip",
        number=1,
        place=place,
        value_m=AREA / (clearance_um * 1e-6),
        form=ReadingForm.WIDTH,
        instrument="fine",
    )


def mark(clearance_um: float, bound: Bound = Bound.NONE, instrument: str = "") -> Reading:
    return Reading(
        id=f"m{clearance_um}{bound}",
        feature="rod_strip",
        number=1,
        value_m=clearance_um * 1e-6,
        bound=bound,
        instrument=instrument,
    )


def test_differing_widths_show_taper_and_the_widest_is_the_tightest() -> None:
    readings = [width(30, "front"), width(60, "rear")]
    found = estimate_strip(label="rod 1", readings=readings, strips=STRIPS, places=PLACES)
    assert found.mean is not None
    assert found.mean.value == pytest.approx(45e-6)
    assert found.form is not None
    assert found.form.slope is not None
    assert found.form.slope.value == pytest.approx(15e-6)
    assert found.extremes is not None
    assert found.extremes.smallest_at == PLACES["front"]
    assert found.instruments == ("fine",)


def test_a_strip_out_of_range_gives_a_bound_and_a_sentence() -> None:
    found = estimate_strip(label="rod 1", readings=[width(20)], strips=STRIPS, places=PLACES)
    assert found.mean is None
    assert found.at_most_m == pytest.approx(0.025e-3)
    assert "at most 0.025 mm" in found.notes[0]


def test_not_flattened_is_a_bound() -> None:
    found = estimate_strip(label="rod 1", readings=[mark(76, Bound.AT_LEAST)], places={})
    assert found.mean is None
    assert found.at_least_m == pytest.approx(76e-6)


def test_the_tightest_bounds_count() -> None:
    readings = [mark(30, Bound.AT_LEAST), mark(20, Bound.AT_LEAST), mark(90, Bound.AT_MOST)]
    found = estimate_strip(label="rod 1", readings=readings, places={})
    assert found.at_least_m == pytest.approx(30e-6)
    assert found.at_most_m == pytest.approx(90e-6)


@pytest.mark.parametrize(("fittings", "setup_um"), [((1, 1), 2.0), ((1, 2), math.sqrt(2.0))])
def test_only_another_trial_assembly_shrinks_its_set_up(
    fittings: tuple[int, int], setup_um: float
) -> None:
    readings = [
        replace(mark(50), id=f"r{i}", fitting=fitting) for i, fitting in enumerate(fittings)
    ]
    found = estimate_strip(label="rod 1", readings=readings, places={}).mean
    assert found is not None
    parts = [c * c for s, c in found.contributions.items() if s.kind is SourceKind.SETUP]
    assert math.sqrt(sum(parts)) == pytest.approx(setup_um * 1e-6)


def test_a_bound_beside_a_value_that_contradicts_it_is_said() -> None:
    readings = [mark(50), mark(150, Bound.AT_LEAST)]
    found = estimate_strip(label="rod 1", readings=readings, places={})
    assert "contradicts" in found.notes[-1]


def test_without_a_strip_the_marks_are_taken_to_be_0_025_mm_apart() -> None:
    found = estimate_strip(label="rod 1", readings=[mark(50)], places={})
    assert found.mean is not None
    assert found.mean.value == pytest.approx(50e-6)
    assert found.instruments == (GENERIC_STRIP.key,)
    assert 13e-6 < found.mean.expanded().half_width < 20e-6


def test_an_unknown_strip_is_asked_back() -> None:
    with pytest.raises(UnknownNameError, match="did you mean 'fine'"):
        estimate_strip(
            label="rod 1", readings=[mark(50, instrument="fin")], strips=STRIPS, places={}
        )


def test_two_strips_at_one_mark_leave_as_much_open_as_one() -> None:
    """Rectangular ± half of 25 µm, as for one strip; at two marks it is two errors."""

    def open_um(*marks_um: float) -> float:
        readings = [
            replace(mark(um), id=f"m{n}", place=place)
            for n, (um, place) in enumerate(zip(marks_um, PLACES, strict=False))
        ]
        mean = estimate_strip(label="rod 1", readings=readings, places=PLACES).mean
        assert mean is not None
        parts = mean.contributions.items()
        return math.sqrt(sum(c * c for s, c in parts if s.kind is SourceKind.READING)) * 1e6

    assert open_um(50.0) == pytest.approx(12.5 / math.sqrt(3))
    assert open_um(50.0, 50.0) == pytest.approx(12.5 / math.sqrt(3))
    assert open_um(50.0, 75.0) == pytest.approx(12.5 / math.sqrt(6))
