from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from oilwedge.metrology.form import (
    FormFit,
    combined_extremes,
    fit_form,
    form_design,
    out_of_round,
    residual_scatter,
    taper,
    with_sections,
)
from oilwedge.uncertainty.quantity import ErrorSource, Quantity, SourceKind, exact

FOUR = (0.0, 45.0, 90.0, 135.0)
micrometres = st.floats(-20, 20)


def scatter(name: str) -> ErrorSource:
    return ErrorSource(key=name, kind=SourceKind.REPEATABILITY, words="")


def model(z: float, angle: float, c: tuple[float, float, float, float, float]) -> float:
    twice = 2 * math.radians(angle)
    return (
        c[0] + c[1] * z + c[2] * (1 / 3 - z * z) + c[3] * math.cos(twice) + c[4] * math.sin(twice)
    )


def grid(places: tuple[float, ...], angles: tuple[float, ...]) -> tuple[list[float], list[float]]:
    return [z for z in places for _ in angles], [a for _ in places for a in angles]


def fitted(
    places: tuple[float, ...],
    angles: tuple[float, ...],
    c: tuple[float, float, float, float, float],
    *,
    u: float = 0.0,
) -> FormFit:
    positions, directions = grid(places, angles)
    values = [
        Quantity(model(z, a, c), {scatter(f"{i}"): u} if u else {})
        for i, (z, a) in enumerate(zip(positions, directions, strict=True))
    ]
    return fit_form(positions=positions, angles_deg=directions, values=values)


def value(quantity: Quantity | None) -> float:
    assert quantity is not None
    return quantity.value


@given(slope=micrometres, barrel=micrometres, cosine=micrometres, sine=micrometres)
def test_a_full_plan_gives_back_the_form_it_was_made_from(
    slope: float, barrel: float, cosine: float, sine: float
) -> None:
    fit = fitted((-0.8, 0.1, 1.0), FOUR, (48_000, slope, barrel, cosine, sine))
    assert value(fit.mean) == pytest.approx(48_000, abs=1e-9)
    found = [value(q) for q in (fit.slope, fit.barrel, fit.lobe_cos, fit.lobe_sin)]
    assert found == pytest.approx([slope, barrel, cosine, sine], abs=1e-8)
    assert fit.residual_s_m == pytest.approx(0.0, abs=1e-8)
    assert fit.degrees_of_freedom == 7


def test_taper_is_end_against_end_and_out_of_round_largest_less_smallest() -> None:
    fit = fitted((-1.0, 1.0), FOUR, (48_000, -3, 0, 3, 4))
    assert value(taper(fit=fit, key="k")) == pytest.approx(6)
    assert value(out_of_round(fit=fit, key="k")) == pytest.approx(10)


def test_a_barrel_is_thick_in_the_middle_and_an_hourglass_thin() -> None:
    fit = fitted((-1.0, 0.0, 1.0), (0.0,), (48_000, 0, 6, 0, 0))
    assert value(fit.barrel) == pytest.approx(6)
    assert fit.at(position=0.0).value - fit.at(position=1.0).value == pytest.approx(6)


def test_the_mean_is_the_average_over_the_length() -> None:
    fit = fitted((-1.0, 0.0, 1.0), (0.0,), (48_000, 2, 6, 0, 0))
    along = [fit.at(position=float(z)).value for z in np.linspace(-1, 1, 20_001)]
    assert np.mean(along) == pytest.approx(48_000, abs=1e-3)


@pytest.mark.parametrize(
    ("places", "angles", "slope", "barrel", "lobes"),
    [
        ((0.0,), (0.0,), False, False, 0),
        ((0.5,), (0.0,), False, False, 0),
        ((-1.0, 1.0), (0.0,), True, False, 0),
        ((-1.0, 0.0, 1.0), (90.0,), True, True, 0),
        ((0.0,), (0.0, 90.0), False, False, 1),
        ((0.0,), (0.0, 180.0), False, False, 0),
        ((0.0,), (0.0, 60.0, 120.0), False, False, 2),
        ((0.0,), (60.0, 90.0, 120.0), False, False, 2),
        ((-1.0, 1.0), FOUR, True, False, 2),
    ],
)
def test_only_what_places_and_directions_carry_is_fitted(
    places: tuple[float, ...], angles: tuple[float, ...], slope: bool, barrel: bool, lobes: int
) -> None:
    fit = fitted(places, angles, (48_000, 0, 0, 0, 0))
    assert (fit.slope is not None, fit.barrel is not None, fit.lobes) == (slope, barrel, lobes)
    assert (fit.lobe_cos is not None) == (lobes > 0)
    assert not fit.confounded


@pytest.mark.parametrize("first", [0.0, 30.0, 45.0, 77.0])
def test_two_directions_square_to_each_other_show_half_their_difference(first: float) -> None:
    """Whatever the angle they start at: the least-norm lobe is no larger than what was seen."""
    fit = fit_form(
        positions=[0.0, 0.0],
        angles_deg=[first, first + 90.0],
        values=[exact(48_003.0), exact(47_997.0)],
    )
    assert value(fit.mean) == pytest.approx(48_000)
    assert math.hypot(value(fit.lobe_cos), value(fit.lobe_sin)) == pytest.approx(3)
    assert fit.at(position=0.0, angle_deg=first).value == pytest.approx(48_003)


def test_repeats_weigh_equally() -> None:
    fit = fit_form(
        positions=[0.0, 0.0, 0.0],
        angles_deg=[None, None, None],
        values=[exact(1.0), exact(2.0), exact(6.0)],
    )
    assert value(fit.mean) == pytest.approx(3.0)
    assert fit.residual_s_m == pytest.approx(math.sqrt(7))


def test_a_reading_without_a_place_speaks_for_the_mean() -> None:
    fit = fit_form(
        positions=[-1.0, 1.0, None],
        angles_deg=[None, None, None],
        values=[exact(-2.0), exact(2.0), exact(3.0)],
    )
    assert value(fit.slope) == pytest.approx(2.0)
    assert value(fit.mean) == pytest.approx(1.0)


def test_one_known_place_and_one_unknown_make_no_slope() -> None:
    fit = fit_form(positions=[-1.0, None], angles_deg=[0.0, None], values=[exact(1.0), exact(2.0)])
    assert fit.slope is None
    assert fit.lobe_cos is None
    assert value(fit.mean) == pytest.approx(1.5)


def test_place_and_direction_that_change_together_cannot_be_told_apart() -> None:
    fit = fit_form(positions=[-1.0, 1.0], angles_deg=[0.0, 90.0], values=[exact(1.0), exact(2.0)])
    assert fit.confounded
    assert fit.lobe_cos is None


def test_an_error_that_all_readings_share_moves_the_mean_only() -> None:
    shared = ErrorSource(key="mic", kind=SourceKind.PERMISSIBLE_ERROR, words="")
    positions, directions = grid((-1.0, 0.0, 1.0), FOUR)
    fit = fit_form(
        positions=positions,
        angles_deg=directions,
        values=[Quantity(5.0, {shared: 2.0}) for _ in positions],
    )
    assert fit.mean.contributions[shared] == pytest.approx(2.0)
    for coefficient in (fit.slope, fit.barrel, fit.lobe_cos, fit.lobe_sin):
        assert coefficient is not None
        assert shared not in coefficient.contributions


def test_the_covariance_of_the_coefficients_is_that_of_least_squares() -> None:
    positions, directions = grid((-1.0, -0.2, 1.0), (0.0, 50.0, 90.0, 135.0))
    fit = fitted((-1.0, -0.2, 1.0), (0.0, 50.0, 90.0, 135.0), (0, 0, 0, 0, 0), u=2.0)
    design = form_design(positions=tuple(positions), angles_deg=tuple(directions))
    expected = 4.0 * np.linalg.inv(design.matrix.T @ design.matrix)
    found = [fit.mean, fit.slope, fit.barrel, fit.lobe_cos, fit.lobe_sin]
    for j, coefficient in enumerate(found):
        assert coefficient is not None
        assert coefficient.variance == pytest.approx(expected[j, j])


def test_residual_scatter_keeps_its_digits_on_metres() -> None:
    design = form_design(positions=(None,) * 3, angles_deg=(None,) * 3)
    values = [0.048 + x * 1e-6 for x in (-1.0, 0.0, 1.0)]
    assert residual_scatter(design=design, values=values) == pytest.approx(1e-6, rel=1e-6)


def test_without_spare_readings_there_is_no_scatter() -> None:
    fit = fitted((-1.0, 1.0), (0.0,), (0, 1, 0, 0, 0))
    assert fit.residual_s_m is None
    assert fit.degrees_of_freedom == 0


def test_seen_in_one_direction_the_lobe_is_part_of_the_mean() -> None:
    fit = fitted((-1.0, 1.0), FOUR, (48_000, 1, 0, 3, 4))
    along = fit.along(angle_deg=90.0)
    assert value(along.mean) == pytest.approx(47_997)
    assert along.lobe_cos is None


def test_a_clearance_is_tightest_where_the_difference_of_the_forms_is() -> None:
    """Bore tapered one way, journal the other; the journal's oval adds its amplitude."""
    bore = fitted((-1.0, 1.0), (0.0,), (48_040, 2, 0, 0, 0))
    journal = fitted((-1.0, 1.0), FOUR, (48_000, -3, 0, 0, 4))
    found = combined_extremes(terms=[(1.0, bore), (-1.0, journal)], key="rod 1")
    assert found.smallest.value == pytest.approx(40 - 5 - 4)
    assert found.largest.value == pytest.approx(40 + 5 + 4)
    assert (found.smallest_at, found.largest_at) == (-1.0, 1.0)


def test_two_ovals_add_because_each_part_turns_against_the_other() -> None:
    bore = fitted((0.0,), FOUR, (40, 0, 0, 3, 0))
    journal = fitted((0.0,), FOUR, (0, 0, 0, 2, 0))
    found = combined_extremes(terms=[(1.0, bore), (-1.0, journal)], key="k")
    assert found.smallest.value == pytest.approx(35)


def test_a_wall_counts_with_its_factor() -> None:
    form = fitted((-1.0, 1.0), FOUR, (10, 1, 0, 0, 4))
    found = combined_extremes(terms=[(0.5, form)], key="k")
    assert found.smallest.value == pytest.approx(5 - 0.5 - 2)


def test_tapers_alike_cancel() -> None:
    bore = fitted((-1.0, 1.0), (0.0,), (48_040, 3, 0, 0, 0))
    journal = fitted((-1.0, 1.0), (0.0,), (48_000, 3, 0, 0, 0))
    found = combined_extremes(terms=[(1.0, bore), (-1.0, journal)], key="k")
    assert found.smallest.value == pytest.approx(40)


def test_readings_are_needed() -> None:
    with pytest.raises(ValueError, match="one of each per reading"):
        form_design(positions=(), angles_deg=())


def worn_at_the_top() -> tuple[list[float | None], list[float | None], list[Quantity]]:
    """A cylinder, 64 µm oval at the top and round below; each reading known to 1 µm."""
    spots = [(z, angle) for z in (-1.0, 0.0, 1.0) for angle in (0.0, 90.0)]
    values = []
    for z, angle in spots:
        oval = 32e-6 * math.cos(math.radians(2 * angle)) if z == -1.0 else 0.0
        key = ErrorSource(key=f"{z} {angle}", kind=SourceKind.REPEATABILITY, words="scatter")
        values.append(Quantity(0.092 + oval, {key: 1e-6}))
    return [z for z, _ in spots], [angle for _, angle in spots], values


def test_an_oval_at_one_end_only_is_judged_where_it_is() -> None:
    positions, angles, values = worn_at_the_top()
    one_oval = fit_form(positions=positions, angles_deg=angles, values=values)
    averaged = out_of_round(fit=one_oval, key="c")
    assert averaged is not None
    assert averaged.value == pytest.approx(64e-6 / 3, rel=0.01)
    form = with_sections(fit=one_oval, positions=positions, angles_deg=angles, values=values)
    worst = out_of_round(fit=form, key="c")
    assert worst is not None
    assert worst.value == pytest.approx(64e-6, rel=0.01)
    assert worst.standard_uncertainty == pytest.approx(math.sqrt(2) * 1e-6, rel=0.01)


def test_the_largest_and_smallest_of_sections_are_where_the_oval_is() -> None:
    positions, angles, values = worn_at_the_top()
    form = with_sections(
        fit=fit_form(positions=positions, angles_deg=angles, values=values),
        positions=positions,
        angles_deg=angles,
        values=values,
    )
    found = combined_extremes(terms=[(1.0, form)], key="c")
    assert found.largest.value == pytest.approx(0.092032, abs=1e-6)
    assert found.smallest.value == pytest.approx(0.091968, abs=1e-6)
    assert (found.largest_at, found.smallest_at) == (-1.0, -1.0)
    piston = FormFit(mean=Quantity(0.0919, {}))
    clearance = combined_extremes(terms=[(1.0, form), (-1.0, piston)], key="p")
    assert clearance.smallest.value == pytest.approx(68e-6, abs=1e-6)
    assert clearance.largest.value == pytest.approx(132e-6, abs=1e-6)


def test_in_one_direction_a_section_shows_its_own_size() -> None:
    positions, angles, values = worn_at_the_top()
    fit = fit_form(positions=positions, angles_deg=angles, values=values)
    form = with_sections(fit=fit, positions=positions, angles_deg=angles, values=values)
    across = form.along(angle_deg=0.0)
    assert across.section_at(position=-1.0).mean.value == pytest.approx(0.092032, abs=1e-9)
    assert across.section_at(position=1.0).mean.value == pytest.approx(0.092, abs=1e-9)
