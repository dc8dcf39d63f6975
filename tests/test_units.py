"""Exact conversions, and the reading of what people type."""

from __future__ import annotations

import math
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from oilwedge.errors import UnitError
from oilwedge.units import (
    UNITS,
    Dimension,
    find_unit,
    format_length,
    format_number,
    parse_number,
    parse_quantity,
    to_unit,
)


@pytest.mark.parametrize(
    ("text", "number"),
    [
        ("47.972", "47.972"),
        ("47,972", "47.972"),
        (" +12 ", "12"),
        ("-12", "-12"),
        ("−12", "-12"),
        ("–0.5", "-0.5"),
        (".0015", "0.0015"),
        (",5", "0.5"),
        ("5.", "5"),
        ("1/2", "0.5"),
        ("1 1/2", "1.5"),
        ("-1 1/2", "-1.5"),
        ("½", "0.5"),
        ("1½", "1.5"),
        ("2 ¾", "2.75"),
        ("1.2e-5", "0.000012"),
        ("1,234", "1.234"),
        ("007", "7"),
    ],
)
def test_a_number_is_read_as_it_is_written(text: str, number: str) -> None:
    assert parse_number(text) == Decimal(number)


@pytest.mark.parametrize(
    "text",
    [
        "1,234.5",
        "1.234,5",
        "1 234.5",
        "1..5",
        "abc",
        "--5",
        "nan",
        "inf",
        "1_000",
        "+",
        "/2",
        "4 7",
    ],
)
def test_what_is_no_number_is_refused(text: str) -> None:
    with pytest.raises(UnitError) as caught:
        parse_number(text)
    assert str(caught.value) == (
        f"Given '{text}'; a number is needed, such as 47.97, 47,97 or 1 1/2; "
        "write it without thousands separators."
    ) or "a number alone is needed" in str(caught.value)


def test_a_thousands_separator_is_not_guessed() -> None:
    with pytest.raises(UnitError, match="without thousands separators"):
        parse_number("1,234.5")


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("", "Nothing was given where a number is needed."),
        ("1/0", "Given '1/0'; a fraction cannot be divided by 0."),
        ("1e999999999", "Given '1e999999999'; the number is out of all measure."),
        ("47 mm", "Given '47 mm'; a number alone is needed, without unit."),
        ("9" * 101, f"Given '{'9' * 20}...'; no more than 100 characters are read."),
    ],
)
def test_each_refusal_says_why(text: str, sentence: str) -> None:
    with pytest.raises(UnitError) as caught:
        parse_number(text)
    assert str(caught.value) == sentence


@pytest.mark.parametrize(
    ("text", "dimension", "unit", "value_si"),
    [
        ("47.97 mm", Dimension.LENGTH, "mm", 0.04797),
        ("47,97mm", Dimension.LENGTH, "mm", 0.04797),
        ("47.97 MM", Dimension.LENGTH, "mm", 0.04797),
        ("1.8892 in", Dimension.LENGTH, "in", 0.04798568),
        ('1.8892"', Dimension.LENGTH, "in", 0.04798568),
        ("1.8892″", Dimension.LENGTH, "in", 0.04798568),
        ("1.8892 in.", Dimension.LENGTH, "in", 0.04798568),
        ("1 1/2 inches", Dimension.LENGTH, "in", 0.0381),
        ("38 µm", Dimension.LENGTH, "µm", 38e-6),
        ("38 μm", Dimension.LENGTH, "µm", 38e-6),
        ("38um", Dimension.LENGTH, "µm", 38e-6),
        ("38 mu m", Dimension.LENGTH, "µm", 38e-6),
        ("-12 microns", Dimension.LENGTH, "µm", -12e-6),
        ("1.5 thou", Dimension.LENGTH, "thou", 38.1e-6),
        ("1.5 mil", Dimension.LENGTH, "thou", 38.1e-6),
        ("2 thousandths", Dimension.LENGTH, "thou", 50.8e-6),
        ("2 th", Dimension.LENGTH, "thou", 50.8e-6),
        ("1 ft", Dimension.LENGTH, "ft", 0.3048),
        ("90°", Dimension.ANGLE, "°", math.pi / 2),
        ("90 deg", Dimension.ANGLE, "°", math.pi / 2),
        ("64 N·m", Dimension.TORQUE, "N m", 64.0),
        ("64 Nm", Dimension.TORQUE, "N m", 64.0),
        ("64 N-m", Dimension.TORQUE, "N m", 64.0),
        ("10 kgf m", Dimension.TORQUE, "kgf m", 98.0665),
        ("1 lb-in", Dimension.TORQUE, "lbf in", 0.1129848290276167),
        ("20 °C", Dimension.TEMPERATURE, "°C", 293.15),
        ("20 C", Dimension.TEMPERATURE, "°C", 293.15),
        ("68 F", Dimension.TEMPERATURE, "°F", 293.15),
        ("293.15 K", Dimension.TEMPERATURE, "K", 293.15),
        ("10 °C", Dimension.TEMPERATURE_DIFFERENCE, "Δ°C", 10.0),
        ("18 F", Dimension.TEMPERATURE_DIFFERENCE, "Δ°F", 10.0),
        ("6000 rpm", Dimension.SPEED, "rpm", 200 * math.pi),
        ("6000 1/min", Dimension.SPEED, "rpm", 200 * math.pi),
        ("2 kN", Dimension.FORCE, "kN", 2000.0),
        ("4 bar", Dimension.PRESSURE, "bar", 4e5),
        ("205000 MPa", Dimension.PRESSURE, "MPa", 205e9),
        ("1 N/mm²", Dimension.PRESSURE, "MPa", 1e6),
        ("520 g", Dimension.MASS, "g", 0.52),
        ("16 oz", Dimension.MASS, "oz", 0.45359237),
        ("22 kg mm", Dimension.UNBALANCE, "kg mm", 0.022),
        ("22 kg·mm", Dimension.UNBALANCE, "kg mm", 0.022),
        ("300 g mm", Dimension.UNBALANCE, "g mm", 3e-4),
        ("2200 g cm", Dimension.UNBALANCE, "g cm", 0.022),
        ("0.5 kg m", Dimension.UNBALANCE, "kg m", 0.5),
        ("16 oz in", Dimension.UNBALANCE, "oz in", 0.45359237 * 0.0254),
        ("11.5e-6/K", Dimension.EXPANSION, "1/K", 11.5e-6),
        ("11.5 µm/(m K)", Dimension.EXPANSION, "µm/(m K)", 11.5e-6),
        ("11.5 µm/(m·K)", Dimension.EXPANSION, "µm/(m K)", 11.5e-6),
        ("11.5 1e-6/K", Dimension.EXPANSION, "1e-6/K", 11.5e-6),
        ("11.5 10^-6/K", Dimension.EXPANSION, "1e-6/K", 11.5e-6),
        ("11.5 ppm/K", Dimension.EXPANSION, "1e-6/K", 11.5e-6),
        ("500 cc", Dimension.VOLUME, "cm³", 500e-6),
        ("0.0003 in per in", Dimension.RATIO, "1", 0.0003),
        ("0.5", Dimension.RATIO, "1", 0.5),
        ("5 %", Dimension.RATIO, "%", 0.05),
        ("13.6 cSt", Dimension.KINEMATIC_VISCOSITY, "mm²/s", 13.6e-6),
        ("13.6 mm2/s", Dimension.KINEMATIC_VISCOSITY, "mm²/s", 13.6e-6),
        ("10 mPa s", Dimension.DYNAMIC_VISCOSITY, "mPa s", 0.01),
        ("10 cP", Dimension.DYNAMIC_VISCOSITY, "mPa s", 0.01),
        ("0.87 g/cm3", Dimension.DENSITY, "g/cm³", 870.0),
    ],
)
def test_a_quantity_is_read_in_the_spellings_of_manuals(
    text: str, dimension: Dimension, unit: str, value_si: float
) -> None:
    parsed = parse_quantity(text, dimension=dimension)
    assert parsed.unit == unit
    assert parsed.text == text
    assert parsed.value_si == pytest.approx(value_si, rel=1e-15, abs=0)


def test_the_default_unit_holds_only_where_none_was_typed() -> None:
    assert (
        parse_quantity("47.97", dimension=Dimension.LENGTH, default_unit="mm").value_si == 0.04797
    )
    assert parse_quantity(" 47,97", dimension=Dimension.LENGTH, default_unit="mm").text == "47,97"
    typed = parse_quantity("1.5 thou", dimension=Dimension.LENGTH, default_unit="mm")
    assert typed.unit == "thou"
    assert typed.decimal == Decimal("1.5")


@pytest.mark.parametrize(
    ("text", "dimension", "sentence"),
    [
        (
            "47.97",
            Dimension.LENGTH,
            "Given '47.97'; the unit is missing; a length is needed, "
            "in mm, in, µm, thou, m, cm or ft.",
        ),
        (
            "47.97 N m",
            Dimension.LENGTH,
            "Given '47.97 N m'; 'N m' is a unit of torque, and here a length is needed, "
            "in mm, in, µm, thou, m, cm or ft.",
        ),
        (
            "47.97 milimetre",
            Dimension.LENGTH,
            "Given '47.97 milimetre'; 'milimetre' is no unit that is known; here a length is "
            "needed, in mm, in, µm, thou, m, cm or ft; did you mean 'millimetre'?",
        ),
        (
            "-300 °C",
            Dimension.TEMPERATURE,
            "Given '-300 °C'; a temperature cannot be under -273.15 °C.",
        ),
    ],
)
def test_a_wrong_unit_gets_one_sentence(text: str, dimension: Dimension, sentence: str) -> None:
    with pytest.raises(UnitError) as caught:
        parse_quantity(text, dimension=dimension)
    assert str(caught.value) == sentence


def test_millipascal_is_not_taken_for_megapascal() -> None:
    with pytest.raises(UnitError):
        parse_quantity("5 mPa", dimension=Dimension.PRESSURE)


def test_a_default_unit_of_another_sort_is_refused() -> None:
    with pytest.raises(UnitError, match="unit of torque"):
        parse_quantity("5", dimension=Dimension.LENGTH, default_unit="N m")


def test_a_unit_is_found_by_any_spelling() -> None:
    assert find_unit(text="microns", dimension=Dimension.LENGTH).name == "µm"
    with pytest.raises(UnitError, match="no unit that is known"):
        find_unit(text="furlong", dimension=Dimension.LENGTH)


@pytest.mark.parametrize(
    ("value_si", "unit", "number"),
    [
        (0.0254, "in", 1.0),
        (0.0254, "inch", 1.0),
        (293.15, "°C", 20.0),
        (293.15, "°F", 68.0),
        (10.0, "Δ°F", 18.0),
        (math.pi, "°", 180.0),
        (math.inf, "mm", math.inf),
    ],
)
def test_an_si_value_goes_back_into_a_unit(value_si: float, unit: str, number: float) -> None:
    assert to_unit(value_si=value_si, unit=unit) == pytest.approx(number, rel=1e-12)


def test_going_back_into_an_unknown_unit_is_refused() -> None:
    with pytest.raises(UnitError, match="this is no unit that is known"):
        to_unit(value_si=1.0, unit="furlong")


@pytest.mark.parametrize(
    ("value_m", "unit", "decimals", "text"),
    [
        (54.0361e-3 - 53.9981e-3, "mm", 4, "0.0380 mm"),
        (0.0381e-3, "in", 4, "0.0015 in"),
        (38.5e-6, "um", 0, "39 µm"),
        (-38.5e-6, "µm", 0, "-39 µm"),
        (-1e-9, "mm", 3, "0.000 mm"),
        (0.0479725, "mm", 3, "47.973 mm"),
    ],
)
def test_a_length_is_printed_with_its_unit(
    value_m: float, unit: str, decimals: int, text: str
) -> None:
    assert format_length(value_m=value_m, unit=unit, decimals=decimals) == text


def test_a_number_is_printed_without_a_minus_before_zero() -> None:
    assert format_number(value=-0.0004, decimals=3) == "0.000"
    assert format_number(value=0.0385, decimals=3) == "0.039"
    assert format_number(value=1234.5, decimals=-2) == "1200"


def test_what_is_not_finite_is_never_printed_as_a_length() -> None:
    with pytest.raises(ValueError, match="finite"):
        format_length(value_m=math.nan, unit="mm", decimals=3)
    with pytest.raises(ValueError, match="finite"):
        format_number(value=math.inf, decimals=3)


@given(
    number=st.decimals(min_value=-1000, max_value=1000, places=5),
    unit=st.sampled_from(sorted(UNITS)),
)
def test_typed_numbers_come_back_from_every_unit(number: Decimal, unit: str) -> None:
    dimension = UNITS[unit].dimension
    if dimension is Dimension.TEMPERATURE:
        number = abs(number)
    parsed = parse_quantity(f"{number} {unit.removeprefix('Δ')}", dimension=dimension)
    back = to_unit(value_si=parsed.value_si, unit=parsed.unit)
    assert back == pytest.approx(float(number), rel=1e-12, abs=1e-9)


@given(number=st.decimals(min_value=-1000, max_value=1000, places=6))
def test_a_decimal_comma_and_a_decimal_point_say_the_same(number: Decimal) -> None:
    point = f"{number:f}"
    assert parse_number(point) == parse_number(point.replace(".", ",")) == number


@given(number=st.decimals(min_value=0, max_value=500, places=4))
def test_the_value_is_the_double_nearest_to_the_exact_product(number: Decimal) -> None:
    parsed = parse_quantity(f"{number:f} in", dimension=Dimension.LENGTH)
    assert parsed.value_si == float(Fraction(number) * Fraction(254, 10_000))


@given(text=st.text(max_size=30))
def test_no_text_raises_anything_but_a_unit_error(text: str) -> None:
    sentence = ""
    try:
        parse_quantity(text, dimension=Dimension.LENGTH, default_unit="mm")
    except UnitError as error:
        sentence = str(error)
    assert "\n" not in sentence
