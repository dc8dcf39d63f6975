"""Unit factors that are exact by definition."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest

from oilwedge.units import UNITS, Dimension, parse_quantity, to_unit

pytestmark = pytest.mark.published


@pytest.mark.parametrize(
    ("unit", "factor"),
    [
        ("in", Fraction("0.0254")),
        ("thou", Fraction("0.0000254")),
        ("ft", Fraction("0.3048")),
        ("mm", Fraction("0.001")),
        ("µm", Fraction("0.000001")),
        ("lb", Fraction("0.45359237")),
        ("kgf", Fraction("9.80665")),
        ("kgf m", Fraction("9.80665")),
        ("lbf", Fraction("4.4482216152605")),
        ("kgf cm", Fraction("0.0980665")),
        ("kgf/cm2", Fraction("98066.5")),
        ("in³", Fraction("0.000016387064")),
        ("1/°F", Fraction("1.8")),
        ("1e-6/°F", Fraction("0.0000018")),
        ("Δ°F", Fraction(5, 9)),
        ("oz", Fraction("0.028349523125")),
        ("‰", Fraction("0.001")),
        ("ppm", Fraction("0.000001")),
        ("%", Fraction("0.01")),
        ("bar", Fraction(100_000)),
        ("L", Fraction("0.001")),
        ("mm³", Fraction("0.000000001")),
    ],
)
def test_a_factor_is_the_defined_one_to_the_last_digit(unit: str, factor: Fraction) -> None:
    assert UNITS[unit].factor == factor


@pytest.mark.parametrize(
    ("text", "dimension", "value_si"),
    [
        ("1 lbf", Dimension.FORCE, 4.4482216152605),
        ("1 lbf ft", Dimension.TORQUE, 1.3558179483314004),
        ("1 ft lb", Dimension.TORQUE, 1.3558179483314004),
        ("1 lbf in", Dimension.TORQUE, 0.1129848290276167),
        ("1 kgf m", Dimension.TORQUE, 9.80665),
        ("1 psi", Dimension.PRESSURE, 6894.75729316836134),
        ("1 in", Dimension.LENGTH, 0.0254),
        ("0 °C", Dimension.TEMPERATURE, 273.15),
        ("32 °F", Dimension.TEMPERATURE, 273.15),
        ("212 °F", Dimension.TEMPERATURE, 373.15),
    ],
)
def test_one_of_each_unit_is_the_double_nearest_to_its_definition(
    text: str, dimension: Dimension, value_si: float
) -> None:
    assert parse_quantity(text, dimension=dimension).value_si == value_si


def test_a_newton_metre_in_pound_force_feet() -> None:
    assert to_unit(value_si=1.0, unit="lbf ft") == pytest.approx(0.7375621492772654, rel=1e-15)


def test_turns_carry_pi_as_a_double() -> None:
    assert UNITS["rps"].factor == 2 * Fraction(math.pi)
    assert UNITS["rpm"].factor * 60 == UNITS["rps"].factor
    assert UNITS["°"].factor * 180 == Fraction(math.pi)


def test_inch_and_metric_undersizes_are_not_equal() -> None:
    assert parse_quantity("0.010 in", dimension=Dimension.LENGTH).value_si == 0.254e-3
