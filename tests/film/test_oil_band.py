"""What a grade alone says."""

from __future__ import annotations

import pytest

from oilwedge.errors import InputError
from oilwedge.film.oil import Oil
from oilwedge.film.oil_band import OilBand, band_of_grade, band_of_oil
from oilwedge.film.viscosity_index import at_40c_from_index_m2_s
from oilwedge.tables.oil_grades import EngineGrade, IsoGrade, find_grade

ENGINE = ["0W-8", "0W-12", "0W-16", "0W-20", "5W-30", "10W-40", "15W-40", "20W-50", "30", "60"]


def band(name: str) -> OilBand:
    return band_of_grade(find_grade(name))


@pytest.mark.parametrize("name", ENGINE)
def test_the_band_keeps_the_limits_of_its_grade(name: str) -> None:
    grade = find_grade(name)
    assert isinstance(grade, EngineGrade)
    at_100 = band(name).span(lambda oil: oil.kinematic_viscosity_m2_s(100.0))
    assert at_100.low >= grade.minimum_100c_m2_s * (1 - 1e-9)
    assert grade.below_100c_m2_s is not None
    assert at_100.high == pytest.approx(grade.below_100c_m2_s)
    fast = band(name).dynamic_viscosity_pa_s(150.0, shear_rate_per_s=1e6)
    assert grade.high_shear_150c_pa_s is not None
    assert fast.low >= grade.high_shear_150c_pa_s * (1 - 1e-9)
    assert fast.high > fast.low


def test_the_least_of_5w_30_at_100_degrees_is_its_limit() -> None:
    at_100 = band("5W-30").span(lambda oil: oil.kinematic_viscosity_m2_s(100.0))
    assert at_100.low == pytest.approx(9.3e-6)


def test_where_high_shear_asks_for_more_it_sets_the_lower_end() -> None:
    # a light, steep straight 30 that just keeps 9.3 mm²/s would have under 2.9 mPa s at 150 °C
    steep = at_40c_from_index_m2_s(index=90.0, at_100c_m2_s=9.3e-6)
    least = Oil(name="30", density_kg_m3_at_15c=840.0, nu40_m2_s=steep, nu100_m2_s=9.3e-6)
    assert least.dynamic_viscosity_pa_s(150.0) < 2.88e-3
    assert band("30").dynamic_viscosity_pa_s(150.0).low == pytest.approx(2.9e-3)


def test_a_straight_oil_does_not_thin_in_shear() -> None:
    slow = band("30").dynamic_viscosity_pa_s(100.0)
    fast = band("30").dynamic_viscosity_pa_s(100.0, shear_rate_per_s=1e7)
    assert (slow.low, slow.high) == pytest.approx((fast.low, fast.high))


@pytest.mark.parametrize("name", ["VG 10", "VG 32", "VG 46", "VG 100", "VG 460"])
def test_an_iso_grade_spans_its_limits_at_40_degrees(name: str) -> None:
    grade = find_grade(name)
    assert isinstance(grade, IsoGrade)
    at_40 = band(name).span(lambda oil: oil.kinematic_viscosity_m2_s(40.0))
    assert at_40.low == pytest.approx(grade.minimum_40c_m2_s)
    assert at_40.high == pytest.approx(grade.maximum_40c_m2_s)
    indices = [oil.viscosity_index() for oil in band(name).oils]
    assert min(indices) == pytest.approx(90.0, abs=1e-6)
    assert max(indices) == pytest.approx(110.0, abs=1e-6)


def test_thinnest_and_thickest_are_the_ends_of_the_band() -> None:
    both = band("10W-40")
    span = both.dynamic_viscosity_pa_s(120.0)
    assert both.thinnest(120.0).dynamic_viscosity_pa_s(120.0) == span.low
    assert both.thickest(120.0).dynamic_viscosity_pa_s(120.0) == span.high


def test_a_measured_oil_is_a_band_without_width() -> None:
    oil = Oil(name="one", density_kg_m3_at_15c=860.0, nu40_m2_s=68e-6, nu100_m2_s=10e-6)
    one = band_of_oil(oil)
    span = one.dynamic_viscosity_pa_s(90.0)
    assert span.low == span.high
    assert one.measured
    assert not band("5W-30").measured


def test_a_winter_grade_alone_says_no_viscosity() -> None:
    with pytest.raises(InputError, match="no upper limit at 100 °C"):
        band("10W")


def test_the_thinnest_iso_grades_have_no_band() -> None:
    with pytest.raises(InputError, match="no viscosity index"):
        band("VG 2")
